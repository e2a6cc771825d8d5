package board

import (
	"math/rand/v2"
	"runtime"
	"testing"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// TestPricing compares the worth of the best board with trying everything: the
// tables' bound is at least that, the ascent's too, its layout at most, and
// with limits that never bind all are the same.
func TestPricing(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	tight, loose := 0, 0
	for n := range trial.Rounds(800) {
		o := trial.Tiny(r)
		if n%4 == 1 {
			o = trial.TinyWith(r, trial.Grids|trial.Smallest)
		}
		free := n%2 == 0
		b := trial.NewBrute(o)
		value, limit := make([]int64, len(o.Parts)), make([]int, len(o.Parts))
		for i := range limit {
			value[i], limit[i] = int64(r.IntN(50)), 1+r.IntN(3)
			if free {
				limit[i] = 600
			}
			o.Parts[i].Quantity, o.Parts[i].Spare = limit[i]*o.Parts[i].SetSize(), 0
		}
		p := Prepare(o)
		if free {
			o.Parts = o.Parts[:1]
			p, b.O = Prepare(o), o
			value, limit = value[:1], limit[:1]
		}
		b.Want = limit
		a, tb := NewAscent(p), NewTables(p)
		tb.Ask(value, limit)
		for k, kd := range p.Kinds {
			var most int64
			for v := range b.Board(o.Boards[k]) {
				var sum int64
				for i, c := range v {
					sum += int64(c) * value[i]
				}
				most = max(most, sum)
			}
			bound, _ := tb.Board(kd, kd.Segs)
			f := a.Board(k, value, limit, 25, 0)
			if bound < most || f.Bound < most || f.Worth > most || free && (bound != most || f.Worth != most) {
				t.Fatalf("order %d, board %d: best %d, tables %d, ascent %d to %d\n%+v", n, k, most, bound, f.Worth, f.Bound, o)
			}
			if f.Worth == most {
				tight++
			} else {
				loose++
			}
		}
	}
	if loose > tight/20 {
		t.Errorf("the ascent found the best layout %d times and missed it %d times", tight, loose)
	}
}

// TestLists compares the lists with trying all counts of three items.
func TestLists(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for range 300 {
		room := nm(20 + r.IntN(60))
		var size [3]nm
		var value [3]int64
		var limit [3]int
		for i := range size {
			size[i], value[i], limit[i] = nm(3+r.IntN(20)), int64(1+r.IntN(30)), r.IntN(7)
		}
		a := &Arena{}
		l := a.Start()
		for i := range size {
			l = a.Limited(l, int32(i), size[i], value[i], limit[i], room)
		}
		for at := nm(0); at <= room; at++ {
			var most int64
			for x := 0; x <= limit[0]; x++ {
				for y := 0; y <= limit[1]; y++ {
					for z := 0; z <= limit[2]; z++ {
						if nm(x)*size[0]+nm(y)*size[1]+nm(z)*size[2] <= at {
							most = max(most, int64(x)*value[0]+int64(y)*value[1]+int64(z)*value[2])
						}
					}
				}
			}
			if got := a.Worth(l, at); got != most {
				t.Fatalf("room %d: %d, not %d", at, got, most)
			}
		}
	}
}

// TestGrown compares any numbers of some steps at once with one step after the other,
// from a list of several states.
func TestGrown(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 3))
	for range 300 {
		a, room := &Arena{}, nm(20+r.IntN(80))
		src := a.once(a.Start(), Step{9, 1, nm(1 + r.IntN(9)), int64(r.IntN(9))}, room)
		var steps []Step
		one := src
		for i := range 4 {
			steps = append(steps, Step{int32(i), 1, nm(3 + r.IntN(20)), int64(1 + r.IntN(30))})
			one = a.Often(one, steps[i], room)
		}
		grown := a.grow(src)
		for _, s := range steps {
			grown.often(s, room)
		}
		all := grown.linked()
		for at := nm(0); at <= room; at++ {
			if x, y := a.Worth(one, at), a.Worth(all, at); x != y {
				t.Fatalf("room %d: %d, one after the other %d", at, y, x)
			}
		}
		end := a.States[all.Hi-1]
		a.Trace(all.Hi-1, func(item, count int32, from nm) {
			if item < 9 {
				end.Size, end.Worth = end.Size-steps[item].Size, end.Worth-steps[item].Worth
				if end.Size != from {
					t.Fatalf("a step from %d, not %d", from, end.Size)
				}
			}
		})
		if w := a.Worth(src, end.Size); end.Worth != w {
			t.Fatalf("the steps lead back to a worth of %d, not %d", end.Worth, w)
		}
	}
}

// TestBow: a bow of 6 over 300 leaves 6 (100/300)^2 = 2/3, rounded up 1, over
// 100, and all 6 over the whole length.
func TestBow(t *testing.T) {
	b := plan.Board{Length: 300, Bow: 6}
	for _, c := range []struct{ long, skim, depth nm }{{100, 0, 1}, {100, 2, 3}, {150, 0, 2}, {300, 0, 6}, {1, 0, 1}} {
		if got := skimDepth(plan.Order{Skim: c.skim}, b, c.long); got != c.depth {
			t.Errorf("%d: %d, not %d", c.long, got, c.depth)
		}
	}
	big := plan.Board{Length: 100_000 * trial.MM, Bow: 100_000 * trial.MM}
	if got := skimDepth(plan.Order{}, big, 100_000*trial.MM); got != 100_000*trial.MM {
		t.Errorf("%d", got)
	}
}

// TestArenaBound: steps that repeat reach 150 thousand million states, for which an arena
// takes no more than some MiB.
func TestArenaBound(t *testing.T) {
	var a Arena
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	at := a.Start()
	for i := range 16 {
		at = a.once(at, Step{int32(i), 1, 1_000_003 << i, 1_000_003 << i}, 1<<40)
	}
	if many := a.Often(at, Step{99, 1, 7, 7}, 1<<40); !a.Full || many != at {
		t.Errorf("full %v, list %v", a.Full, many)
	}
	runtime.ReadMemStats(&after)
	if got := after.TotalAlloc - before.TotalAlloc; got > 64<<20 {
		t.Errorf("%d bytes were allocated", got)
	}
	if a.Reset(); a.Full || a.Worth(a.Often(a.Start(), Step{1, 1, 3, 5}, 10), 10) != 15 {
		t.Error("three steps of 3 are worth 15")
	}
}
