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
	maxTables  = 64                     // tables that are open
	maxWaiting = 256                    // calculations of one kind that may wait for their turn
	smallWait  = 50 * time.Millisecond  // how long a small one may wait
	largeWait  = 500 * time.Millisecond // and a large one
	rushShare  = 10                     // what part of that while others are being sent away
	heldBytes  = 64 << 20               // of bodies that are read and of answers that are sent
	freeBytes  = 16 << 10               // what a body or an answer may have without counting
	busyRetry  = time.Second            // when to come again
)

// admission keeps what is worked on at once within what the machine can bear:
// calculations have slots, tables turns, bodies and answers share memory. Whoever
// finds no place is sent away rather than slowing all others down. Each kind has as
// many places as there are processors, which the system shares out among them, so
// that none stands in the way of another.
type admission struct {
	small  line          // calculations whose answer takes some milliseconds at most
	large  line          // and those that take up to some tenths of a second
	tables chan struct{} // holds a token for each table, which may take any time
	turns  chan struct{} // and one for each that is worked on just now, and neither reads nor sends
	held   atomic.Int64  // bytes
}

func newAdmission() *admission {
	processors := runtime.GOMAXPROCS(0)
	return &admission{
		small:  line{slots: make(chan struct{}, processors), longest: smallWait},
		large:  line{slots: make(chan struct{}, processors), longest: largeWait},
		tables: make(chan struct{}, maxTables),
		turns:  make(chan struct{}, processors),
	}
}

// lineOf is where a request waits.
func (a *admission) lineOf(r *asked) *line {
	if r.form.Page || r.Many {
		return &a.large
	}
	return &a.small
}

// workers is how many goroutines calculate at once.
func (a *admission) workers() int { return cap(a.small.slots) + cap(a.large.slots) + cap(a.turns) }

// line is where calculations wait for a slot.
type line struct {
	slots   chan struct{} // holds a token for each calculation
	longest time.Duration // that one may wait
	waiting atomic.Int64
	refused atomic.Pointer[time.Time] // when one was last sent away
}

var (
	errBusy = endpoint.Fail(endpoint.Unavailable, "more is asked of the service than it can work on: ask again when Retry-After says").Again(busyRetry)
	errFull = endpoint.Fail(endpoint.Unavailable, "the requests and answers under way take all the memory there is for them: ask again when Retry-After says").Again(busyRetry)
)

// enter takes a slot, if need be after a short wait. Whoever has one calls leave.
func (l *line) enter(ctx context.Context) error {
	select {
	case l.slots <- struct{}{}:
		return nil
	default:
	}
	defer l.waiting.Add(-1)
	if l.waiting.Add(1) > maxWaiting {
		return l.refuse()
	}
	patience := time.NewTimer(l.patience())
	defer patience.Stop()
	select {
	case l.slots <- struct{}{}:
		return nil
	case <-patience.C:
		return l.refuse()
	case <-ctx.Done():
		return endpoint.ErrGone
	}
}

// await takes a slot however long it takes: for what is too dear to be sent away.
func (l *line) await() {
	l.waiting.Add(1)
	defer l.waiting.Add(-1)
	l.slots <- struct{}{}
}

// refuse notes that a calculation is sent away.
func (l *line) refuse() error {
	now := time.Now()
	l.refused.Store(&now)
	return errBusy
}

// patience is how long a calculation that comes now may wait for a slot. As long
// as others stay away because they were told to, a queue would only make
// everybody late.
func (l *line) patience() time.Duration {
	if refused := l.refused.Load(); refused != nil && time.Since(*refused) < busyRetry {
		return l.longest / rushShare
	}
	return l.longest
}

func (l *line) leave() { <-l.slots }

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
