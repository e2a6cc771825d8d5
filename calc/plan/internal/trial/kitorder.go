package trial

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"resawd/calc/plan"
)

// KitSize is how large an order with kits is.
type KitSize struct{ Parts, Kinds, Kits int }

// KitOrder makes up an order with kits that can be delivered: boards are cut up for an
// instrument maker, what comes of them is wanted, and no other boards are on the rack. It
// returns the plan of these cuts too, with the bound 0. In every other order leaves may be
// divided, though this plan divides none.
func KitOrder(seed uint64, size KitSize) (plan.Order, *plan.Plan) {
	c := kitCutter{r: rand.New(rand.NewPCG(seed, 17))}
	c.o = plan.Order{Kerf: Inch / 20, Skim: Inch / 20, HoldBack: Inch / 2, RipKerf: Inch / 8, CrosscutKerf: Inch / 8, LeafKerf: Inch / 20, EndTrim: Inch}
	for i := range 3 + size.Parts/3 {
		b := makerBoard(c.r, i, []string{"walnut", "maple"})
		b.Quantity = 0
		c.o.Boards = append(c.o.Boards, b)
	}
	for len(c.o.Parts) < size.Parts {
		c.newPart(seed%2 == 1)
	}
	for len(c.o.Kits) < size.Kinds {
		c.newKit()
	}
	p := c.cutUp(size.Kits)
	return c.o, p
}

// kitCutter cuts boards up for an order with kits.
type kitCutter struct {
	r *rand.Rand
	o plan.Order
}

// newPart adds a part, if some board holds it.
func (c *kitCutter) newPart(divide bool) {
	i := len(c.o.Parts)
	p := makerPart(c.r, c.r.IntN(100))
	p.Divide = divide
	c.o.Parts = append(c.o.Parts, p)
	for b := range c.o.Boards {
		if c.add(&plan.Taken{Board: b}, i) {
			return
		}
	}
	c.o.Parts = c.o.Parts[:i]
}

// newKit adds a kit of two to four parts, if some board holds it.
func (c *kitCutter) newKit() {
	k := plan.Kit{Name: fmt.Sprintf("kit %d", len(c.o.Kits))}
	for _, i := range c.r.Perm(len(c.o.Parts))[:2+c.r.IntN(3)] {
		k.Parts = append(k.Parts, plan.KitPart{Part: i, Quantity: c.o.Parts[i].SetSize() * (1 + c.r.IntN(2))})
	}
	for b := range c.o.Boards {
		if _, ok := c.withKit(plan.Taken{Board: b}, k); ok {
			c.o.Kits = append(c.o.Kits, k)
			return
		}
	}
}

// cutUp cuts boards up until they give so many kits, and then a few more and something of
// every part.
func (c *kitCutter) cutUp(kits int) *plan.Plan {
	p := &plan.Plan{Status: plan.Feasible, Gap: 1}
	for others := 1 + kits/5; kits > 0 || others > 0 || c.partWithout() >= 0; {
		t := plan.Taken{Board: c.r.IntN(len(c.o.Boards)), Copies: 1}
		if kits == 0 {
			others--
		}
		for most := min(kits, 1+c.r.IntN(4)); most > 0; most-- {
			if c.addKit(&t) {
				kits--
			}
		}
		if i := c.partWithout(); i >= 0 && kits == 0 {
			c.add(&t, i)
		}
		for misses := 0; misses < 10; misses++ {
			if c.add(&t, c.r.IntN(len(c.o.Parts))) {
				misses = 0
			}
		}
		if len(t.Billets) > 0 {
			c.take(p, t)
		}
	}
	return p
}

// partWithout returns the first part of which no board gave anything, -1 for none.
func (c *kitCutter) partWithout() int {
	return slices.IndexFunc(c.o.Parts, func(p plan.Part) bool { return p.Quantity == 0 })
}

