package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math/big"
	"slices"
	"strings"
)

// Check returns an error when a plan does not answer an order: when a board
// is overfull, a kerf, a defect or a bow is not counted, a matched set or a kit is
// broken, a leaf is divided into more than it holds, boards are taken that are not
// there, a count is off, or cost, bound, gap and status do not fit each other. It
// works from the order alone and shares nothing with the search.
//
// Source: definition.
// Valid: orders without faults.
func Check(o Order, p *Plan) error {
	c := checker{o: o, cut: make([]int, len(o.Parts)), fewest: make([]int, len(o.Parts)),
		boards: make([]int, len(o.Boards)), kits: make([]int, len(o.Kits))}
	for i, t := range p.Taken {
		if err := c.taken(t); err != nil {
			return fmt.Errorf("taken %d: %w", i, err)
		}
	}
	for _, check := range []func(*Plan) error{c.kitCounts, c.counts, c.stock, c.money} {
		if err := check(p); err != nil {
			return err
		}
	}
	return nil
}

// checker adds up what a plan takes and gives.
type checker struct {
	o      Order
	cut    []int // copies of each part
	fewest []int // copies of each part from some set of leaves that no kit needs, 0: there is none
	boards []int // boards of each kind
	kits   []int // kits of each kind
	cost   int64
}

// taken checks boards that are cut alike.
func (c *checker) taken(t Taken) error {
	if t.Board < 0 || t.Board >= len(c.o.Boards) || t.Copies < 1 || len(t.Billets) == 0 {
		return fmt.Errorf("no boards: board %d, %d copies, %d billets", t.Board, t.Copies, len(t.Billets))
	}
	b := c.o.Boards[t.Board]
	c.boards[t.Board] += t.Copies
	c.cost += int64(t.Copies) * b.Price
	for i, bl := range t.Billets {
		if err := c.billet(b, bl, t.Copies); err != nil {
			return fmt.Errorf("billet %d: %w", i, err)
		}
	}
	if err := c.taking(t); err != nil {
		return err
	}
	return c.face(b, t.Billets)
}

// taking checks that a board gives the parts of its kits, and counts them.
func (c *checker) taking(t Taken) error {
	have := make([]int, len(c.o.Parts))
	for _, bl := range t.Billets {
		for _, l := range bl.Leaves {
			have[l.Part] += l.Copies()
		}
	}
	last := -1
	for _, k := range t.Kits {
		if k.Kit <= last || k.Kit >= len(c.o.Kits) || k.Count < 1 {
			return fmt.Errorf("kit %d, %d of them", k.Kit, k.Count)
		}
		last = k.Kit
		c.kits[k.Kit] += t.Copies * k.Count
		for _, kp := range c.o.Kits[k.Kit].Parts {
			if have[kp.Part] -= k.Count * kp.Quantity; have[kp.Part] < 0 {
				return fmt.Errorf("too little of part %d for %d of kit %d", kp.Part, k.Count, k.Kit)
			}
		}
	}
	c.spared(t, have)
	return nil
}

// spared notes the sets of leaves that a board could do without, as it gives so many
// copies beside its kits.
func (c *checker) spared(t Taken, beside []int) {
	for _, bl := range t.Billets {
		for _, l := range bl.Leaves {
			n := max(1, c.o.Parts[l.Part].Matched) * l.EndToEnd * l.SideBySide
			if n <= beside[l.Part] && (c.fewest[l.Part] == 0 || n < c.fewest[l.Part]) {
				c.fewest[l.Part] = n
			}
		}
	}
}

// face checks that the billets lie side by side on the face of a board, in
// crosscut lengths, with a kerf between neighbours.
func (c *checker) face(b Board, billets []Billet) error {
	sorted := slices.Clone(billets)
	slices.SortFunc(sorted, func(x, y Billet) int {
		return cmp.Or(cmp.Compare(x.From, y.From), cmp.Compare(x.Across, y.Across))
	})
	for i, y := range sorted {
		if err := c.onFace(b, y); err != nil {
			return err
		}
		if i == 0 {
			continue
		}
		switch x := sorted[i-1]; {
		case y.From == x.From && y.Length != x.Length:
			return errors.New("billets of one crosscut differ in length")
		case y.From == x.From && (x.Width == 0 || y.Across < x.Across+x.Width+c.o.RipKerf):
			return fmt.Errorf("no rip kerf between billets at %d", y.Across)
		case y.From != x.From && y.From < x.From+x.Length+c.o.CrosscutKerf:
			return fmt.Errorf("no crosscut kerf between billets at %d", y.From)
		}
	}
	return nil
}

// onFace checks one billet against the edges and defects of a board.
func (c *checker) onFace(b Board, x Billet) error {
	if x.Across < 0 || x.Across+x.Width > b.Width || x.Width == 0 && x.Across != 0 {
		return fmt.Errorf("billet at %d lies beyond an edge", x.Across)
	}
	if x.Length == 0 {
		if x.From != 0 {
			return fmt.Errorf("billet of a whole board begins at %d", x.From)
		}
		return nil
	}
	if x.From < c.o.EndTrim || x.From+x.Length > b.Length-c.o.EndTrim {
		return fmt.Errorf("billet at %d lies in a trimmed end", x.From)
	}
	for _, d := range b.Defects {
		if x.From < d.To && x.From+x.Length > d.From {
			return fmt.Errorf("billet at %d holds a defect", x.From)
		}
	}
	return nil
}

