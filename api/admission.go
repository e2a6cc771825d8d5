package api

import (
	"context"
	"runtime"
	"sync/atomic"
	"time"

	"resawd/api/endpoint"
)

// What the service takes on at once.
const (
	slotsEach  = 2                      // calculations at once, for each processor
	maxTables  = 64                     // tables being read and answered
	maxWaiting = 256                    // calculations that may wait for their turn
	maxWait    = 250 * time.Millisecond // and how long, in a rush
	pressed    = 10 * time.Millisecond  // and how long once a rush has lasted for maxWait: who is let in does not come late
	heldBytes  = 64 << 20               // of bodies that are read and of answers that are sent
	freeBytes  = 16 << 10               // what a body or an answer may have without counting
	busyRetry  = time.Second
)

// admission keeps what is worked on at once within what the machine can bear:
// calculations have slots, bodies and answers share memory. Whoever finds no
// place is sent away at once rather than slowing all others down.
type admission struct {
	slots   chan struct{} // holds a token for each calculation
	tables  chan struct{} // and one for each table, which may take any time
	waiting atomic.Int64
	since   atomic.Pointer[time.Time] // when the first of those that wait came, and others ever since
	held    atomic.Int64              // bytes
}

func newAdmission() *admission {
	return &admission{slots: make(chan struct{}, slotsEach*runtime.GOMAXPROCS(0)), tables: make(chan struct{}, maxTables)}
}

var (
	errBusy = endpoint.Fail(endpoint.Unavailable, "more is asked of the service than it can work on: ask again when Retry-After says").Again(busyRetry)
	errFull = endpoint.Fail(endpoint.Unavailable, "the requests and answers under way take all the memory there is for them: ask again when Retry-After says").Again(busyRetry)
)

// enter takes a slot, if need be after a short wait. Whoever has one calls leave.
func (a *admission) enter(ctx context.Context) error {
	select {
	case a.slots <- struct{}{}:
		return nil
	default:
	}
	defer a.waiting.Add(-1)
	n := a.waiting.Add(1)
	if n > maxWaiting {
		return errBusy
	}
	patience := time.NewTimer(a.patience(n == 1, time.Now()))
	defer patience.Stop()
	select {
	case a.slots <- struct{}{}:
		return nil
	case <-patience.C:
		return errBusy
	case <-ctx.Done():
		return endpoint.ErrGone
	}
}

// patience is how long a calculation may wait for a slot that comes now, as the
// first of those that wait or not.
func (a *admission) patience(first bool, now time.Time) time.Duration {
	if first {
		a.since.Store(&now)
	}
	if since := a.since.Load(); since == nil || now.Sub(*since) <= maxWait {
		return maxWait
	}
	return pressed
}

func (a *admission) leave() { <-a.slots }

// enterTable takes a place for a table. Whoever has one calls leaveTable.
func (a *admission) enterTable() error {
	select {
	case a.tables <- struct{}{}:
		return nil
	default:
		return errBusy
	}
}

func (a *admission) leaveTable() { <-a.tables }

// hold is memory of one request, out of that of all.
type hold struct {
	of    *admission
	bytes int64
}

// grow takes more of the memory, or tells that there is none. What is small is
// not counted: connections are limited, too.
func (h *hold) grow(bytes int) error {
	if bytes <= freeBytes {
		return nil
	}
	h.bytes += int64(bytes)
	if h.of.held.Add(int64(bytes)) > heldBytes {
		return errFull
	}
	return nil
}

// release gives all of it back.
func (h *hold) release() {
	if h.bytes != 0 {
		h.of.held.Add(-h.bytes)
		h.bytes = 0
	}
}
