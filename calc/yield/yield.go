package yield

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// LastLeaf says where the last leaf comes from.
type LastLeaf int

// The places a last leaf comes from.
const (
	Fence LastLeaf = iota // every leaf is sawn off; what remains stays on the fence
	Rest                  // what remains is itself the last leaf
)

// Input is a board and how it is to be sawn.
type Input struct {
	BoardThickness  length.Length
	LeafThickness   length.Length
	Kerf            length.Length
	Skim            length.Length // 0: no truing cut
	HoldBack        length.Length // must be 0 with Rest
	LastLeaf        LastLeaf
	ThicknessMargin length.Length // how much thinner the board may be
	KerfMargin      length.Length // how much wider every kerf may come
}

// NominalKerfMargin is how much wider than the kerf as the blade is sold a kerf
// may come.
//
// Source: common practice: blades sold as 0.045 in come to 0.050 in.
const NominalKerfMargin = 5 * length.Thou

// Result is what the board gives.
type Result struct {
	LeafCount         int
	CutCount          int           // with the truing cut
	Advance           length.Length // kerf and leaf
	SkimLoss          length.Length // skim and its kerf
	LastLeafThickness length.Length
	LeftOnFence       length.Length // all that is not sawn into leaves or kerfs
	Remainder         length.Length // LeftOnFence less the hold-back
	Recovery          float64       // leaf wood out over wood in, 0 to 1
	KerfShare         float64       // kerfs of all cuts over wood in, 0 to 1
	ShortBy           length.Length // extra board thickness that gives one more leaf
	LeafCountLeast    int           // with a board and kerfs off by their margins
	Tight             bool          // LeafCountLeast is less than LeafCount
}

// Leaves gives the largest number of leaves that a board gives, and what comes
// with it: skim loss + n*advance + hold-back is at most the board, with [Rest]
// skim loss + n*advance - kerf.
//
// Source: definition.
// Valid: 0 < board and leaf, 0 <= all others, each <= length.Max; a board for
// at least one leaf, or else a *[fault.NoSolution].
func Leaves(in Input) (Result, error) {
	if err := check(in); err != nil {
		return Result{}, err
	}
	advance := in.LeafThickness + in.Kerf
	n := (in.BoardThickness - Needed(in, 0)) / advance
	if n < 1 {
		return Result{}, &fault.NoSolution{
			Quantity: "board thickness", Value: in.BoardThickness, Needed: Needed(in, 1),
			Why: "for one leaf",
		}
	}
	r := Result{
		LeafCount:         int(n),
		CutCount:          int(n) + cutsBeside(in),
		Advance:           advance,
		SkimLoss:          SkimLoss(in.Skim, in.Kerf),
		LastLeafThickness: in.LeafThickness,
		ShortBy:           Needed(in, int(n)+1) - in.BoardThickness,
	}
	r.LeafCountLeast = least(in)
	r.Tight = r.LeafCountLeast < r.LeafCount
	spare := in.BoardThickness - Needed(in, int(n))
	if in.LastLeaf == Rest {
		r.LastLeafThickness += spare
	} else {
		r.LeftOnFence, r.Remainder = in.HoldBack+spare, spare
	}
	wood := (n-1)*in.LeafThickness + r.LastLeafThickness
	r.Recovery = wood.In(in.BoardThickness)
	r.KerfShare = (length.Length(r.CutCount) * in.Kerf).In(in.BoardThickness)
	return r, nil
}

// least gives the leaves of a board and kerfs that are off by their margins.
func least(in Input) int {
	in = off(in)
	return int(max(0, (in.BoardThickness-Needed(in, 0))/(in.LeafThickness+in.Kerf)))
}

// off gives the board thinner and every kerf wider, each by its margin.
func off(in Input) Input {
	in.BoardThickness -= in.ThicknessMargin
	in.Kerf += in.KerfMargin
	return in
}

// ThickestLeaf gives the thickest leaves of which the board gives n, whatever
// in.LeafThickness is, and the thickest if board and kerfs are off by their margins;
// 0 where skim, kerfs and hold-back use the board up.
//
// Source: definition: n (leaf + kerf) is at most the board less skim loss and hold-back,
// and with [Rest] a kerf more.
// Valid: an in that [Leaves] takes, and 1 <= n.
func ThickestLeaf(in Input, n int) (nominal, least length.Length) {
	thickest := func(in Input) length.Length {
		return max(0, (in.BoardThickness-Needed(in, 0))/length.Length(n)-in.Kerf)
	}
	return thickest(in), thickest(off(in))
}

// Needed gives the board thickness that n leaves need. With [Rest] the last of
// them needs no kerf, so that for no leaf it is a kerf short of the skim loss.
//
// Source: definition.
// Valid: an in that [Leaves] takes, and 0 <= n as far as n*advance is below
// 2^62 nm.
func Needed(in Input, n int) length.Length {
	needed := SkimLoss(in.Skim, in.Kerf) + length.Length(n)*(in.LeafThickness+in.Kerf) + in.HoldBack
	if in.LastLeaf == Rest {
		needed -= in.Kerf
	}
	return needed
}

// SkimLoss gives the thickness that the truing cut uses up: skim and kerf, or
// nothing when the skim is 0, which means no truing cut.
//
// Source: definition.
// Valid: 0 <= skim, 0 <= kerf.
func SkimLoss(skim, kerf length.Length) length.Length {
	if skim == 0 {
		return 0
	}
	return skim + kerf
}

// cutsBeside is how many more cuts than leaves there are: one for the truing
// cut, one fewer when the rest is the last leaf.
func cutsBeside(in Input) int {
	n := 0
	if in.Skim > 0 {
		n++
	}
	if in.LastLeaf == Rest {
		n--
	}
	return n
}

func check(in Input) error {
	mostHeld, why := length.Max, ""
	if in.LastLeaf == Rest {
		mostHeld, why = 0, "since the rest is the last leaf"
	}
	return fault.First(
		fault.Above("board thickness", in.BoardThickness, 0, length.Max),
		fault.Above("leaf thickness", in.LeafThickness, 0, length.Max),
		fault.Within("kerf", in.Kerf, 0, length.Max),
		fault.Within("skim", in.Skim, 0, length.Max),
		fault.Within("last leaf", int(in.LastLeaf), int(Fence), int(Rest)),
		fault.Because(fault.Within("hold back", in.HoldBack, 0, mostHeld), why),
		fault.Within("thickness margin", in.ThicknessMargin, 0, length.Max),
		fault.Within("kerf margin", in.KerfMargin, 0, length.Max),
	)
}
