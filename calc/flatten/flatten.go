package flatten

import (
	"fmt"
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Mounting is how a warped board is held to the fence.
type Mounting int

// The ways to hold it.
const (
	Shimmed    Mounting = iota // as it is, its gaps filled
	PulledFlat                 // its bow pulled out
)

// Limits: a board, and how many pieces it may be cut into.
const (
	maxThickness = 10 * length.Metre
	mostPieces   = 4
	maxRadius    = 1e6
)

// Board is a warped board.
type Board struct {
	Thickness length.Length // by the caliper, at the thicker end
	ThinEnd   length.Length // at the thin end; 0: the same
	Width     length.Length
	Length    length.Length
	Bow       length.Length
	Cup       length.Length
	Twist     length.Length
	Crook     length.Length
}

// Setup is how it is to be sawn.
type Setup struct {
	Mounting      Mounting
	Kerf          length.Length
	HoldBack      length.Length // what the fixing needs
	CrosscutKerf  length.Length
	ShortestPiece length.Length // 0: any
}

// Trued is what truing a board costs, or one of the pieces of a board.
type Trued struct {
	Pieces           int
	Length           length.Length // of each piece
	Gap              length.Length // between fence and board, at most
	MountedThickness length.Length // from the fence to the highest point
	Skim             length.Length
	HoldBack         length.Length
	TruingCuts       int
	ThicknessLeft    length.Length // for leaves and their kerfs
	WidthLeft        length.Length // with a trued lower edge
	SpringsBack      length.Length // bow that comes back when the board is let go
	Share            float64       // of the board's volume that is left for leaves
}

// Plan is the board as it is, and crosscut into pieces.
type Plan struct {
	Trued
	Shorter []Trued // in two pieces and more, as far as they are not too short
	Best    int     // the number of pieces that leaves most; 1: as it is
}

// Choose gives what truing a board costs, whole and crosscut first.
//
// Source: definitions and the geometry of the package comment; the trade's measures
// of warp: NELMA 2024, paragraph 752.
// Valid: 0 < thickness <= 10 m; 0 < width, length <= length.Max; a thin end up to the
// thickness; bow up to half of the length, cup up to half of the width, twist up to
// the length, crook less than the width; 0 <= kerf, hold-back, crosscut kerf,
// shortest piece <= length.Max. A board that leaves nothing, whole or crosscut, is a
// *[fault.NoSolution].
func Choose(b Board, s Setup) (Plan, error) {
	if err := fault.First(b.check(), s.check()); err != nil {
		return Plan{}, err
	}
	plan := Plan{Trued: b.trued(s), Shorter: []Trued{}, Best: 1}
	best := plan.Share
	for n := 2; n <= mostPieces; n++ {
		piece := b.piece(n, s.CrosscutKerf)
		if piece.Length <= 0 || piece.Length < s.ShortestPiece {
			break
		}
		t := piece.trued(s)
		t.Pieces = n
		t.Share *= float64(n) * piece.Length.In(b.Length)
		plan.Shorter = append(plan.Shorter, t)
		if t.Share > best {
			best, plan.Best = t.Share, n
		}
	}
	if best <= 0 {
		return Plan{}, plan.tooThin(b)
	}
	return plan, nil
}

// tooThin says how thick a board would have to be, its wedge as it is, for the whole of
// it or for pieces of it to leave a nanometre.
func (p Plan) tooThin(b Board) error {
	most, why := p.ThicknessLeft, "for anything to be left for leaves"
	for _, t := range p.Shorter {
		if t.ThicknessLeft > most {
			most, why = t.ThicknessLeft, fmt.Sprintf("for anything to be left for leaves once it is crosscut into %d pieces", t.Pieces)
		}
	}
	if b.wedge() > 0 {
		why = "at the thicker end, and as much more at the thin end, " + why
	}
	return &fault.NoSolution{Quantity: "thickness", Value: b.Thickness, Needed: b.Thickness - most + 1, Why: why}
}

// trued gives what truing a board costs as it is.
func (b Board) trued(s Setup) Trued {
	t := Trued{Pieces: 1, Length: b.Length, Gap: b.Bow + b.Cup + (b.Twist+1)/2, WidthLeft: b.Width - b.Crook}
	if s.Mounting == PulledFlat {
		t.Gap, t.SpringsBack = t.Gap-b.Bow, b.Bow
	}
	t.MountedThickness = b.Thickness + t.Gap
	t.Skim = t.Gap + b.wedge()
	t.HoldBack = s.HoldBack + t.Gap
	t.ThicknessLeft = t.MountedThickness - t.Skim - t.HoldBack
	if t.Skim > 0 {
		t.TruingCuts = 1
		t.ThicknessLeft -= s.Kerf
	}
	left := max(0, t.ThicknessLeft)
	t.Share = left.In(b.Thickness) * t.WidthLeft.In(b.Width)
	return t
}

// wedge is how much thicker the board is at one end.
func (b Board) wedge() length.Length {
	if b.ThinEnd == 0 {
		return 0
	}
	return b.Thickness - b.ThinEnd
}

// piece gives one of n pieces that the board is crosscut into, with its warp rounded
// up to the nanometre.
func (b Board) piece(n int, kerf length.Length) Board {
	p := b
	p.Length = (b.Length - length.Length(n-1)*kerf) / length.Length(n)
	share := p.Length.In(b.Length)
	scaled := func(l length.Length, by float64) length.Length { return length.Length(math.Ceil(float64(l) * by)) }
	p.Bow, p.Crook = scaled(b.Bow, share*share), scaled(b.Crook, share*share)
	p.Twist = scaled(b.Twist, share)
	if b.ThinEnd > 0 {
		p.ThinEnd = b.Thickness - scaled(b.wedge(), share)
	}
	return p
}

// Sagitta gives how far an arc of a radius rises over a chord: R - sqrt(R^2 -
// (c/2)^2), the bow of a board of that length.
//
// Source: geometry of the circle.
// Valid: 0 < radius <= 1 000 km (in metres), 0 <= chord <= 2 radius, length.Max.
func Sagitta(radiusM float64, chord length.Length) (length.Length, error) {
	if err := fault.First(
		fault.Above("radius", radiusM, 0, maxRadius),
		fault.Within("chord", chord.In(length.Metre), 0, min(2*radiusM, length.Max.In(length.Metre))),
	); err != nil {
		return 0, err
	}
	half := chord.In(length.Metre) / 2
	// The same as R - sqrt(R^2 - h^2), without taking near numbers from each other.
	return length.FromFloat(half*half/(radiusM+math.Sqrt(radiusM*radiusM-half*half)), length.Metre)
}

// Fixing is a way to fix a board to its fence.
type Fixing struct {
	Longest length.Length // the longest board it holds; 0: any
	Metal   bool          // screws, which hold through shims
}

// Holds reports whether a fixing holds a board of a length that stands off the fence by
// a gap: tape and glue hold only what they touch.
//
// Source: common practice.
// Valid: any lengths.
func (f Fixing) Holds(l, gap length.Length) bool {
	return (f.Longest == 0 || l <= f.Longest) && (f.Metal || gap == 0)
}

func (b Board) check() error {
	return fault.First(
		fault.Above("thickness", b.Thickness, 0, maxThickness),
		fault.Within("thin end", b.ThinEnd, 0, b.Thickness),
		fault.Above("width", b.Width, 0, length.Max),
		fault.Above("length", b.Length, 0, length.Max),
		fault.Because(fault.Within("bow", b.Bow, 0, b.Length/2), "half of the length"),
		fault.Because(fault.Within("cup", b.Cup, 0, b.Width/2), "half of the width"),
		fault.Because(fault.Within("twist", b.Twist, 0, b.Length), "the length"),
		fault.Because(fault.Within("crook", b.Crook, 0, b.Width-1), "less than the width"),
	)
}

func (s Setup) check() error {
	return fault.First(
		fault.Within("mounting", int(s.Mounting), int(Shimmed), int(PulledFlat)),
		fault.Within("kerf", s.Kerf, 0, length.Max),
		fault.Within("hold back", s.HoldBack, 0, length.Max),
		fault.Within("crosscut kerf", s.CrosscutKerf, 0, length.Max),
		fault.Within("shortest piece", s.ShortestPiece, 0, length.Max),
	)
}
