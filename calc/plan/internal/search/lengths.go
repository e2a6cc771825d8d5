package search

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"resawd/calc/lp"
	"resawd/calc/plan/internal/board"
	"resawd/calc/plan/internal/layouts"
)

// dive lays a few boards out at once: the linear relaxation over lengths with their
// billets, each in a stretch of a board, by column generation; the length of which
// there is most is cut, and what is left is relaxed again.
//
// Source: Gilmore and Gomory 1965 for the stages (GG65); diving as common practice.
type dive struct {
	*toolbox
	plan    []board.Layout
	left    []int
	size    []float64 // of a set of each item, in that of the largest
	free    []stretch
	lengths []piece
	program *lp.Program
	row     []int // of an item, -1 where nothing of it is left
	cols    []column
	nodes   int // left
	short   *layouts.Brancher
	until   int64 // work
}

// stretch is what is left of a stretch of a board.
type stretch struct {
	board   int
	at, end nm
}

// piece is a length that boards of a group and a width can give.
type piece struct {
	group, l int
	rip      nm
	lay      board.Layout
	pieces   []board.Sets // that it gives
}

// column is a length cut from a stretch.
type column struct{ length, stretch int }

// The steps of a dive.
const (
	mostDived  = 150        // sets of all items: more are too many to find a place for each
	diveIdle   = 80_000_000 // work on plans without gain, before dives are tried
	diveShare  = 2          // of which one part in this goes to dives
	firstDive  = 20_000_000 // work that the first one may take
	shortNodes = 200        // for the best length of a class
	diveRounds = 25         // of column generation for a relaxation
	diveScale  = 1 << 30    // steps of value for the wood of the largest set
	diveNoise  = 0.2        // by which the length to be cut is chosen otherwise
	diveNodes  = 60         // relaxations, as long as they deliver everything
	diveWays   = 3          // lengths tried after a relaxation
	mostUnmet  = 1e-6       // by a relaxation that delivers everything
	leastPart  = 1e-6       // of a length in the point
)

// diveIn dives when nothing else has gained anything for long, and then for a share of
// the work. Where a dive takes longer than it may, the next may take twice as long.
func (c *halving) diveIn(number []int) *Candidate {
	before := c.Work()
	c.deep = max(c.deep, firstDive)
	idle := c.best.Clock() - c.best.found
	if idle < diveIdle || c.dived+c.deep > idle/diveShare || sum(c.need) > mostDived {
		return nil
	}
	e := c.dive(number, before+c.deep)
	took := c.Work() - before
	if c.dived += took; took > c.deep {
		c.deep *= 2
	}
	return e
}

// sum adds numbers up.
func sum(list []int) int {
	n := 0
	for _, x := range list {
		n += x
	}
	return n
}

// dive begins a plan on numbers of boards that are crosscut, until so much work is done.
func (c *halving) dive(number []int, until int64) *Candidate {
	e := NewCandidate(c.toolbox, c.best)
	if c.short == nil {
		c.short = newShort(c.p)
	}
	d := &dive{toolbox: c.toolbox, left: e.Left, short: c.short, until: until}
	most := 1.0
	for i := range c.need {
		most = max(most, c.p.Volume(i))
	}
	for i := range c.need {
		d.size = append(d.size, c.p.Volume(i)/most)
	}
	for k, n := range number {
		for range n {
			for _, s := range c.p.Kinds[k].Segs {
				d.free = append(d.free, stretch{len(d.plan), s.From, s.To})
			}
			d.plan = append(d.plan, board.Layout{Kind: k})
			e.Cost += c.p.Price(k)
		}
	}
	if d.nodes = diveNodes; !d.descend() {
		for !board.None(d.left) && d.relax() {
			ways := d.ways()
			if len(ways) == 0 {
				break
			}
			d.cut(ways[0])
		}
	}
	e.Plan, e.Left = d.plan, d.left
	return e
}

// descend cuts what is left, as long as the relaxation delivers it all, and tells whether
// it could. Where it could not nothing is cut.
func (d *dive) descend() bool {
	if board.None(d.left) {
		return true
	}
	if d.nodes--; d.nodes < 0 || !d.relax() || d.program.Unmet() > mostUnmet {
		return false
	}
	left, plan, free, ways := slices.Clone(d.left), slices.Clone(d.plan), slices.Clone(d.free), d.ways()
	for _, w := range ways {
		d.cut(w)
		if d.descend() {
			return true
		}
		copy(d.left, left)
		copy(d.plan, plan)
		copy(d.free, free)
	}
	return false
}

// relax solves the linear relaxation of what is left, and tells whether it could.
func (d *dive) relax() bool {
	var sign, rhs []float64
	d.row, d.cols = slices.Repeat([]int{-1}, len(d.left)), nil
	for i, n := range d.left {
		if n > 0 {
			d.row[i] = len(sign)
			sign, rhs = append(sign, -1), append(rhs, float64(n)*d.size[i])
		}
	}
	for _, s := range d.free {
		sign, rhs = append(sign, 1), append(rhs, d.share(s.end-s.at))
	}
	d.program = lp.New(sign, rhs, 1)
	d.program.Alive = d.ctx.Err
	for n, x := range d.lengths {
		if !slices.ContainsFunc(x.pieces, func(s board.Sets) bool { return s.Count > d.left[s.Item] }) {
			d.add(n)
		}
	}
	for range diveRounds {
		before := d.program.Work
		err := d.program.Primal()
		d.steps += d.program.Work - before
		if err != nil || d.ctx.Err() != nil || d.Work() > d.until {
			return false
		}
		if !d.price() {
			break
		}
	}
	return true
}