// billet checks the thickness of a billet and adds up its leaves.
func (c *checker) billet(b Board, x Billet, copies int) error {
	long, high := x.Length, x.Width
	if long == 0 {
		long = b.Length
	}
	if high == 0 {
		high = b.Width
	}
	if err := c.size(x, long, high); err != nil {
		return err
	}
	if err := c.skim(b, x, long); err != nil {
		return err
	}
	used, kerfs := c.o.HoldBack+x.Remainder, nm(0)
	if x.Skim > 0 {
		used += x.Skim + c.o.Kerf
		kerfs++
	}
	for _, l := range x.Leaves {
		if err := c.leaves(b, x, l); err != nil {
			return err
		}
		used += nm(l.Count) * (c.o.Parts[l.Part].Thickness + c.o.Kerf)
		kerfs += nm(l.Count)
		c.cut[l.Part] += l.Copies() * copies
	}
	c.cost += int64(copies) * c.work(int64(kerfs), long)
	if used != b.Thickness || x.Remainder < 0 || len(x.Leaves) == 0 {
		return fmt.Errorf("leaves, kerfs, skim, hold-back and remainder add up to %d of %d", used, b.Thickness)
	}
	if x.Tight != (x.Remainder-c.o.ThicknessMargin-kerfs*c.o.KerfMargin < 0) {
		return fmt.Errorf("tight is %t with a remainder of %d", x.Tight, x.Remainder)
	}
	return nil
}

// size checks the face of a billet against the saw and the smallest billet.
func (c *checker) size(x Billet, long, high nm) error {
	if s := c.o.Saw; s.CuttingHeight > 0 && high > s.CuttingHeight || s.BilletLength > 0 && long > s.BilletLength {
		return fmt.Errorf("%d by %d is more than the saw takes", long, high)
	}
	if x.Length > 0 && x.Length < c.o.Smallest.Length || x.Width > 0 && x.Width < c.o.Smallest.Width {
		return fmt.Errorf("%d by %d is below the smallest billet", x.Length, x.Width)
	}
	return nil
}

// work returns what so many passes through a billet of a length cost, and mounting it:
// passes by the piece and by their length, rounded once to the nearest, halves up.
func (c *checker) work(passes int64, long nm) int64 {
	sum := new(big.Rat).SetInt64(c.o.PassPrice)
	if r := c.o.PassLength; r.Price > 0 {
		sum.Add(sum, new(big.Rat).Mul(big.NewRat(r.Price, int64(r.Per)), new(big.Rat).SetInt64(int64(long))))
	}
	sum.Mul(sum, new(big.Rat).SetInt64(passes))
	sum.Add(sum, big.NewRat(1, 2))
	return new(big.Int).Div(sum.Num(), sum.Denom()).Int64() + c.o.BilletPrice
}

// skim checks that the truing cut is the skim and the bow over the billet,
// rounded up: the extra depth e is the least with e L^2 >= bow l^2. It may be
// deeper only to be as deep as the least that can be set.
func (c *checker) skim(b Board, x Billet, long nm) error {
	square := func(a, s nm) *big.Int {
		n := big.NewInt(int64(s))
		return n.Mul(n, n).Mul(n, big.NewInt(int64(a)))
	}
	extra, need := x.Skim-c.o.Skim, square(b.Bow, long)
	if b.Length == 0 {
		need = square(b.Bow, 1)
		b.Length = 1
	}
	deep := extra > 0 && square(extra-1, b.Length).Cmp(need) >= 0
	made := x.Skim == c.o.LeastSkim && (c.o.Skim > 0 || need.Sign() > 0)
	if extra < 0 || square(extra, b.Length).Cmp(need) < 0 || deep && !made || x.Skim > 0 && x.Skim < c.o.LeastSkim {
		return fmt.Errorf("skim %d is not what the bow asks for", x.Skim)
	}
	return nil
}

// leaves checks neighbouring leaves of a part against their billet.
func (c *checker) leaves(b Board, x Billet, l Leaves) error {
	if l.Part < 0 || l.Part >= len(c.o.Parts) {
		return fmt.Errorf("part %d is unknown", l.Part)
	}
	p := c.o.Parts[l.Part]
	set := max(1, p.Matched)
	if l.Count < 1 || l.Count%set != 0 {
		return fmt.Errorf("%d leaves of part %d break a set of %d", l.Count, l.Part, set)
	}
	if err := c.grid(p, x, l); err != nil {
		return err
	}
	if p.Species != "" && !strings.EqualFold(p.Species, b.Species) {
		return fmt.Errorf("part %d is of another species", l.Part)
	}
	if p.Sawn != "" && !strings.EqualFold(p.Sawn, b.Sawn) {
		return fmt.Errorf("part %d is sawn another way", l.Part)
	}
	return nil
}

