package knapsack

import (
	"cmp"
	"context"
	"iter"
	"slices"
	"sort"

	"resawd/calc/plan/colgen"
)

// A table bounds from above what items at position i and later are worth in a
// given capacity. On a grid of unit 1 the bound is exact; on a coarser grid
// sizes are rounded down, which can only raise it, as long as what the rounding
// leaves over does not count as waste. The search that follows works with the
// exact sizes. So neither time nor memory grows with the capacity, and a
// nanometre grid does no harm.
//
// Source: Gilmore and Gomory, Operations Research 11 (1963) 863-888 (the
// knapsack by recursion over capacities); rounding as in Ibarra and Kim,
// Journal of the ACM 22 (1975) 463-468 (from memory).
type table struct {
	things []thing
	unit   int64
	width  int
	bound  []int64 // (len(things)+1) rows of width
	work   int64
	apart  [][]int // for each thing, those before it that it is kept apart from
	waste  int64   // most of the capacity that a pattern may leave
	most   int64   // largest capacity
	// of the search
	left  []int // copies still allowed
	take  []int
	best  int64
	found []colgen.Piece // by position in things
	nodes int64
}

// thing is an item that a query gives a value.
type thing struct {
	item        int
	size, value int64
	count       int
}

// The size of a table and of a search, which settles for the table's bound beyond it.
const (
	tableCells  = 1 << 20   // of a table
	finerCells  = 1 << 23   // of one where a search on a coarse grid did not come to its end
	fewUnits    = 4         // of a grid that becomes exact when it is finer
	gridLeast   = 512       // columns, however many rows
	searchNodes = 2_000_000 // of a search
	quickNodes  = 20_000    // of one for which good patterns will do
)

// never is the worth of what is not allowed
const never = -1 << 60

// fill sets up the table for items of the given values and at most limit
// copies, for capacities up to most of which at most waste may be left.
func (t *table) fill(n *Knapsack, value []int64, limit []int, most, waste int64) {
	t.things, t.waste, t.most, t.work = t.things[:0], waste, most, 0
	for _, i := range n.Order {
		if i >= len(limit) || limit[i] <= 0 || n.Size[i] > most || value[i] <= 0 && waste >= most {
			continue
		}
		count := int(min(int64(limit[i]), most/n.Size[i]))
		t.things = append(t.things, thing{i, n.Size[i], value[i], count})
	}
	t.grid(tableCells)
}

// grid computes the bounds on a grid of a limited number of cells.
func (t *table) grid(cells int) {
	t.unit = t.most/max(int64(cells/(len(t.things)+1)), gridLeast) + 1
	t.width = int(t.most/t.unit) + 1
	size := (len(t.things) + 1) * t.width
	if cap(t.bound) < size {
		t.bound = make([]int64, size)
	}
	t.bound = t.bound[:size]
	last := t.row(len(t.things))
	clear(last)
	for c := (t.waste+t.rounding())/t.unit + 1; c < int64(len(last)); c++ {
		last[c] = never
	}
	t.work += int64(t.width)
	for i := len(t.things) - 1; i >= 0; i-- {
		t.add(i)
	}
}

func (t *table) row(i int) []int64 { return t.bound[i*t.width : (i+1)*t.width] }

// add computes row i from row i+1.
func (t *table) add(i int) {
	row, th := t.row(i), t.things[i]
	copy(row, t.row(i+1))
	for part := range th.parts() {
		t.addPart(row, int(part*th.size/t.unit), part*th.value)
	}
}

// parts are the copies of a thing in parts of 1, 2, 4 and so on.
//
// Source: Martello and Toth, Knapsack Problems (1990), section 3.2 (from memory).
func (th *thing) parts() iter.Seq[int64] {
	return func(yield func(int64) bool) {
		for left, part := int64(th.count), int64(1); left > 0; part *= 2 {
			part = min(part, left)
			left -= part
			if !yield(part) {
				return
			}
		}
	}
}

// rounding is what the sizes of parts that fit the largest capacity lose at
// most on the grid: the knapsack of their losses, the last part taken in part.
func (t *table) rounding() int64 {
	if t.unit == 1 {
		return 0
	}
	type part struct{ size, loss int64 }
	var parts []part
	for i := range t.things {
		for n := range t.things[i].parts() {
			size := n * t.things[i].size
			parts = append(parts, part{size, size % t.unit})
		}
	}
	slices.SortFunc(parts, func(a, b part) int {
		return cmp.Compare(float64(b.loss)*float64(a.size), float64(a.loss)*float64(b.size))
	})
	var loss int64
	room := t.most
	for _, p := range parts {
		loss += p.loss // of the last part, too: more than its part
		if room -= p.size; room < 0 {
			break
		}
	}
	return loss
}

// addPart lets a row take one more piece or not.
func (t *table) addPart(row []int64, size int, value int64) {
	if size >= len(row) {
		return
	}
	t.work += int64(len(row) - size)
	low := row[:len(row)-size]
	high := row[size:]
	for c := len(low) - 1; c >= 0; c-- {
		if v := low[c] + value; v > high[c] {
			high[c] = v
		}
	}
}

