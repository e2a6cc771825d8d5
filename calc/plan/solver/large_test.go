package solver

import (
	"context"
	"math/rand/v2"
	"strconv"
	"testing"
	"time"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
)

// largeOrder makes up an order of many kinds of parts and of boards, all of
// another size; scarce boards cannot give all parts.
func largeOrder(n int, scarce bool) plan.Order {
	r := rand.New(rand.NewPCG(9, 9))
	o := plan.Order{Kerf: trial.MM, Skim: trial.MM, HoldBack: 10 * trial.MM, RipKerf: 3 * trial.MM, CrosscutKerf: 3 * trial.MM}
	for i := range n {
		o.Parts = append(o.Parts, plan.Part{Name: strconv.Itoa(i), Thickness: nm(20+r.IntN(30)) * trial.MM / 10,
			Width: nm(40+r.IntN(150)) * trial.MM, Length: nm(200+r.IntN(700)) * trial.MM, Quantity: 1 + r.IntN(8)})
		b := plan.Board{Thickness: nm(25+r.IntN(50)) * trial.MM, Width: nm(150+r.IntN(200)) * trial.MM, Length: nm(900+r.IntN(2000)) * trial.MM, Quantity: 1 + r.IntN(3)}
		if scarce {
			b.Quantity = r.IntN(12) / 11
		}
		b.Price = int64(float64(b.Thickness) * float64(b.Width) * float64(b.Length) / 1e20 * (1 + r.Float64()))
		o.Boards = append(o.Boards, b)
	}
	return o
}

// TestLargeInTime: the largest orders are answered soon after the time is up,
// with most boards in use, whether or not they can give all parts.
func TestLargeInTime(t *testing.T) {
	if trial.Few() {
		t.Skip("takes seconds")
	}
	for _, scarce := range []bool{false, true} {
		o := largeOrder(plan.MaxParts, scarce)
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		start := time.Now()
		p, err := Solve(ctx, o, Options{})
		cancel()
		if err != nil {
			t.Fatal(err)
		}
		if took := time.Since(start); took > slower*5*time.Second {
			t.Errorf("scarce %t: took %v", scarce, took)
		}
		if (len(p.Unmet) > 0) != scarce || p.Stats.Boards < 100 || p.StoppedBy != plan.ByTime {
			t.Errorf("scarce %t: %d unmet, %d boards, by %s", scarce, len(p.Unmet), p.Stats.Boards, p.StoppedBy)
		}
		t.Logf("scarce %t: %v, %d boards, unmet %d of %d parts", scarce, time.Since(start), p.Stats.Boards, len(p.Unmet), len(o.Parts))
	}
}
