package solver_test

import (
	"context"
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// wideOrder makes up an order whose sizes are all different and whose boards hold
// many leaves: the lists of its knapsacks grow as long as they may.
func wideOrder() plan.Order {
	r := rand.New(rand.NewPCG(1, 1))
	size := func(least, spread int) length.Length { return length.Length(least+r.IntN(spread)) * 1000 }
	o := plan.Order{Kerf: MM, HoldBack: 3 * MM, RipKerf: 3 * MM, CrosscutKerf: 3 * MM}
	for range 50 {
		o.Parts = append(o.Parts, plan.Part{Thickness: size(2000, 3000), Width: size(40_000, 150_000), Length: size(200_000, 600_000), Quantity: 1 + r.IntN(20)})
	}
	for range 30 {
		o.Boards = append(o.Boards, plan.Board{Thickness: size(50_000, 50_000), Width: size(300_000, 200_000), Length: size(1_800_000, 2_000_000), Quantity: 1 + r.IntN(9), Price: int64(100_000 + r.IntN(1_000_000))})
	}
	return o
}

// TestMemoryFull: a plan says whether something was left out for want of memory.
func TestMemoryFull(t *testing.T) {
	small := plan.Order{Kerf: MM, Boards: []plan.Board{{Thickness: 8 * MM, Price: 1, Quantity: plan.Unlimited}}, Parts: []plan.Part{{Thickness: MM, Quantity: 9}}}
	for want, o := range map[bool]plan.Order{true: wideOrder(), false: small} {
		p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1})
		if err != nil {
			t.Fatal(err)
		}
		if p.Stats.MemoryFull != want {
			t.Errorf("memory full: %v", !want)
		}
	}
}

// TestMemory: where the runtime has a limit, searches stay near it, whatever the
// order: four of them fit 256 MiB.
func TestMemory(t *testing.T) {
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(40 << 20))
	many := plan.Order{Kerf: MM, Boards: []plan.Board{{Thickness: 8 * MM, Price: 1, Quantity: plan.Unlimited}}, Parts: []plan.Part{{Thickness: MM, Quantity: plan.MaxLeaves}}}
	for name, o := range map[string]plan.Order{"wide": wideOrder(), "many leaves": many} {
		var m runtime.MemStats
		most := uint64(0)
		look := func() {
			runtime.ReadMemStats(&m)
			most = max(most, m.HeapInuse)
		}
		if _, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 60_000_000, Progress: func(solver.Progress) { look() }}); err != nil {
			t.Fatal(err)
		}
		if look(); most > 64<<20 {
			t.Errorf("%s: %d MiB", name, most>>20)
		}
	}
}