// answers searches for patterns of each capacity worth more than its floor.
// Where the tightest bound is asked for and a short search does not find it, a
// long one may, for several kinds on a finer grid: the bound of a single kind is
// rounded up to whole boards, and need not be that tight, unless that is cheap.
func (t *table) answers(ctx context.Context, capacity, floor []int64, many int, exact bool) ([]Answer, error) {
	all, open := make([]Answer, len(capacity)), make([]bool, len(capacity))
	for k, f := range floor {
		open[k] = f != NotWanted
	}
	for _, nodes := range []int64{quickNodes, searchNodes} {
		if nodes == searchNodes && slices.Contains(open, true) && t.unit > 1 && (len(capacity) > 1 || t.unit <= fewUnits) {
			t.grid(finerCells)
		}
		for k := range all {
			if !open[k] {
				continue
			}
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			var settled bool
			all[k], settled = t.answer(capacity[k], floor[k], many, nodes)
			open[k] = exact && !settled
		}
	}
	return all, nil
}

// answer searches for patterns of one capacity worth more than floor: first
// the best, then others that share no piece with those before, because
// columns that complement each other speed the master problem. It reports
// whether the bound is as tight as the best pattern, or it found any.
func (t *table) answer(capacity, floor int64, many int, nodes int64) (a Answer, settled bool) {
	t.left, t.take = t.left[:0], t.take[:0]
	for _, th := range t.things {
		t.left = append(t.left, th.count)
		t.take = append(t.take, 0)
	}
	a.Bound = t.row(0)[capacity/t.unit]
	if a.Bound <= floor {
		return a, true
	}
	if t.unit == 1 && t.apart == nil {
		t.search(capacity, a.Bound-1, searchNodes) // the bound is exact
		settled = true
	} else if settled = t.search(capacity, floor, nodes); settled {
		a.Bound = t.best
	}
	settled = settled || t.found != nil
	for t.found != nil {
		a.Patterns = append(a.Patterns, t.pieces())
		if len(a.Patterns) >= many {
			break
		}
		t.search(capacity, floor, int64(8*len(t.things)+100))
	}
	return a, settled
}

// search looks for the best pattern worth more than floor among the copies
// left. It reports whether it looked at everything.
func (t *table) search(capacity, floor, nodes int64) bool {
	t.best, t.found, t.nodes = floor, nil, nodes
	t.descend(0, capacity, 0)
	t.work += nodes - max(t.nodes, 0)
	return t.nodes > 0
}

// pieces takes the copies of the pattern found away and returns it.
func (t *table) pieces() []colgen.Piece {
	out := make([]colgen.Piece, 0, len(t.found))
	for _, pc := range t.found {
		t.left[pc.Item] -= pc.Count
		out = append(out, colgen.Piece{Item: t.things[pc.Item].item, Count: pc.Count})
	}
	sort.Slice(out, func(a, b int) bool { return out[a].Item < out[b].Item })
	return out
}

// keepApart lists which things may not be taken together. It comes after fill.
func (t *table) keepApart(pairs [][2]int) {
	t.apart = nil
	if len(pairs) == 0 {
		return
	}
	t.apart = make([][]int, len(t.things))
	at := map[int]int{}
	for x, th := range t.things {
		at[th.item] = x
	}
	for _, p := range pairs {
		a, okA := at[p[0]]
		b, okB := at[p[1]]
		switch {
		case !okA || !okB:
		case a == b:
			t.things[a].count = 1
		default:
			t.apart[max(a, b)] = append(t.apart[max(a, b)], min(a, b))
		}
	}
}

// room is how many copies of thing i may be taken, at most limit.
func (t *table) room(i, limit int, capacity int64) int {
	if t.apart != nil {
		for _, j := range t.apart[i] {
			if t.take[j] > 0 {
				return 0
			}
		}
	}
	return int(min(int64(limit), capacity/t.things[i].size))
}

// descend decides how many copies of thing i go into the capacity.
func (t *table) descend(i int, capacity, worth int64) {
	if worth > t.best && capacity <= t.waste {
		t.keep(i, worth)
	}
	for ; i < len(t.things); i++ {
		if worth+t.row(i)[capacity/t.unit] <= t.best {
			return
		}
		t.nodes--
		if t.nodes <= 0 {
			return
		}
		th := &t.things[i]
		for c := t.room(i, t.left[i], capacity); c > 0; c-- {
			size, value := int64(c)*th.size, int64(c)*th.value
			if worth+value+t.row(i + 1)[(capacity-size)/t.unit] > t.best {
				t.take[i] = c
				t.descend(i+1, capacity-size, worth+value)
			}
		}
		t.take[i] = 0
	}
}

// keep stores the pattern taken before position i.
func (t *table) keep(i int, worth int64) {
	t.best, t.found = worth, t.found[:0]
	for j, c := range t.take[:i] {
		if c > 0 {
			t.found = append(t.found, colgen.Piece{Item: j, Count: c})
		}
	}
}
