package plan

import (
	"cmp"
	"strings"

	"resawd/calc/length"
)

// nm is a length, counted in nanometres.
type nm = length.Length

// Unlimited is the Quantity of a board of which there are as many as wanted.
const Unlimited = -1

// Order is what to cut from what, and what every cut costs in wood.
type Order struct {
	Boards []Board
	Parts  []Part
	Kits   []Kit

	Kerf         length.Length // of a resaw cut
	Skim         length.Length // off the face of every billet by the truing cut; 0: no such cut
	HoldBack     length.Length // thickness that stays fixed to the fence
	RipKerf      length.Length
	CrosscutKerf length.Length
	LeafKerf     length.Length // between the copies of a part that a leaf is divided into
	EndTrim      length.Length // off each end of a board, the cut included

	LeastSkim length.Length // the shallowest truing cut that can be set; a shallower one is made so deep

	// What the work costs beside the boards, in the unit of Board.Price: a pass of
	// the resaw, the length of a pass, a billet mounted.
	PassPrice   int64
	PassLength  Rate
	BilletPrice int64

	Saw      Saw
	Smallest Face // no billet is planned shorter or narrower, where boards are crosscut or ripped

	// A billet is tight when its leaves do not all come of a board that is
	// thinner by ThicknessMargin, with every resaw kerf wider by KerfMargin.
	ThicknessMargin, KerfMargin length.Length
}

// Rate is a price for so much length; the zero value costs nothing.
type Rate struct {
	Price int64 // in the unit of Board.Price
	Per   length.Length
}

// Face is the size of a billet's face; 0 stands for no limit.
type Face struct{ Length, Width length.Length }

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
	Quantity                 int  // copies, a multiple of Matched, those in kits among them
	Matched                  int  // copies from consecutive leaves of one billet; 0 or 1: single copies
	Spare                    int  // further copies, a multiple of Matched
	Divide                   bool // a leaf may be divided into several copies
}

// Kit is what must come from one board, so many times.
type Kit struct {
	Name     string
	Quantity int
	Parts    []KitPart
}

// Apart returns the first of a kit's parts that no board gives beside those before it: it
// wants another species, or a board sawn otherwise. It is -1 where there is none.
//
// Source: definition.
// Valid: parts whose indexes are those of the order.
func (k Kit) Apart(parts []Part) int {
	var species, sawn string
	for i, kp := range k.Parts {
		p := parts[kp.Part]
		if differ(species, p.Species) || differ(sawn, p.Sawn) {
			return i
		}
		species, sawn = cmp.Or(species, p.Species), cmp.Or(sawn, p.Sawn)
	}
	return -1
}

// differ tells two labels apart, of which neither is empty.
func differ(a, b string) bool { return a != "" && b != "" && !strings.EqualFold(a, b) }

// KitPart is how many copies of a part go into a kit, a multiple of its Matched.
type KitPart struct{ Part, Quantity int }

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
	LeftOver         []LeftOver // of the boards taken
	UnmetKits        []UnmetKit
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
	Kits    []KitCount // that each of the copies gives
}

// KitCount is a number of kits that come from one board.
type KitCount struct {
	Kit   int // index into Order.Kits
	Count int
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

// Leaves are neighbouring leaves of one part in a billet, each divided into so many
// copies along its length and across its width.
type Leaves struct {
	Part                  int           // index into Order.Parts
	Count                 int           // leaves
	EndToEnd, SideBySide  int           // 1 and 1: not divided
	TrimLength, TrimWidth length.Length // how much longer and wider the billet is than the copies and the kerfs between
}

// Copies returns how many copies of the part the leaves give.
//
// Source: definition.
func (l Leaves) Copies() int { return l.Count * l.EndToEnd * l.SideBySide }

// LeftOver is a piece that stays of a board and can be put back on the rack.
type LeftOver struct {
	Board                    int // index into Order.Boards
	Copies                   int // of the piece, on all boards of the kind that are taken
	Kind                     LeftKind
	Thickness, Width, Length length.Length // 0 where the board has no such size
	Value                    int64         // of one: the price of its board by its share of the volume
	TooThin                  bool          // for one more leaf like the thinnest of the order, with truing pass, kerfs and hold-back
}

// LeftKind says where a piece is left over.
type LeftKind string

// The places.
const (
	Offcut    LeftKind = "offcut"    // of the face, as thick as the board
	Remainder LeftKind = "remainder" // on the fence, hold-back included
)

// UnmetKit is a number of kits that the boards do not give. A kit is given as a
// whole or not at all.
type UnmetKit struct {
	Kit      int // index into Order.Kits
	Quantity int
	Reason   Reason
	Cures    []Cure
}

// Unmet is what the boards do not give of a part. A part can be unmet for two
// reasons: with kits that are, and by itself.
type Unmet struct {
	Part     int // index into Order.Parts
	Quantity int // copies
	Reason   Reason
	Cures    []Cure
}

// Reason says why something is unmet.
type Reason string

// The reasons.
const (
	OtherSpecies Reason = "species"    // no board is of its species
	OtherSawn    Reason = "sawn"       // none of its species is sawn so
	TooLong      Reason = "too long"   // for every board
	TooWide      Reason = "too wide"   // for every board
	TooThick     Reason = "too thick"  // for every board, with skim and hold-back
	BeyondSaw    Reason = "saw"        // the saw does not take a billet of its size
	AtDefect     Reason = "defect"     // no stretch between defects is long enough
	WithKit      Reason = "kit"        // its kit is unmet
	StockUsed    Reason = "stock used" // it fits, but all boards that it fits are used up
)

// Cure is what would help: more boards of a kind on the rack, or the least board to
// buy that gives one matched set or one kit.
type Cure struct {
	Board                    int // index into Order.Boards, -1 for one to buy
	Quantity                 int // of that kind
	Thickness, Width, Length length.Length
}

// WhatIf estimates what the same leaves would cost less after a change of the
// order; one that saves nothing is not told. Saving is in the unit of Board.Price.
// It is an estimate: of the order solved again where it is small, of the dual prices of
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
	Passes   int // of the resaw, truing passes among them
	Setups   int // changes of billet size or leaf thickness, the first included

	MemoryFull bool // a list of the search was full, so that something was left out of it
}
