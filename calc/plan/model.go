package plan

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length

// Unlimited is the Quantity of a board of which there are as many as wanted.
const Unlimited = -1

// Order is what to cut from what, and what every cut costs in wood.
type Order struct {
	Boards []Board
	Parts  []Part

	Kerf         length.Length // of a resaw cut
	Skim         length.Length // off the face of every billet by the truing cut; 0: no such cut
	HoldBack     length.Length // thickness that stays fixed to the fence
	RipKerf      length.Length
	CrosscutKerf length.Length
	EndTrim      length.Length // off each end of a board, the cut included

	LeastSkim length.Length // the shallowest truing cut that can be set; a shallower one is made so deep

	Saw Saw
	// A billet is tight when its leaves do not all come of a board that is
	// thinner by ThicknessMargin, with every resaw kerf wider by KerfMargin.
	ThicknessMargin, KerfMargin length.Length
}

// Saw holds the limits of a saw; the zero value has none.
type Saw struct {
	CuttingHeight length.Length // of the widest billet, 0: no limit
	BilletLength  length.Length // of the longest billet it carries, 0: no limit
}

// Board is a kind of board on the rack. Width and length are given for all
// boards of an order or for none.
type Board struct {
	Name, Species, Sawn      string
	Thickness, Width, Length length.Length
	Quantity                 int           // boards on the rack, or Unlimited
	Price                    int64         // of one board, in 1/10000 of the currency
	Bow                      length.Length // over the whole length
	Defects                  []Defect
}

// Defect is a stretch of a board, measured from one end, that no billet may
// contain.
type Defect struct{ From, To length.Length }

// Part is a kind of leaf that is wanted. An empty species or sawn accepts any.
// Without a width the boards are not ripped, without a length not crosscut:
// then no part of the order may have one.
type Part struct {
	Name, Species, Sawn      string
	Thickness, Width, Length length.Length
	Quantity                 int // leaves, a multiple of Matched
	Matched                  int // consecutive leaves of one billet; 0 or 1: single leaves
	Spare                    int // further leaves, a multiple of Matched
}

// SetSize returns how many leaves of a part must be neighbours.
//
// Source: definition.
func (p Part) SetSize() int { return max(p.Matched, 1) }

// SetCount returns how many matched sets of a part are wanted.
//
// Source: definition.
func (p Part) SetCount() int { return (p.Quantity + p.Spare) / p.SetSize() }

// Status says how good a plan is.
type Status string

// The statuses.
const (
	Optimal    Status = "optimal"    // the cost is proven least
	Feasible   Status = "feasible"   // everything is delivered, the cost is at most Gap above the least
	Infeasible Status = "infeasible" // the boards do not give every part
)

// Stop says why the search ended.
type Stop string

// The reasons.
const (
	ByProof Stop = "proof"
	ByWork  Stop = "work"
	ByTime  Stop = "time"

	ByShutdown Stop = "shutdown" // the context's cause is ErrShutdown
)

// Plan is the answer to an Order.
type Plan struct {
	Status    Status
	StoppedBy Stop
	// Cost of the boards taken, and a certified bound below which no plan of this
	// kind delivers the same. Both in the unit of Board.Price.
	Cost, LowerBound int64
	Gap              float64 // (Cost - LowerBound)/Cost, 0 at cost 0
	Taken            []Taken
	Unmet            []Unmet
	// UnmetProven says that no plan can leave less unmet, by the parts' order.
	UnmetProven bool
	WhatIf      []WhatIf
	Stats       Stats
}

// Taken is a number of boards that are cut alike.
type Taken struct {
	Board   int // index into Order.Boards
	Copies  int
	Billets []Billet
}

// Billet is a piece of a board, where it lies on the face, and its leaves in
// the order they are sawn.
type Billet struct {
	From, Across  length.Length // of its corner, along the length and across the width
	Length, Width length.Length // as cut; 0 where the board is not crosscut or not ripped
	Leaves        []Leaves
	Skim          length.Length // depth of the truing cut, its kerf not included; 0: none
	Remainder     length.Length // thickness left over beyond the hold-back
	Tight         bool
}

// Leaves are neighbouring leaves of one part in a billet.
type Leaves struct {
	Part                  int // index into Order.Parts
	Count                 int
	TrimLength, TrimWidth length.Length // how much longer and wider the billet is
}

// Unmet is what the boards do not give.
type Unmet struct {
	Part     int // index into Order.Parts
	Quantity int // leaves
}

// WhatIf estimates what the same leaves would cost less after a change of the
// order. Saving is in the unit of Board.Price and may be negative. It is an
// estimate: of the order solved again where it is small, of the dual prices of
// the search where it is not.
type WhatIf struct {
	Change Change
	Board  int           // index into Order.Boards for ExtraBoard
	Value  length.Length // the kerf or hold-back tried
	Saving int64
}

// Change names what a WhatIf changes.
type Change string

// The changes.
const (
	ExtraBoard    Change = "extra board"
	OtherKerf     Change = "kerf"
	OtherHoldBack Change = "hold-back"
)

// Stats counts what the search did.
type Stats struct {
	Work     int64 // elementary steps
	Patterns int
	Boards   int // taken
	Billets  int
	Setups   int // changes of billet size or leaf thickness, the first included

	MemoryFull bool // a list of the search was full, so that something was left out of it
}
