package layouts

import (
	"cmp"
	"context"
	"encoding/binary"
	"math"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Enumerator lists all that a board of a kind can give and that is worth a floor.
// A label that cannot come to the floor with the best of what there is room for
// beside it is dropped, and so is one that gives what a smaller one gives: what
// is left is few where the floor is near what the board is worth at most.
//
// Source: enumeration of all columns within the gap: Baldacci, Christofides and
// Mingozzi, Mathematical Programming 115 (2008) 351-385 (from memory).
type Enumerator struct {
	p      *board.Problem
	t      *board.Tables // at the dear values
	k      int
	kd     board.Kind
	Items  []int   // in question: they are worth something
	value  []int64 // of items in question, beyond leaves that cost the same from every billet
	dear   []int64 // less what the multipliers take
	limit  []byte
	joined []byte       // of two labels
	least  int64        // that the labels of a board are worth, at the dear values
	clean  board.List   // crosscuts of a stretch without defects
	Budget int          // steps left
	gone   func() error // tells that time is up
	stacks []Label
	ripped [][]Label // by length class
	strips []Label   // those of ripped that matter
	made   []Label   // of boards
	Boards []Label   // those of made that matter
}

// Label is what a billet, a strip or a board can give.
type Label struct {
	Sets string // of items in question, a byte each, no more than the need
	dear int64
	size nm    // it takes, kerf included; of a board: where the next piece may begin
	from int32 // the label it grew from, -1 for none
	part int32 // the stack or strip that was added to that
	at   int32 // width class of a stack, length class of a strip
	Work int64 // its price, but for leaves that cost the same from every billet
}

// mostSets is the largest need of an item that a byte holds.
const mostSets = math.MaxUint8

// NewEnumerator returns a enumerator for some values and multipliers, which has the tables to
// itself until it has listed, false where the need is too large for it.
func NewEnumerator(t *board.Tables, k int, value []int64, share []float64, need []int) (*Enumerator, bool) {
	s := &Enumerator{p: t.P, t: t, k: k, kd: t.P.Kinds[k]}
	dear := make([]int64, len(value))
	for _, i := range t.P.Sets[t.P.Groups[s.kd.Group].Set] {
		if value[i] == 0 || need[i] == 0 {
			continue
		}
		if need[i] > mostSets {
			return nil, false
		}
		dear[i] = max(1, value[i]-int64(share[i]*float64(value[i]))) // worth something: the tables leave out what is not
		s.Items = append(s.Items, i)
	}
	rate := func(i int) float64 { return float64(dear[i]) / float64(t.P.Items[i].Size) }
	slices.SortStableFunc(s.Items, func(x, y int) int { return cmp.Compare(rate(y), rate(x)) })
	for _, i := range s.Items {
		alike := t.P.AlikeSteps(i)
		v, d := max(0, value[i]-alike), max(0, dear[i]-alike)
		s.value, s.dear, s.limit = append(s.value, v), append(s.dear, d), append(s.limit, byte(need[i]))
		s.least -= (v - d) * int64(need[i])
	}
	g := t.P.Groups[s.kd.Group]
	t.Deep[g.Set] = slices.Max(g.Room)
	t.Ask(dear, need)
	return s, true
}

// List lists the labels of a board that are worth a floor, and tells whether these
// are all: not when the budget of steps or the time is up.
func (s *Enumerator) List(ctx context.Context, floor int64, budget int) bool {
	s.least += floor
	s.Budget, s.gone = budget, ctx.Err
	s.ripped = make([][]Label, len(s.p.Lens))
	if !s.p.Crosscuts() {
		s.made = s.rip(0, 0)
	} else {
		s.made = s.crosscut()
	}
	if s.Budget < 0 || s.t.Arena.Full {
		return false
	}
	for _, x := range s.made {
		if s.worth(x, s.value) >= floor {
			s.Boards = append(s.Boards, x)
		}
	}
	return true
}

// Most returns what a board is worth at most, if that is the floor or more.
func (s *Enumerator) Most() int64 {
	var most int64
	for _, x := range s.Boards {
		most = max(most, s.worth(x, s.value))
	}
	return most
}

// worth returns what a label is worth at the values of the items in question, beyond the
// work.
func (s *Enumerator) worth(x Label, value []int64) int64 {
	sum := -s.p.Steps(x.Work)
	for n := range len(x.Sets) {
		sum += int64(x.Sets[n]) * value[n]
	}
	return sum
}

// crosscut lists what the face of the board can be crosscut into.
func (s *Enumerator) crosscut() []Label {
	kerf := s.p.Order.CrosscutKerf
	s.clean = s.t.Face(s.kd, []board.Segment{{From: 0, To: longest(s.kd), Most: len(s.p.Lens) - 1}})
	var whole int64
	for _, g := range s.kd.Segs {
		whole += s.face(g.To - g.From + kerf)
	}
	classes := make([][]int32, len(s.p.Lens)) // indices of strips
	for l, long := range s.p.Lens {
		rest := int64(-1)
		for _, g := range s.kd.Segs {
			if room := g.To - g.From; long <= room {
				rest = max(rest, whole-s.face(room+kerf)+s.face(room-long))
			}
		}
		if rest < 0 || !s.t.Live[s.p.Groups[s.kd.Group].Set][l] {
			continue
		}
		for _, x := range s.rip(l, rest) {
			if x.dear+rest >= s.least && s.holds(x, func(i int) bool { return s.p.Longer(i, l) }) { // or a shorter one would do
				s.Budget -= labelSteps
				x.at = int32(l)
				classes[l] = append(classes[l], int32(len(s.strips)))
				s.strips = append(s.strips, x)
			}
		}
	}
	g := s.extender()
	for _, seg := range s.kd.Segs {
		whole -= s.face(seg.To - seg.From + kerf)
		for i := range g.lots {
			g.lots[i].size = max(g.lots[i].size, seg.From)
		}
		for l, long := range s.p.Lens {
			g.extend(s.strips, classes[l], long+kerf, seg.To+kerf, func(at nm) int64 { return whole + s.face(seg.To+kerf-at) })
		}
	}
	return g.lots
}

// longest returns the longest stretch without defects.
func longest(kd board.Kind) nm {
	var most nm
	for _, g := range kd.Segs {
		most = max(most, g.To-g.From)
	}
	return most
}

// face returns what a stretch without defects is worth at most, kerf included.
func (s *Enumerator) face(room nm) int64 { return s.t.Arena.Worth(s.clean, room) }

// holds tells whether a label gives an item of some sort.
func (s *Enumerator) holds(x Label, sort func(i int) bool) bool {
	for n, i := range s.Items {
		if x.Sets[n] > 0 && sort(i) {
			return true
		}
	}
	return false
}

// rip lists what a length of a class can be ripped into, when the rest of the
// board is worth at most what rest says.
func (s *Enumerator) rip(l int, rest int64) []Label {
	g := s.extender()
	if !s.p.Rips() {
		g.extend(s.stacks, s.stack(l, 0, rest), 1, 1, func(nm) int64 { return rest })
		s.ripped[l] = g.lots
		return g.lots
	}
	table := s.t.Strip(s.kd.Group, l).List
	worth := func(rip nm) int64 { return rest + s.t.Arena.Worth(table, rip) }
	for w := range s.t.High {
		if size := s.p.Wids[w] + s.p.Order.RipKerf; size <= s.kd.Rip {
			g.extend(s.stacks, s.stack(l, w, worth(s.kd.Rip-size)), size, s.kd.Rip, func(at nm) int64 { return worth(s.kd.Rip - at) })
		}
	}
	s.ripped[l] = g.lots
	return g.lots
}

// stack adds to the stacks what a billet of classes can be resawn into, when the
// rest of the board is worth at most what rest says, and returns their indices: full ones
// with an item of that width, as a narrower billet does for the others.
func (s *Enumerator) stack(l, w int, rest int64) (some []int32) {
	fit := s.fit(l, w)
	sets, leaves := make([]byte, len(s.Items)), 0
	var add func(n int, room nm, worth int64)
	add = func(n int, room nm, worth int64) {
		if s.Budget--; s.Budget < 0 {
			return
		}
		if n == len(fit) {
			x := Label{Sets: string(sets), from: -1, part: -1, at: int32(w), Work: s.p.Mounted(s.k, l, leaves)}
			x.dear = s.worth(x, s.dear)
			if x.dear+rest >= s.least && !s.open(fit, sets, room) && s.holds(x, func(i int) bool { return s.p.Wider(i, w) }) {
				s.Budget -= labelSteps
				some = append(some, int32(len(s.stacks)))
				s.stacks = append(s.stacks, x)
			}
			return
		}
		at := fit[n]
		i := s.Items[at]
		size, places, work := s.p.Items[i].Size, s.p.Places(i, l, w), s.leaves(i, l)
		if worth+int64(float64(room)*float64(max(0, int64(places)*s.dear[at]-work))/float64(size))+1+rest < s.least {
			return
		}
		perSet := s.p.Order.Parts[i].SetSize()
		if s.p.Alike(i) {
			perSet = 0
		}
		for c := min(nm(board.Leaves(int(s.limit[at]), places)), room/size); c >= 0; c-- {
			sets[at] = byte(min(int(s.limit[at]), places*int(c)))
			leaves += int(c) * perSet
			add(n+1, room-c*size, worth+int64(sets[at])*s.dear[at]-int64(c)*work)
			leaves -= int(c) * perSet
		}
		sets[at] = 0
	}
	if room := s.p.Groups[s.kd.Group].Room[l]; room > 0 {
		add(0, room, -s.p.MountSteps(s.kd.Group, l))
	}
	return some
}

// fit returns the positions of the items that a billet of classes may hold, the most
// worth for their thickness first.
func (s *Enumerator) fit(l, w int) []int {
	var fit []int
	for n, i := range s.Items {
		if s.p.Places(i, l, w) > 0 {
			fit = append(fit, n)
		}
	}
	if s.p.Divides() || s.p.Priced() {
		rate := func(n int) float64 {
			i := s.Items[n]
			return float64(int64(s.p.Places(i, l, w))*s.dear[n]-s.leaves(i, l)) / float64(s.p.Items[i].Size)
		}
		slices.SortStableFunc(fit, func(x, y int) int { return cmp.Compare(rate(y), rate(x)) })
	}
	return fit
}

// leaves returns what the leaves of a set cost at least from a billet of a length class,
// unless that is the same for every billet.
func (s *Enumerator) leaves(i, l int) int64 {
	if s.p.Alike(i) {
		return 0
	}
	return s.p.SetSteps(s.p.Groups[s.kd.Group].Set, i, l)
}

// open tells whether there is room for a further set that costs no more in this billet
// than in another.
func (s *Enumerator) open(fit []int, sets []byte, room nm) bool {
	return slices.ContainsFunc(fit, func(at int) bool {
		return sets[at] < s.limit[at] && s.p.Alike(s.Items[at]) && s.p.Items[s.Items[at]].Size <= room
	})
}

// extender makes labels of parts.
type extender struct {
	s    *Enumerator
	lots []Label
	best map[string]int32 // the smallest label, by what it gives and what the work is
}

// extender returns a extender with the label of nothing.
func (s *Enumerator) extender() *extender {
	nothing := Label{Sets: string(make([]byte, len(s.Items))), from: -1, part: -1}
	return &extender{s, []Label{nothing}, map[string]int32{nothing.Sets: 0}}
}

// name names what a label gives, and what the work on it costs if it costs anything.
func (x Label) name() string {
	if x.Work == 0 {
		return x.Sets
	}
	return string(binary.AppendVarint([]byte(x.Sets), x.Work))
}

// extend adds labels with any number of some parts of a size added, up to a size of
// room. Rest is what can be added at most to the worth of a label of a size.
func (g *extender) extend(parts []Label, some []int32, size, room nm, rest func(nm) int64) {
	s := g.s
	slices.SortStableFunc(some, func(x, y int32) int { return cmp.Compare(parts[y].dear, parts[x].dear) })
	for i := 0; i < len(g.lots); i++ {
		if i%1024 == 0 && s.gone() != nil {
			s.Budget = -1
		}
		x := g.lots[i]
		if x.size+size > room || int(g.best[x.name()]) != i {
			continue
		}
		least := s.least - rest(x.size+size)
		for _, n := range some {
			if x.dear+parts[n].dear < least {
				break
			}
			if s.Budget--; s.Budget < 0 {
				return
			}
			dear := s.join(&x, &parts[n])
			if dear < least || string(s.joined) == x.Sets {
				continue
			}
			work := x.Work + parts[n].Work
			if work > 0 {
				s.joined = binary.AppendVarint(s.joined, work)
			}
			if at, ok := g.best[string(s.joined)]; ok && g.lots[at].size <= x.size+size {
				continue
			}
			s.Budget -= labelSteps
			name := string(s.joined)
			y := Label{Sets: name[:len(s.limit)], dear: dear, size: x.size + size, from: int32(i), part: n, Work: work}
			g.best[name] = int32(len(g.lots))
			g.lots = append(g.lots, y)
		}
	}
}

// labelSteps is what it costs to keep a label, in steps.
const labelSteps = 30

// join joins what two labels give, no more than the need, and returns what that is
// worth at the dear values.
func (s *Enumerator) join(x, y *Label) (dear int64) {
	s.joined = append(s.joined[:0], x.Sets...)
	for n, most := range s.limit {
		s.joined[n] += min(most-s.joined[n], y.Sets[n])
		dear += int64(s.joined[n]) * s.dear[n]
	}
	return dear - s.p.Steps(x.Work+y.Work)
}

// Layout returns the layout of a label of a board of a kind.
func (s *Enumerator) Layout(k int, x Label) board.Layout {
	lay := board.Layout{Kind: k}
	if !s.p.Crosscuts() {
		lay.Strips = []board.Strip{s.strip(0, 0, x)}
		return lay
	}
	for ; x.from >= 0; x = s.made[x.from] {
		st := s.strips[x.part]
		long := s.p.Lens[st.at] + s.p.Order.CrosscutKerf
		lay.Strips = append(lay.Strips, s.strip(int(st.at), x.size-long, st))
	}
	slices.Reverse(lay.Strips)
	return lay
}

// strip returns the strip of a label of a length class.
func (s *Enumerator) strip(l int, from nm, x Label) board.Strip {
	st := board.Strip{Piece: board.Piece{L: l, From: from}}
	for ; x.from >= 0; x = s.ripped[l][x.from] {
		y := s.stacks[x.part]
		b := board.Billet{W: int(y.at)}
		for n, i := range s.Items {
			if y.Sets[n] > 0 {
				b.Stacks = s.p.Add(b.Stacks, i, board.Leaves(int(y.Sets[n]), s.p.Places(i, l, b.W)), l, b.W)
			}
		}
		st.Billets = append(st.Billets, b)
	}
	return st
}
