package solver_test

import (
	"cmp"
	"context"
	"os"
	"strconv"
	"syscall"
	"testing"
	"time"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// made are the generators of orders.
var made = map[string]func(uint64) plan.Order{"harsh": trial.RealOrder, "shop": trial.ShopOrder, "maker": trial.MakerOrder}

// TestGap prints how far made-up orders of the size of a real one are from
// proof after the seconds of processor time in RESAWD_GAP_SECONDS, or the steps
// of work in RESAWD_GAP_WORK.
func TestGap(t *testing.T) {
	seconds, errS := strconv.ParseFloat(os.Getenv("RESAWD_GAP_SECONDS"), 64)
	work, errW := strconv.ParseInt(os.Getenv("RESAWD_GAP_WORK"), 10, 64)
	if errS != nil && errW != nil {
		t.Skip("neither RESAWD_GAP_SECONDS nor RESAWD_GAP_WORK is set")
	}
	for name, order := range made {
		for _, parts := range []int{4, 8, 30} {
			var gap float64
			proven := 0
			for seed := range uint64(6) {
				ctx, cancel := untilCPU(time.Duration(cmp.Or(seconds, 1000) * float64(time.Second)))
				began := processor()
				p, err := solver.Solve(ctx, trial.FewParts(order(seed), parts), solver.Options{WorkLimit: work})
				cancel()
				if err != nil {
					t.Fatal(err)
				}
				t.Logf("%s-%d-%d %d %d %.2f s, gap %.2f %%, boards %d, %s, unmet %d",
					name, parts, seed, p.Cost/100, p.LowerBound/100, (processor() - began).Seconds(), 100*p.Gap, p.Stats.Boards, p.StoppedBy, len(p.Unmet))
				gap += 100 * p.Gap / 6
				if p.LowerBound == p.Cost {
					proven++
				}
			}
			t.Logf("%s of %d parts: mean gap %.2f %%, %d of 6 proven", name, parts, gap, proven)
		}
	}
}

// untilCPU returns a context that ends after some processor time.
func untilCPU(limit time.Duration) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(context.Background())
	end := processor() + limit
	go func() {
		for ctx.Err() == nil {
			if processor() > end {
				cancel()
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	return ctx, cancel
}

// processor returns the processor time of the test so far.
func processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
