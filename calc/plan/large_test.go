package plan

import (
	"context"
	"math/rand/v2"
	"strconv"
	"testing"
	"time"
)

// largeOrder makes up an order of many kinds of parts and of boards, all of
// another size; scarce boards cannot give all parts.
func largeOrder(n int, scarce bool) Order {
	r := rand.New(rand.NewPCG(9, 9))
	o := Order{Kerf: mm, Skim: mm, HoldBack: 10 * mm, RipKerf: 3 * mm, CrosscutKerf: 3 * mm}
	for i := range n {
		o.Parts = append(o.Parts, Part{Name: strconv.Itoa(i), Thickness: nm(20+r.IntN(30)) * mm / 10,
			Width: nm(40+r.IntN(150)) * mm, Length: nm(200+r.IntN(700)) * mm, Quantity: 1 + r.IntN(8)})
		b := Board{Thickness: nm(25+r.IntN(50)) * mm, Width: nm(150+r.IntN(200)) * mm, Length: nm(900+r.IntN(2000)) * mm, Quantity: 1 + r.IntN(3)}
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
	if testing.Short() {
		t.Skip("takes seconds")
	}
	for _, scarce := range []bool{false, true} {
		o := largeOrder(MaxParts, scarce)
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
		if (len(p.Unmet) > 0) != scarce || p.Stats.Boards < 100 || p.StoppedBy != ByTime {
			t.Errorf("scarce %t: %d unmet, %d boards, by %s", scarce, len(p.Unmet), p.Stats.Boards, p.StoppedBy)
		}
		t.Logf("scarce %t: %v, %d boards, unmet %d of %d parts", scarce, time.Since(start), p.Stats.Boards, len(p.Unmet), len(o.Parts))
	}
}