// share returns what a length with its kerf takes of the longest.
func (d *dive) share(long nm) float64 {
	return float64(long+d.p.Order.CrosscutKerf) / float64(d.p.Lens[len(d.p.Lens)-1]+d.p.Order.CrosscutKerf)
}

// add adds a length in every stretch that has room for it.
func (d *dive) add(n int) {
	x := d.lengths[n]
	for s, f := range d.free {
		if !d.gives(f, x) {
			continue
		}
		var col lp.Column
		for _, pc := range x.pieces {
			if r := d.row[pc.Item]; r >= 0 {
				col.Rows, col.Vals = append(col.Rows, int32(r)), append(col.Vals, float64(pc.Count)*d.size[pc.Item])
			}
		}
		col.Rows = append(col.Rows, int32(d.program.M-len(d.free)+s))
		col.Vals = append(col.Vals, d.share(d.p.Lens[x.l]))
		d.program.AddColumn(col)
		d.cols = append(d.cols, column{n, s})
	}
}

// gives tells whether a stretch gives a length.
func (d *dive) gives(f stretch, x piece) bool {
	kd := d.p.Kinds[d.plan[f.board].Kind]
	return kd.Group == x.group && kd.Rip == x.rip && f.at+d.p.Lens[x.l] <= f.end
}

// price adds the lengths that are worth more than the room they take, and tells whether
// there are any.
func (d *dive) price() bool {
	v := make([]int64, len(d.left))
	for i, r := range d.row {
		if r >= 0 {
			v[i] = int64(max(0, d.program.Y[r]) * d.size[i] * diveScale)
		}
	}
	some := false
	for l, long := range d.p.Lens {
		for k, rent := range d.rents(l) {
			if d.Work() > d.until {
				return false
			}
			floor := int64(rent*d.share(long)*(1+leastGain)) + 1
			if best := d.best(k, l, v, floor); len(best.Strips) > 0 {
				d.lengths = append(d.lengths, piece{d.p.Kinds[k].Group, l, d.p.Kinds[k].Rip, best, best.Pieces()})
				d.add(len(d.lengths) - 1)
				some = true
			}
		}
	}
	return some
}

// best returns what a length of a class of a kind of board is cut into if it is worth
// more than a floor, and else nothing: a board no longer than that, laid out exactly.
func (d *dive) best(k, l int, value []int64, floor int64) board.Layout {
	b, before := d.short, d.short.Work()
	b.Board(d.ctx, len(d.p.Kinds)+k*len(d.p.Lens)+l, value, board.Still(d.left), floor, make([]float64, len(value)), shortNodes)
	d.steps += b.Work() - before
	if b.Worth <= floor {
		return board.Layout{}
	}
	return b.Best
}

// newShort returns a brancher of boards that are no longer than a length of a class, for
// each kind and class.
func newShort(p *board.Problem) *layouts.Brancher {
	q := *p
	q.Kinds, q.Order.Boards = slices.Clone(p.Kinds), slices.Clone(p.Order.Boards)
	for k, kd := range p.Kinds {
		for l, long := range p.Lens {
			kd.Segs = []board.Segment{{To: long, Most: l}}
			q.Kinds, q.Order.Boards = append(q.Kinds, kd), append(q.Order.Boards, p.Order.Boards[k])
		}
	}
	return layouts.NewBrancher(&q)
}

// rents returns what room for a length of a class costs at least, in steps of value for
// its length, by a kind of board for each that gives other lengths.
func (d *dive) rents(l int) iter.Seq2[int, float64] {
	return func(yield func(int, float64) bool) {
		for s, f := range d.free {
			kd := d.p.Kinds[d.plan[f.board].Kind]
			x := piece{group: kd.Group, rip: kd.Rip, l: l}
			least, first := math.Inf(1), -1
			for r, g := range d.free {
				if d.gives(g, x) {
					least = min(least, max(0, -d.program.Y[d.program.M-len(d.free)+r])*diveScale)
					if first < 0 {
						first = r
					}
				}
			}
			if first == s && !yield(d.plan[f.board].Kind, least) {
				return
			}
		}
	}
}

// way is a length to be cut from a stretch.
type way struct {
	piece
	stretch int
	part    float64 // of the point
}

// ways returns some lengths of which the point has most, each once.
func (d *dive) ways() []way {
	var all []way
	for q, c := range d.program.Basis {
		if c < 0 || d.program.X[q] < leastPart {
			continue
		}
		w := way{d.lengths[d.cols[c].length], d.cols[c].stretch, min(1, d.program.X[q]) + diveNoise*d.rng.Float64()}
		all = append(all, w)
	}
	slices.SortFunc(all, func(x, y way) int { return cmp.Compare(y.part, x.part) })
	return all[:min(len(all), diveWays)]
}

// cut cuts a length.
func (d *dive) cut(w way) {
	f := &d.free[w.stretch]
	lay := &d.plan[f.board]
	lay.Strips = slices.Clone(lay.Strips)
	for _, st := range w.lay.Clone().Strips {
		st.From += f.at
		lay.Strips = append(lay.Strips, st)
	}
	f.at += d.p.Lens[w.l] + d.p.Order.CrosscutKerf
	board.Take(d.left, w.pieces)
	for i, n := range d.left {
		d.left[i] = max(0, n)
	}
}
