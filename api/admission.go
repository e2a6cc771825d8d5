package api

import (
	"context"
	"runtime"
	"sync/atomic"
	"time"

	"resawd/api/endpoint"
)

// How much the service does at once.
const (
	maxTables  = 64                     // open tables
	maxWaiting = 256                    // calculations waiting in one line
	smallWait  = 50 * time.Millisecond  // the longest wait of a small calculation
	largeWait  = 500 * time.Millisecond // and of a large one
	rushShare  = 10                     // in a rush, the longest wait is a tenth of that
	heldBytes  = 64 << 20               // memory for bodies being read and answers being sent
	freeBytes  = 16 << 10               // a body or an answer up to this size is not counted
	busyRetry  = time.Second            // when a client that was refused should ask again
)

// admission limits the work in progress to what the machine can bear: calculations
// need slots, tables take turns, and bodies and answers share memory. A request that
// finds no room is refused, because queueing it would slow down everybody. Each kind of
// work has as many places as there are processors. The operating system shares the
// processors among the kinds, so that none of them can block another.
type admission struct {
	small  line          // for calculations that take a few milliseconds at most
	large  line          // for those that may take some tenths of a second
	tables chan struct{} // holds a token for each open table, which may stay open for any time
	turns  chan struct{} // holds a token for each table at work, neither reading nor sending
	held   atomic.Int64  // bytes of bodies and answers
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

// lineOf returns the line in which a request waits.
func (a *admission) lineOf(r *asked) *line {
	if r.form.Page || r.Many {
		return &a.large
	}
	return &a.small
}

// workers is the number of goroutines that can be calculating at the same time.
func (a *admission) workers() int { return cap(a.small.slots) + cap(a.large.slots) + cap(a.turns) }

// line hands out slots to calculations, and lets some wait until a slot is free.
type line struct {
	slots   chan struct{} // holds a token for each calculation in progress
	longest time.Duration // the longest that a calculation may wait
	waiting atomic.Int64
	refused atomic.Pointer[time.Time] // when a calculation was last refused
}

var (
	errBusy = endpoint.Fail(endpoint.Unavailable, "more is asked of the service than it can work on: ask again when Retry-After says").Again(busyRetry)
	errFull = endpoint.Fail(endpoint.Unavailable, "the requests and answers under way take all the memory there is for them: ask again when Retry-After says").Again(busyRetry)
)

// enter takes a slot, waiting a short time for one if need be. The caller gives it back
// with leave.
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

// await takes a slot, however long that takes. It is for work that has cost too much
// already to be refused.
func (l *line) await() {
	l.waiting.Add(1)
	defer l.waiting.Add(-1)
	l.slots <- struct{}{}
}

// refuse notes that a calculation is being refused.
func (l *line) refuse() error {
	now := time.Now()
	l.refused.Store(&now)
	return errBusy
}

// patience is how long a calculation that arrives now may wait for a slot. While others
// are staying away because they were refused, the service is in a rush, and a long queue
// would only make every answer late.
func (l *line) patience() time.Duration {
	if refused := l.refused.Load(); refused != nil && time.Since(*refused) < busyRetry {
		return l.longest / rushShare
	}
	return l.longest
}

func (l *line) leave() { <-l.slots }

// enterTable takes a place for a table. The caller gives it back with leaveTable.
func (a *admission) enterTable() error {
	select {
	case a.tables <- struct{}{}:
		return nil
	default:
		return errBusy
	}
}

func (a *admission) leaveTable() { <-a.tables }

// takeTurn waits until it is a table's turn to be worked on. The table ends its turn with
// endTurn before it reads or sends.
func (a *admission) takeTurn() { a.turns <- struct{}{} }

func (a *admission) endTurn() { <-a.turns }

// hold is the share that one request has of the memory for bodies and answers.
type hold struct {
	of    *admission
	bytes int64
}

// grow takes more memory, or fails where there is none left. Small amounts are not
// counted: the number of connections limits those.
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

// release gives all the memory back.
func (h *hold) release() {
	if h.bytes != 0 {
		h.of.held.Add(-h.bytes)
		h.bytes = 0
	}
}
