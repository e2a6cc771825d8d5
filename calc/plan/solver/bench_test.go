package solver

import (
	"context"
	"testing"
	"time"

	"resawd/calc/plan/internal/trial"
)

// BenchmarkRealOrder solves made-up orders of the size of a real one and
// prints the gaps after one and after ten seconds of the clock.
func BenchmarkRealOrder(b *testing.B) {
	for seed := uint64(1); seed <= 5; seed++ {
		for _, limit := range []time.Duration{time.Second, 10 * time.Second} {
			b.Run(limit.String(), func(b *testing.B) {
				for b.Loop() {
					ctx, cancel := context.WithTimeout(context.Background(), limit)
					p, err := Solve(ctx, trial.RealOrder(seed), Options{})
					cancel()
					if err != nil {
						b.Fatal(err)
					}
					b.ReportMetric(100*p.Gap, "%gap")
				}
			})
		}
	}
}
