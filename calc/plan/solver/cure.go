package solver

import (
	"cmp"
	"slices"

	"resawd/calc/plan"
)

// Limits of the cures for a thing.
const (
	mostKinds = 12 // kinds of board tried
	mostCures = 3  // told of
)

// patient is a thing for which the boards are used up.
type patient struct {
	thing
	quantity int // unmet
	job      *job
	wood     float64 // missing, kerfs included
	most     int     // boards that a cure has at most
	kinds    []int   // to be tried, in this order
	cures    []plan.Cure
}

// examine lists the kinds of board that may cure a patient: first those that it fits,
// and those first that seem to do it for the least.
func (a *asker) examine(x *patient, p *plan.Plan) {
	part, parts := x.index, a.partsOf(x.thing)
	if x.kit {
		part = a.o.Kits[part].Parts[0].Part
	}
	x.job = a.jobOf(part)
	for _, p := range parts {
		leaves := x.quantity
		if x.kit {
			leaves *= p.Quantity
		}
		x.wood += float64(leaves) * wood(p.Thickness+a.o.Kerf, p.Width+a.o.RipKerf, p.Length+a.o.CrosscutKerf)
	}
	for _, u := range p.Unmet {
		if a.jobOf(u.Part) == x.job {
			x.most += u.Quantity
		}
	}
	for _, k := range x.job.boards {
		if a.o.Boards[k].Quantity != plan.Unlimited {
			x.kinds = append(x.kinds, k)
		}
	}
	type worth struct {
		misfits int
		price   int64
	}
	worths := map[int]worth{}
	for _, k := range x.kinds {
		worths[k] = worth{a.misfits(k, parts), a.price(k, a.guess(x, k))}
	}
	slices.SortStableFunc(x.kinds, func(k, l int) int {
		return cmp.Or(cmp.Compare(worths[k].misfits, worths[l].misfits), cmp.Compare(worths[k].price, worths[l].price))
	})
	x.kinds = x.kinds[:min(len(x.kinds), mostKinds)]
}

// guess returns how many boards of a kind have as much wood as a thing.
func (a *asker) guess(x *patient, k int) int {
	b := a.o.Boards[k]
	return max(1, int(min(float64(x.most), x.wood/wood(b.Thickness, b.Width+a.o.RipKerf, b.Length+a.o.CrosscutKerf))))
}

// jobOf returns the job of a part.
func (s *solver) jobOf(part int) *job {
	i := slices.IndexFunc(s.jobs, func(j *job) bool {
		return slices.ContainsFunc(j.parts, func(of []int) bool { return slices.Contains(of, part) })
	})
	return s.jobs[i]
}

// misfits counts the parts that a kind of board does not give.
func (s *solver) misfits(k int, parts []plan.Part) int {
	o, n := s.o, 0
	o.Boards = o.Boards[k : k+1]
	for i := range parts {
		if reason(o, parts[i:i+1]) != plan.StockUsed {
			n++
		}
	}
	return n
}

// wood returns the volume of a piece, or its area or thickness where it has no other size.
func wood(thick, wide, long nm) float64 {
	return float64(thick) * float64(max(1, wide)) * float64(max(1, long))
}

// treat finds cures for things for which the boards are used up, in turns, so that each
// has one before any has two, as long as there is work left for it.
func (a *asker) treat(list []*patient, p *plan.Plan) {
	for turn := range mostKinds {
		for _, x := range list {
			if a.left <= 0 || a.ctx.Err() != nil {
				break
			}
			if turn == 0 {
				a.examine(x, p)
			}
			if turn >= len(x.kinds) {
				continue
			}
			if n := a.further(x, x.kinds[turn]); n > 0 {
				x.cures = append(x.cures, plan.Cure{Board: x.kinds[turn], Quantity: n})
			}
		}
	}
	for _, x := range list {
		slices.SortStableFunc(x.cures, func(c, d plan.Cure) int {
			return cmp.Or(cmp.Compare(a.price(c.Board, c.Quantity), a.price(d.Board, d.Quantity)), cmp.Compare(c.Board, d.Board))
		})
		if len(x.cures) == 0 { // no kind does, or there is no work left to find it
			x.cures = a.toBuy(a.partsOf(x.thing))
		}
		a.told[x.thing] = remedy{plan.StockUsed, x.cures[:min(len(x.cures), mostCures)]}
	}
}

// price returns what so many boards of a kind cost.
func (a *asker) price(k, n int) int64 { return int64(n) * a.o.Boards[k].Price }

// further returns the least number of further boards of a kind with which a thing is no
// longer unmet, 0 when none was found.
func (a *asker) further(x *patient, k int) int {
	low, n := 0, a.guess(x, k) // low do not help
	for !a.cured(x, k, n) {
		if low = n; n >= x.most || a.left <= 0 {
			return 0
		}
		n = min(2*n, x.most)
	}
	for n-low > 1 {
		try := (low + n) / 2
		if a.cured(x, k, try) {
			n = try
		} else {
			low = try
		}
	}
	return n
}

// cured tells whether a thing is no longer unmet with so many more boards of a kind.
func (a *asker) cured(x *patient, k, more int) bool {
	o := x.job.upTo(a.o, x.thing)
	o.Boards[slices.Index(x.job.boards, k)].Quantity += more
	p := a.ask(o.Order)
	if p == nil {
		return false
	}
	if x.kit {
		return !slices.ContainsFunc(p.UnmetKits, func(u plan.UnmetKit) bool { return o.kits[u.Kit] == x.index })
	}
	return !slices.ContainsFunc(p.Unmet, func(u plan.Unmet) bool { return o.parts[u.Part] == x.index && u.Reason != plan.WithKit })
}