// grid checks how leaves of a part are divided, and what the billet has beyond that. A
// board is crosscut only for parts that have a length, and ripped for those with a width.
func (c *checker) grid(p Part, x Billet, l Leaves) error {
	if l.EndToEnd < 1 || l.SideBySide < 1 || !p.Divide && l.EndToEnd*l.SideBySide > 1 ||
		p.Length == 0 && l.EndToEnd > 1 || p.Width == 0 && l.SideBySide > 1 {
		return fmt.Errorf("leaves of part %d are divided %d by %d", l.Part, l.EndToEnd, l.SideBySide)
	}
	if x.Length > 0 && p.Length == 0 || x.Width > 0 && p.Width == 0 {
		return fmt.Errorf("%d by %d is cut, though part %d is as large as the board", x.Length, x.Width, l.Part)
	}
	long := nm(l.EndToEnd)*(p.Length+c.o.LeafKerf) - c.o.LeafKerf
	wide := nm(l.SideBySide)*(p.Width+c.o.LeafKerf) - c.o.LeafKerf
	if l.TrimLength < 0 || l.TrimWidth < 0 || l.TrimLength != x.Length-long || l.TrimWidth != x.Width-wide {
		return fmt.Errorf("trim of part %d is %d by %d", l.Part, l.TrimLength, l.TrimWidth)
	}
	return nil
}

// kitCounts checks that kits given and unmet are the kits wanted.
func (c *checker) kitCounts(p *Plan) error {
	last := -1
	for _, u := range p.UnmetKits {
		if u.Kit <= last || u.Kit >= len(c.o.Kits) || u.Quantity < 1 {
			return fmt.Errorf("unmet kit %d, %d of them", u.Kit, u.Quantity)
		}
		c.kits[u.Kit] += u.Quantity
		last = u.Kit
	}
	for i, k := range c.o.Kits {
		if c.kits[i] != k.Quantity {
			return fmt.Errorf("kit %d: %d given or unmet, %d wanted", i, c.kits[i], k.Quantity)
		}
	}
	return nil
}

// counts checks that copies cut and unmet are the copies wanted. The last leaves of a
// part may give copies beyond them, but none are sawn for these alone, and of what is
// unmet by itself there are none.
func (c *checker) counts(p *Plan) error {
	have := slices.Clone(c.cut)
	ofKits := make([]int, len(have))
	for _, u := range p.UnmetKits {
		for _, kp := range c.o.Kits[u.Kit].Parts {
			ofKits[kp.Part] += u.Quantity * kp.Quantity
		}
	}
	last, alone := Unmet{Part: -1}, make([]bool, len(have))
	for _, u := range p.Unmet {
		again := u.Part == last.Part && last.Reason == WithKit && u.Reason != WithKit
		if u.Part <= last.Part && !again || u.Part >= len(have) || u.Quantity < 1 || u.Quantity%max(1, c.o.Parts[u.Part].Matched) != 0 {
			return fmt.Errorf("unmet part %d, %d copies", u.Part, u.Quantity)
		}
		if u.Reason == WithKit {
			ofKits[u.Part] -= u.Quantity
		} else {
			alone[u.Part] = true
		}
		have[u.Part] += u.Quantity
		last = u
	}
	for i, part := range c.o.Parts {
		over := have[i] - part.Quantity - part.Spare
		if over < 0 || c.fewest[i] > 0 && over >= c.fewest[i] || over > 0 && alone[i] {
			return fmt.Errorf("part %d: %d copies cut or unmet, %d wanted", i, have[i], part.Quantity+part.Spare)
		}
		if ofKits[i] != 0 {
			return fmt.Errorf("part %d: its unmet kits miss %d copies more than it says", i, ofKits[i])
		}
	}
	return nil
}

// stock checks that the boards are there.
func (c *checker) stock(*Plan) error {
	for i, b := range c.o.Boards {
		if b.Quantity != Unlimited && c.boards[i] > b.Quantity {
			return fmt.Errorf("board %d: %d taken, %d there", i, c.boards[i], b.Quantity)
		}
	}
	return nil
}

// money checks cost, bound, gap and status.
func (c *checker) money(p *Plan) error {
	if p.Cost != c.cost {
		return fmt.Errorf("boards and work cost %d, not %d", c.cost, p.Cost)
	}
	if p.LowerBound < 0 || p.LowerBound > p.Cost {
		return fmt.Errorf("bound %d with cost %d", p.LowerBound, p.Cost)
	}
	var gap float64
	if p.Cost > 0 {
		gap = float64(p.Cost-p.LowerBound) / float64(p.Cost)
	}
	if p.Gap != gap {
		return fmt.Errorf("gap %g, not %g", p.Gap, gap)
	}
	want := Feasible
	switch {
	case len(p.Unmet)+len(p.UnmetKits) > 0:
		want = Infeasible
	case p.LowerBound == p.Cost:
		want = Optimal
	}
	if p.Status != want {
		return fmt.Errorf("status %s, not %s", p.Status, want)
	}
	return nil
}
