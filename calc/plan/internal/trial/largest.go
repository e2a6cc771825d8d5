package trial

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
)

// Rank is how good a plan is by what counts: cost, boards, passes, and the volume of the
// largest single piece left over.
type Rank struct {
	Cost           int64
	Boards, Passes int
	Largest        int64
}

// plus returns how good two pieces of a plan are together.
func (a Rank) plus(b Rank) Rank {
	return Rank{a.Cost + b.Cost, a.Boards + b.Boards, a.Passes + b.Passes, max(a.Largest, b.Largest)}
}

// compare orders ranks, the best first.
func (a Rank) compare(b Rank) int {
	return cmp.Or(cmp.Compare(a.Cost, b.Cost), cmp.Compare(a.Boards, b.Boards), cmp.Compare(a.Passes, b.Passes), cmp.Compare(b.Largest, a.Largest))
}

// ranks is what a piece of a board can give: for every content, told by its number, the
// best rank.
type ranks map[int]Rank

// add notes a content, and tells whether it is better than what was known.
func (g ranks) add(content int, r Rank) bool {
	old, ok := g[content]
	if ok && r.compare(old) >= 0 {
		return false
	}
	g[content] = r
	return true
}

// Largest finds the best plan of a tiny order without kits, down to the largest single
// piece left over, by trying everything, as Brute does: lengths in every order, also
// behind defects that a shorter way would lie before.
type Largest struct {
	*Brute
	d     digits
	board int
	Steps int // left
}

// NewLargest returns a brute force of an order.
func NewLargest(o plan.Order, steps int) *Largest {
	b := NewBrute(o)
	return &Largest{Brute: b, d: b.Want, Steps: steps}
}

// Solve returns the sets of each part that can be given, and the rank of the best plan,
// false where that takes too long.
func (b *Largest) Solve() (sets []int, best Rank, ok bool) {
	states := ranks{0: {}}
	for k, bd := range b.O.Boards {
		b.board = k
		options := b.options(bd)
		for n, better := 0, true; n != bd.Quantity && better && b.Steps > 0; n++ {
			better = b.further(states, options, bd.Price)
		}
	}
	for n, r := range states {
		if s := b.d.counts(n); sets == nil || cmp.Or(slices.Compare(sets, s), r.compare(best)) < 0 {
			sets, best = s, r
		}
	}
	return sets, best, b.Steps > 0
}

// further reaches states with one board more and tells whether that helps.
func (b *Largest) further(states, options ranks, price int64) bool {
	before, better := ranks{}, false
	for n, r := range states {
		before[n] = r
	}
	for n, r := range before {
		for m, o := range options {
			b.Steps--
			if states.add(b.d.plus(n, m), r.plus(o).plus(Rank{Cost: price, Boards: 1})) {
				better = true
			}
		}
	}
	return better
}

// options returns all that a board can give.
func (b *Largest) options(bd plan.Board) ranks {
	all := ranks{}
	b.lengths(bd, nil, b.O.EndTrim, ranks{0: {}}, all)
	delete(all, 0)
	return all
}

// lengths notes all that a board gives that is crosscut so far, and goes on.
func (b *Largest) lengths(bd plan.Board, cut []plan.Billet, at nm, have, all ranks) {
	offcut := Rank{Largest: b.largestOf(plan.Taken{Board: b.board, Copies: 1, Billets: cut})}
	for n, r := range have {
		if b.Steps--; n != 0 {
			all.add(n, r.plus(offcut))
		}
	}
	for _, long := range b.longs(bd) {
		strips := b.strips(bd, long)
		for _, from := range b.places(bd, at, long) {
			next := ranks{}
			for n, r := range have {
				for m, s := range strips {
					b.Steps--
					next.add(b.d.plus(n, m), r.plus(s))
				}
			}
			if b.Steps > 0 && len(next) > 0 && (b.O.Parts[0].Length > 0 || len(cut) == 0) {
				// A billet on which nothing stays tells of the stretches between lengths alone.
				piece := plan.Billet{From: from, Length: long, Remainder: -b.O.HoldBack}
				b.lengths(bd, append(slices.Clone(cut), piece), from+long+b.O.CrosscutKerf, next, all)
			}
		}
	}
}

// largestOf returns the volume of the largest piece left over of a board.
func (b *Largest) largestOf(t plan.Taken) (most int64) {
	for _, l := range b.O.LeftOver([]plan.Taken{t}) {
		most = max(most, int64(l.Thickness)*int64(max(1, l.Width))*int64(max(1, l.Length)))
	}
	return most
}

// longs returns the lengths that a board may be crosscut to; 0 where it is not.
func (b *Largest) longs(bd plan.Board) []nm {
	if b.O.Parts[0].Length == 0 {
		return []nm{0}
	}
	return b.sizes(b.O.Smallest.Length, bd.Length, func(p plan.Part) nm { return p.Length })
}

// places returns where a length may lie beyond a position: as soon as it can, and as soon
// as it can behind each defect.
func (b *Largest) places(bd plan.Board, at, long nm) []nm {
	starts := []nm{at}
	for _, d := range bd.Defects {
		if d.To > at {
			starts = append(starts, d.To)
		}
	}
	var out []nm
	for _, start := range starts {
		if from := clearOf(bd, start, long); (long == 0 || from+long <= bd.Length-b.O.EndTrim) && !slices.Contains(out, from) {
			out = append(out, from)
		}
	}
	return out
}

// strips returns all that a length gives.
func (b *Largest) strips(bd plan.Board, long nm) ranks {
	all := ranks{}
	across := long
	if across == 0 {
		across = bd.Length
	}
	b.widths(bd, across, 0, ranks{0: {}}, all)
	delete(all, 0)
	return all
}

// widths notes all that a length gives that is ripped so far, and goes on.
func (b *Largest) widths(bd plan.Board, long, at nm, have, all ranks) {
	rips := b.O.Parts[0].Width > 0
	offcut := Rank{}
	if rips {
		offcut.Largest = b.volume(bd, bd.Thickness, bd.Width-at, long)
	}
	for n, r := range have {
		b.Steps--
		all.add(n, r.plus(offcut))
	}
	if !rips && at > 0 || b.Steps <= 0 {
		return
	}
	wides := []nm{bd.Width}
	if rips {
		wides = b.sizes(b.O.Smallest.Width, bd.Width, func(p plan.Part) nm { return p.Width })
	}
	for _, wide := range wides {
		if at+wide > bd.Width {
			continue
		}
		next, billets := ranks{}, b.billet(bd, long, wide)
		for n, r := range have {
			for m, s := range billets {
				b.Steps--
				next.add(b.d.plus(n, m), r.plus(s))
			}
		}
		if len(next) > 0 {
			b.widths(bd, long, max(1, at+wide+b.O.RipKerf), next, all)
		}
	}
}

// volume returns what a piece left over counts.
func (b *Largest) volume(bd plan.Board, thick, wide, long nm) int64 {
	small := bd.Length > 0 && long < b.O.Smallest.Length || bd.Width > 0 && wide < b.O.Smallest.Width
	if small || thick <= 0 || bd.Width > 0 && wide <= 0 {
		return 0
	}
	return int64(thick) * int64(max(1, wide)) * int64(max(1, long))
}

// billet returns all contents of a billet of a size.
func (b *Largest) billet(bd plan.Board, long, wide nm) ranks {
	all := ranks{}
	b.fill(bd, long, wide, func(sets []int, rest nm, passes int) {
		b.Steps--
		all.add(b.d.number(sets), Rank{b.work(passes, long), 0, passes, b.volume(bd, b.O.HoldBack+rest, wide, long)})
	})
	return all
}
