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
	maxTables  = 64                    // tables that are open
	maxWaiting = 256                   // calculations that may wait for their turn
	maxWait    = 50 * time.Millisecond // how long they may wait
	rushWait   = 5 * time.Millisecond  // and how long while others are being sent away
	heldBytes  = 64 << 20              // of bodies that are read and of answers that are sent
	freeBytes  = 16 << 10              // what a body or an answer may have without counting
	busyRetry  = time.Second           // when to come again
)

// admission keeps what is worked on at once within what the machine can bear:
// calculations have slots, bodies and answers share memory. Whoever finds no
// place is sent away at once rather than slowing all others down.
type admission struct {
	slots   chan struct{} // holds a token for each calculation, one for each processor
	tables  chan struct{} // one for each table, which may take any time
	turns   chan struct{} // and one for each that is worked on just now, and neither reads nor sends
	waiting atomic.Int64
	refused atomic.Pointer[time.Time] // when a calculation was last sent away
	held    atomic.Int64              // bytes
}

func newAdmission() *admission {
	processors := runtime.GOMAXPROCS(0)
	return &admission{slots: make(chan struct{}, processors), tables: make(chan struct{}, maxTables), turns: make(chan struct{}, processors)}
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
	if a.waiting.Add(1) > maxWaiting {
		return a.refuse()
	}
	patience := time.NewTimer(a.patience())
	defer patience.Stop()
	select {
	case a.slots <- struct{}{}:
		return nil
	case <-patience.C:
		return a.refuse()
	case <-ctx.Done():
		return endpoint.ErrGone
	}
}

// refuse notes that a calculation is sent away.
func (a *admission) refuse() error {
	now := time.Now()
	a.refused.Store(&now)
	return errBusy
}

// patience is how long a calculation that comes now may wait for a slot. As long
// as others stay away because they were told to, a queue would only make
// everybody late.
func (a *admission) patience() time.Duration {
	if refused := a.refused.Load(); refused != nil && time.Since(*refused) < busyRetry {
		return rushWait
	}
	return maxWait
}

func (a *admission) leave() { <-a.slots }

// giveWay lets those that wait for a slot go before whoever has one.
func (a *admission) giveWay() {
	if a.waiting.Load() > 0 {
		a.leave()
		a.slots <- struct{}{}
	}
}

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

// takeTurn waits until a table may be worked on. Whoever has a turn gives it up
// with endTurn before it reads or sends.
func (a *admission) takeTurn() { a.turns <- struct{}{} }

func (a *admission) endTurn() { <-a.turns }

// workers is how many goroutines calculate at once.
func (a *admission) workers() int { return cap(a.slots) + cap(a.turns) }

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
