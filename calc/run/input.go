package run

import (
	"resawd/calc/blade"
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// MaxLeaves is the most leaves of one run.
const MaxLeaves = 10_000

// Limits: 10^10 mm2 is a square of 100 m.
const (
	maxAdvance = length.Metre
	maxAreaMM2 = 1e10
)

// Board is a billet, mounted.
type Board struct {
	Name      string
	Thickness length.Length // from the face of the fence to the highest point
	Width     length.Length // the height that stands in the blade
	Length    length.Length
	Bow       length.Length // over its length; the truing cut takes it off
}

// Entry is leaves that are all alike.
type Entry struct {
	Name      string
	Thickness length.Length
	Count     int // 0, in the last entry: as many as the board gives
	Matched   int // leaves that must be consecutive; 0 and 1: none need be
}

// set gives how many leaves belong together.
func (e Entry) set() int { return max(1, e.Matched) }

// Saw is what the bandsaw and its carriage set.
type Saw struct {
	CuttingHeight length.Length
	RailLength    length.Length // carries the carriage and its travel: twice the board, run-in and run-out
	WidestBlade   length.Length // that it takes; 0: any
	BladeSpeed    feed.BladeSpeed
	Backlash      length.Length // dial travel lost when the direction reverses
}

// Habits are what the shop thinks safe.
type Habits struct {
	SmallestLeaf   length.Length
	ShortestBillet length.Length
	LowestBillet   length.Length // in width, which stands in the blade
	Clearance      length.Length // how near metal in the board a cut may come
}

// Care says when to stop and clean; 0 is never.
type Care struct {
	AfterCuts    int
	AfterAreaMM2 float64
}

// Times is what the parts of the work take beside the feed, as in [feed.Job].
type Times struct {
	ReturnFeed    feed.Speed
	HandleSeconds float64
	IndexSeconds  float64
	SetupSeconds  float64
	CleanSeconds  float64
}

// Input is everything a run sheet depends on.
type Input struct {
	Board  Board
	Leaves []Entry
	dial.Setting
	Saw    Saw
	Blade  blade.Blade // its own kerf may be another than the one counted on
	Habits Habits
	Care   Care
	Times  Times

	Skim       length.Length // with a bow of 0 too, 0 means no truing cut
	HoldBack   length.Length // must be 0 where the rest is the last leaf
	LastLeaf   yield.LastLeaf
	Metal      length.Length // how far metal fixings reach into the board; 0: none
	Tolerance  length.Length // of a leaf, either way
	KerfMargin length.Length // how much wider the kerf may come

	Feed          feed.Speed
	RunIn, RunOut length.Length
	Gum           blade.Gum

	Done Done // the cuts made before, where a run goes on
	made made // by the cuts of Done, once they have been counted off
}

// pass gives one cut along the board.
func (in Input) pass() feed.Pass {
	return feed.Pass{CutLength: in.Board.Length, RunIn: in.RunIn, RunOut: in.RunOut, Feed: in.Feed}
}

// truing gives the thickness that the truing cut takes off beside its kerf.
func (in Input) truing() length.Length {
	if in.made.cuts > 0 {
		return 0
	}
	return in.Skim + in.Board.Bow
}

// rest reports whether the last leaf is what remains.
func (in Input) rest() bool { return in.LastLeaf == yield.Rest }

// use gives what the blade is wanted for.
func (in Input) use() blade.Cut {
	return blade.Cut{
		StockHeight: in.Board.Width, LeafThickness: in.Leaves[0].Thickness, Feed: in.Feed, Operation: blade.Resaw,
		Gum: in.Gum, WidestBlade: in.Saw.WidestBlade,
	}
}

func (in Input) check() error {
	return fault.First(in.checkSaw(), in.checkHabits(), in.checkBoard(), in.checkFixing(), in.checkLeaves())
}

func (in Input) checkSaw() error {
	return fault.First(
		fault.Above("cutting height", in.Saw.CuttingHeight, 0, length.Max),
		fault.Above("rail length", in.Saw.RailLength, 0, length.Max),
		fault.Within("backlash", in.Saw.Backlash, 0, length.Max),
		fault.Within("kerf", in.Kerf, 0, maxAdvance),
		fault.Within("kerf margin", in.KerfMargin, 0, maxAdvance-in.Kerf),
		fault.Within("skim", in.Skim, 0, maxAdvance),
		fault.Within("tolerance", in.Tolerance, 0, length.Max),
	)
}

func (in Input) checkHabits() error {
	return fault.First(
		fault.Within("smallest leaf", in.Habits.SmallestLeaf, 0, length.Max),
		fault.Within("shortest billet", in.Habits.ShortestBillet, 0, length.Max),
		fault.Within("lowest billet", in.Habits.LowestBillet, 0, length.Max),
		fault.Within("clearance to metal", in.Habits.Clearance, 0, length.Max),
		fault.Within("clean every", in.Care.AfterCuts, 0, dial.MaxCuts),
		fault.Within("clean area", in.Care.AfterAreaMM2, 0, maxAreaMM2),
	)
}

// checkFixing wants nothing to hold the last leaf back where that is the rest.
func (in Input) checkFixing() error {
	mostHeld, mostMetal, why := in.Board.Thickness, length.Max, ""
	if in.rest() {
		mostHeld, mostMetal, why = 0, 0, "since the rest is the last leaf"
	}
	return fault.First(
		fault.Within("last leaf", int(in.LastLeaf), int(yield.Fence), int(yield.Rest)),
		fault.Because(fault.Within("hold back", in.HoldBack, 0, mostHeld), why),
		fault.Because(fault.Within("metal", in.Metal, 0, mostMetal), why),
	)
}

// checkBoard wants a board that the saw takes and its rail carries.
func (in Input) checkBoard() error {
	rail := in.Saw.RailLength
	return fault.First(
		fault.Above("board thickness", in.Board.Thickness, 0, length.Max),
		fault.Because(fault.Above("board width", in.Board.Width, 0, in.Saw.CuttingHeight), "the cutting height"),
		fault.Within("run in", in.RunIn, 0, rail),
		fault.Within("run out", in.RunOut, 0, rail-in.RunIn),
		fault.Because(fault.Above("board length", in.Board.Length, 0, in.longest()), "half of what the rail leaves beside run-in and run-out"),
		fault.Within("board bow", in.Board.Bow, 0, maxAdvance-in.Skim),
	)
}

// longest gives the longest board that the rail carries: its carriage is as long
// as the board and travels as far, run-in and run-out beside.
func (in Input) longest() length.Length {
	return (in.Saw.RailLength - in.RunIn - in.RunOut) / 2
}

func (in Input) checkLeaves() error {
	if err := fault.Within("leaves", len(in.Leaves), 1, MaxLeaves); err != nil {
		return err
	}
	total := 0
	for i, e := range in.Leaves {
		fewest := 1
		if i == len(in.Leaves)-1 {
			fewest = 0
		}
		if err := e.check(fewest); err != nil {
			return inLeaves(i, err)
		}
		total += e.Count
	}
	return fault.Within("leaf count", total, 0, MaxLeaves)
}

// inLeaves says which entry of the leaves a fault is about.
func inLeaves(entry int, err error) error {
	return &fault.Entry{List: "leaves", Index: entry, Err: err}
}

func (e Entry) check(fewest int) error {
	if err := fault.First(
		fault.Above("thickness", e.Thickness, 0, maxAdvance),
		fault.Within("count", e.Count, fewest, MaxLeaves),
		fault.Within("matched", e.Matched, 0, MaxLeaves),
	); err != nil {
		return err
	}
	if over := e.Count % e.set(); over > 0 {
		return &fault.NoSolution{
			Quantity: "count", Value: e.Count, Needed: e.Count - over + e.set(), Why: "for whole matched sets",
		}
	}
	return nil
}
