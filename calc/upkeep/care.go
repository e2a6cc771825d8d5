package upkeep

import (
	"math"

	"resawd/calc/fault"
)

// Limits of what is counted: 1e15 mm2 is a square of 32 km, and 1e6 hours a century.
const (
	maxCuts    = 1_000_000_000
	maxAreaMM2 = 1e15
	maxHours   = 1e6
)

// The shares of an interval from which a thing is soon due and overdue.
const (
	soonFrom    = 0.8
	overdueFrom = 1.25
)

// Count is work done by a saw. In an interval, 0 says that it is not counted.
type Count struct {
	Cuts    int
	AreaMM2 float64
	Hours   float64
}

// State is how near a thing is to being due.
type State int

// The states, in their order.
const (
	Fine State = iota
	Soon
	Due
	Overdue
)

// Left is what is left of an interval, and what that means. Where the interval does
// not count a thing, none of it is left.
type Left struct {
	State State
	Count
	Share float64 // of the interval that is used up, by what comes first
}

// Remaining gives what is left of an interval after so much work.
//
// Source: common practice: whichever comes first; the states are of this package.
// Valid: an interval with something in it; each count from 0 to 1e9 cuts, 1e15 mm2
// and 1e6 hours.
func Remaining(interval, done Count) (Left, error) {
	if err := fault.First(interval.check("interval "), done.check("done ")); err != nil {
		return Left{}, err
	}
	if interval == (Count{}) {
		return Left{}, fault.Because(fault.Above("interval", 0, 0, maxCuts), "in cuts, area or hours")
	}
	used := max(share(float64(done.Cuts), float64(interval.Cuts)), share(done.AreaMM2, interval.AreaMM2), share(done.Hours, interval.Hours))
	return Left{
		State: state(used), Share: used,
		Count: Count{
			Cuts:    max(0, interval.Cuts-done.Cuts),
			AreaMM2: max(0, interval.AreaMM2-done.AreaMM2),
			Hours:   max(0, interval.Hours-done.Hours),
		},
	}, nil
}

// share gives how much of an interval is used up; one that is not counted never is.
func share(done, interval float64) float64 {
	if interval == 0 {
		return 0
	}
	return min(done/interval, math.MaxFloat64)
}

func state(used float64) State {
	switch {
	case used >= overdueFrom:
		return Overdue
	case used >= 1:
		return Due
	case used >= soonFrom:
		return Soon
	}
	return Fine
}

// Plus gives what is done after some more work.
//
// Source: definition.
// Valid: counts that [Remaining] takes.
func (c Count) Plus(more Count) Count {
	return Count{c.Cuts + more.Cuts, c.AreaMM2 + more.AreaMM2, c.Hours + more.Hours}
}

func (c Count) check(what string) error {
	return fault.First(
		fault.Within(what+"cuts", c.Cuts, 0, maxCuts),
		fault.Within(what+"area", c.AreaMM2, 0, maxAreaMM2),
		fault.Within(what+"hours", c.Hours, 0, maxHours),
	)
}