// addKit adds a kit to a board, if that holds it: of the first kind that none was of, or of
// any.
func (c *kitCutter) addKit(t *plan.Taken) bool {
	k := slices.IndexFunc(c.o.Kits, func(k plan.Kit) bool { return k.Quantity == 0 })
	if k < 0 {
		k = c.r.IntN(len(c.o.Kits))
	}
	next, ok := c.withKit(*t, c.o.Kits[k])
	if !ok {
		return false
	}
	*t = next
	c.o.Kits[k].Quantity++
	i, found := slices.BinarySearchFunc(t.Kits, k, func(x plan.KitCount, k int) int { return x.Kit - k })
	if !found {
		t.Kits = slices.Insert(t.Kits, i, plan.KitCount{Kit: k})
	}
	t.Kits[i].Count++
	return true
}

// withKit returns a board with the parts of a kit more, if it holds them.
func (c *kitCutter) withKit(t plan.Taken, k plan.Kit) (plan.Taken, bool) {
	t.Billets = slices.Clone(t.Billets)
	for i := range t.Billets {
		t.Billets[i].Leaves = slices.Clone(t.Billets[i].Leaves)
	}
	for _, kp := range k.Parts {
		for n := 0; n < kp.Quantity; n += c.o.Parts[kp.Part].SetSize() {
			if !c.add(&t, kp.Part) {
				return t, false
			}
		}
	}
	return t, true
}

// add adds a matched set of a part to the first billet that holds it, or to a new one, and
// tells whether the board has room for that.
func (c *kitCutter) add(t *plan.Taken, part int) bool {
	p := c.o.Parts[part]
	for i := range t.Billets {
		if bl := &t.Billets[i]; bl.Length >= p.Length && bl.Width >= p.Width && c.saw(bl, part) {
			return true
		}
	}
	for _, bl := range c.places(t, p) {
		if bl.Length >= p.Length && c.saw(&bl, part) {
			t.Billets = append(t.Billets, bl)
			return true
		}
	}
	return false
}

// places returns the billets that a board has room for beside those it has, as wide as a
// part: in the crosscut lengths it has, and in a new one as long as the part.
func (c *kitCutter) places(t *plan.Taken, p plan.Part) []plan.Billet {
	b, from := c.o.Boards[t.Board], c.o.EndTrim
	next := map[nm]plan.Billet{}
	for _, bl := range t.Billets {
		from = max(from, bl.From+bl.Length+c.o.CrosscutKerf)
		at := plan.Billet{From: bl.From, Length: bl.Length, Across: bl.Across + bl.Width + c.o.RipKerf}
		if at.Across > next[bl.From].Across {
			next[bl.From] = at
		}
	}
	next[from] = plan.Billet{From: from, Length: p.Length}
	var all []plan.Billet
	for _, bl := range next {
		bl.Width, bl.Skim, bl.Remainder = p.Width, c.o.Skim, b.Thickness-c.o.HoldBack-c.o.Skim-c.o.Kerf
		if bl.Across+bl.Width <= b.Width && bl.From+bl.Length <= b.Length-c.o.EndTrim {
			all = append(all, bl)
		}
	}
	slices.SortFunc(all, func(x, y plan.Billet) int { return int(x.From - y.From) })
	return all
}

// saw adds a matched set of a part to the leaves of a billet, if it is thick enough.
func (c *kitCutter) saw(bl *plan.Billet, part int) bool {
	p := c.o.Parts[part]
	thick := nm(p.SetSize()) * (p.Thickness + c.o.Kerf)
	if bl.Remainder < thick {
		return false
	}
	bl.Remainder -= thick
	for i := range bl.Leaves {
		if bl.Leaves[i].Part == part {
			bl.Leaves[i].Count += p.SetSize()
			return true
		}
	}
	bl.Leaves = append(bl.Leaves, plan.Leaves{Part: part, Count: p.SetSize(), EndToEnd: 1, SideBySide: 1,
		TrimLength: bl.Length - p.Length, TrimWidth: bl.Width - p.Width})
	return true
}

// take takes a board into the plan, and wants what it gives.
func (c *kitCutter) take(p *plan.Plan, t plan.Taken) {
	p.Taken = append(p.Taken, t)
	p.Cost += c.o.Boards[t.Board].Price
	c.o.Boards[t.Board].Quantity++
	for _, bl := range t.Billets {
		for _, l := range bl.Leaves {
			c.o.Parts[l.Part].Quantity += l.Count
		}
	}
}
