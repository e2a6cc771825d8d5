package board

import (
	"math/big"
	"slices"
	"strings"

	"resawd/calc/plan"
)

// Kind is a board on the rack.
type Kind struct {
	Group int
	Rip   nm // width + rip kerf
	Segs  []Segment
}

// Segment is a stretch of a board between defects; a piece may end at its end.
type Segment struct {
	From, To nm
	Most     int // the longest class of lengths that may lie in it
}

// group gathers boards that give the same billets, whatever their face.
type group struct {
	Set  int  // index into problem.sets
	Room []nm // thickness for leaves of a billet, per length class; -1: no such billet
	rip  nm   // the widest board's width + rip kerf

	trued bool // billets have a truing pass; false where that costs nothing
}

// addKinds fills in the kinds of board and their groups.
func (p *Problem) addKinds() {
	for _, b := range p.Order.Boards {
		set := p.setOf(b)
		rooms := p.rooms(b)
		trued := p.Priced() && trued(p.Order, b)
		g := slices.IndexFunc(p.Groups, func(g group) bool {
			return g.Set == set && g.trued == trued && slices.Equal(g.Room, rooms)
		})
		if g < 0 {
			g = len(p.Groups)
			p.Groups = append(p.Groups, group{Set: set, Room: rooms, trued: trued})
		}
		k := Kind{Group: g, Rip: b.Width + p.Order.RipKerf, Segs: p.segments(b)}
		p.Groups[g].rip = max(p.Groups[g].rip, k.Rip)
		p.Kinds = append(p.Kinds, k)
	}
}

// setOf returns the index of the set of items that a board may give.
func (p *Problem) setOf(b plan.Board) int {
	var set []int
	for i, part := range p.Order.Parts {
		if Suits(b, part) {
			set = append(set, i)
		}
	}
	var long nm
	if !p.Crosscuts() && p.Order.PassLength.Price > 0 {
		long = b.Length
	}
	for s := range p.Sets {
		if p.Longs[s] == long && slices.Equal(p.Sets[s], set) {
			return s
		}
	}
	p.Sets, p.Longs = append(p.Sets, set), append(p.Longs, long)
	return len(p.Sets) - 1
}

// Suits tells whether a board is of the species and sawn as a part asks.
func Suits(b plan.Board, p plan.Part) bool {
	return (p.Species == "" || strings.EqualFold(p.Species, b.Species)) &&
		(p.Sawn == "" || strings.EqualFold(p.Sawn, b.Sawn))
}

// rooms returns the thickness that billets of a board have for leaves, per
// length class, or -1 where the board or the saw does not allow the billet.
func (p *Problem) rooms(b plan.Board) []nm {
	rooms := make([]nm, len(p.Lens))
	height, carry := p.Order.Saw.CuttingHeight, p.Order.Saw.BilletLength
	for l, long := range p.Lens {
		if !p.Crosscuts() {
			long = b.Length
		}
		tooHigh := !p.Rips() && height > 0 && b.Width > height
		if tooHigh || long > b.Length || carry > 0 && long > carry {
			rooms[l] = -1
			continue
		}
		rooms[l] = max(-1, b.Thickness-p.Order.HoldBack-SkimLoss(p.Order, b, long))
	}
	return rooms
}

// Highest returns the number of width classes that stand in the saw.
func (p *Problem) Highest() int {
	height := p.Order.Saw.CuttingHeight
	if height == 0 || !p.Rips() {
		return len(p.Wids)
	}
	n, found := slices.BinarySearch(p.Wids, height)
	if found {
		n++
	}
	return n
}

// skimDepth returns how deep the truing cut of a billet of a length goes: the
// skim and what is left of the bow, which falls with the square of the length,
// but no less than can be set.
func skimDepth(o plan.Order, b plan.Board, long nm) nm {
	depth := o.Skim + bowOver(b, long)
	if depth == 0 {
		return 0
	}
	return max(depth, o.LeastSkim)
}

// bowOver returns what a billet of a length has of the bow of its board.
func bowOver(b plan.Board, long nm) nm {
	if b.Bow == 0 || b.Length == 0 {
		return b.Bow
	}
	square := func(s nm) *big.Int { return new(big.Int).Mul(big.NewInt(int64(s)), big.NewInt(int64(s))) }
	bow, whole := square(long), square(b.Length)
	bow.Mul(bow, big.NewInt(int64(b.Bow)))
	bow.Add(bow, whole).Sub(bow, big.NewInt(1))
	return nm(bow.Div(bow, whole).Int64())
}

// SkimLoss returns the thickness that the truing cut takes, kerf included.
func SkimLoss(o plan.Order, b plan.Board, long nm) nm {
	depth := skimDepth(o, b, long)
	if depth == 0 {
		return 0
	}
	return depth + o.Kerf
}

// segments returns the stretches of a board that billets may lie in.
func (p *Problem) segments(b plan.Board) []Segment {
	if !p.Crosscuts() {
		return nil
	}
	segs := Sound(p.Order, b)
	for i := range segs {
		segs[i].Most = len(p.Lens) - 1
	}
	return segs
}

// Sound returns the stretches of a board that are free of defects, between the
// trimmed ends.
func Sound(o plan.Order, b plan.Board) []Segment {
	defects := slices.Clone(b.Defects)
	slices.SortFunc(defects, func(x, y plan.Defect) int { return int(min(1, max(-1, x.From-y.From))) })
	var segs []Segment
	from, end := o.EndTrim, b.Length-o.EndTrim
	for _, d := range defects {
		if to := min(d.From, end); to > from {
			segs = append(segs, Segment{From: from, To: to})
		}
		from = max(from, d.To)
	}
	if end > from {
		segs = append(segs, Segment{From: from, To: end})
	}
	return segs
}

// Place returns the first place from at on where a piece keeps clear of
// defects.
func (kd Kind) Place(at, long nm) (nm, bool) {
	for _, s := range kd.Segs {
		if from := max(at, s.From); from+long <= s.To {
			return from, true
		}
	}
	return 0, false
}

// Fits tells whether a set of an item can be cut from a kind of board.
func (p *Problem) Fits(kd Kind, i int) bool {
	it := p.Items[i]
	_, placed := kd.Place(0, p.Lens[it.Len])
	return (placed || !p.Crosscuts()) && it.Wid < p.Highest() && it.Size <= p.Groups[kd.Group].Room[it.Len] &&
		(!p.Rips() || p.Wids[it.Wid]+p.Order.RipKerf <= kd.Rip)
}

// Face returns the size of a board as a price, so that no board is better than
// another but by how well it is used.
func (p *Problem) Face(k int) int64 {
	b := p.Order.Boards[k]
	return 1 + int64(float64(b.Thickness)*float64(max(1, b.Width))*float64(max(1, b.Length))/1e15)
}
