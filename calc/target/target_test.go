package target

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	in   = length.Inch
	thou = length.Thou
	m    = length.Metre
)

// TestZ: Brown 2000, Table 2 (his 1 % and 2.5 % are 0.01 high, so 0.015 off is let
// pass; 0 % is 0.1 %), and the normal quantiles to four decimals, computed by another
// program.
func TestZ(t *testing.T) {
	for _, c := range []struct{ undersize, brown, quantile float64 }{
		{0.001, 3.09, 3.0902}, {0.01, 2.34, 2.3263}, {0.02, 2.05, 2.0537}, {0.025, 1.97, 1.9600}, {0.03, 1.88, 1.8808},
		{0.04, 1.75, 1.7507}, {0.05, 1.65, 1.6449}, {0.10, 1.28, 1.2816}, {0.15, 1.04, 1.0364},
	} {
		z, err := Z(c.undersize)
		if err != nil || math.Abs(z-c.brown) > 0.015 || math.Abs(z-c.quantile) > 5e-5 {
			t.Errorf("%v: %v, %v", c.undersize, z, err)
		}
	}
	// 1.96 standard deviations hold 97.5 % (printed tables).
	if p, err := GoodRate(1.96); err != nil || math.Abs(p-0.975) > 5e-6 {
		t.Errorf("%v, %v", p, err)
	}
	if z, err := Z(0.5); err != nil || z != 0 {
		t.Errorf("%v, %v", z, err)
	}
}

// TestShrinkage: both places of the term, as the package comment has them: 5 % make
// 1.0526 by dividing, as here, and 1.0500 by multiplying; the product differs by the
// square of the shrinkage, and a leaf that dries comes back.
func TestShrinkage(t *testing.T) {
	c, err := Critical(Finish{Finished: in - 2*thou, Sanding: thou, Shrinkage: 0.05})
	if err != nil || math.Abs(c.In(in)-1.0526) > 5e-5 {
		t.Errorf("%v, %v", c, err)
	}
	for _, sh := range []float64{0.001, 0.01, 0.05} {
		c, _ := Critical(Finish{Finished: m, Shrinkage: sh})
		if dry := c.In(m) * (1 - sh); math.Abs(dry-1) > 1e-8 {
			t.Errorf("%v dries to %v", sh, dry)
		}
		if off := c.In(m) - (1 + sh) - sh*sh; math.Abs(off) > 1.1*sh*sh*sh+1e-9 {
			t.Errorf("%v: off by %v", sh, off)
		}
	}
}

// TestUp: critical size and aim are rounded up, never into what is too thin.
func TestUp(t *testing.T) {
	if c, err := Critical(Finish{Finished: 1, Shrinkage: 0.01}); err != nil || c != 2 {
		t.Errorf("%d, %v", c, err)
	}
	if a, err := Aim(1, 0.001, 1); err != nil || a != 2 {
		t.Errorf("%d, %v", a, err)
	}
}

// tail is the chance of at least some successes by the sum of the binomial terms in
// exact fractions: a second form beside the incomplete beta function.
func tail(n, wanted int, p *big.Rat) float64 {
	power := func(x *big.Rat, k int) *big.Rat {
		e := big.NewInt(int64(k))
		return new(big.Rat).SetFrac(new(big.Int).Exp(x.Num(), e, nil), new(big.Int).Exp(x.Denom(), e, nil))
	}
	q := new(big.Rat).Sub(big.NewRat(1, 1), p)
	sum := new(big.Rat)
	for k := wanted; k <= n; k++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(k)))
		sum.Add(sum, term.Mul(term, power(p, k)).Mul(term, power(q, n-k)))
	}
	f, _ := sum.Float64()
	return f
}

// TestTail: chance and count against exact fractions: the count is enough, one set
// less is not; where one less is on the line to the last digit, either will do.
func TestTail(t *testing.T) {
	for _, percent := range []int64{1, 30, 50, 90, 99, 100} {
		p := big.NewRat(percent, 100)
		for _, wanted := range []int{1, 2, 7, 20} {
			for _, confidence := range []float64{0.5, 0.9, 0.95, 0.9999} {
				if percent == 1 && (wanted > 1 || confidence > 0.9) {
					continue
				}
				o := Order{Wanted: wanted, SetSize: 1, GoodRate: float64(percent) / 100, Confidence: confidence}
				c, err := LeafCount(o)
				if err != nil {
					t.Fatalf("%+v: %v", o, err)
				}
				exact := tail(c.Sets, wanted, p)
				if math.Abs(c.Chance-exact) > 1e-10 || exact < confidence || c.Sets != c.Leaves {
					t.Errorf("%+v: %+v, exactly %v", o, c, exact)
				}
				if c.Sets > wanted {
					if less := tail(c.Sets-1, wanted, p); less > confidence+1e-12 {
						t.Errorf("%+v: %d would do, with %v", o, c.Sets-1, less)
					}
				}
			}
		}
	}
}

// TestSets: pairs that are good with 0.5 squared: 1 - 0.75^n is at least 0.9 from
// n = 9 on (0.9249; 0.8999 at 8), so 18 leaves.
func TestSets(t *testing.T) {
	c, err := LeafCount(Order{Wanted: 1, SetSize: 2, GoodRate: 0.5, Confidence: 0.9})
	if err != nil || c.Sets != 9 || c.Leaves != 18 || math.Abs(c.Chance-0.924915) > 5e-7 {
		t.Errorf("%+v, %v", c, err)
	}
}

// TestTooMany: 10 000 leaves of which half are good give 4918 good ones with 95 %
// (5000 - 1.645 * 50, less a half for whole numbers, by the normal approximation).
func TestTooMany(t *testing.T) {
	_, err := LeafCount(Order{Wanted: 6000, SetSize: 1, GoodRate: 0.5, Confidence: 0.95})
	var none *fault.NoSolution
	if !errors.As(err, &none) || none.Quantity != "wanted" || none.Needed != 4918 {
		t.Errorf("%v", err)
	}
	if c, err := LeafCount(Order{Wanted: 4918, SetSize: 1, GoodRate: 0.5, Confidence: 0.95}); err != nil || c.Leaves > 10_000 || c.Leaves < 9_997 {
		t.Errorf("%+v, %v", c, err)
	}
	if _, err := LeafCount(Order{Wanted: 4919, SetSize: 1, GoodRate: 0.5, Confidence: 0.95}); !errors.As(err, &none) {
		t.Errorf("%v", err)
	}
	if _, err := LeafCount(Order{Wanted: 2, SetSize: 5000, GoodRate: 0.99, Confidence: 0.95}); !errors.As(err, &none) || none.Needed != 0 {
		t.Errorf("%v", err)
	}
}

func TestRefusals(t *testing.T) {
	nan := math.NaN()
	critical := func(finished, sanding length.Length, shrinkage float64) error {
		return refusal.Only(Critical(Finish{finished, sanding, shrinkage}))
	}
	aim := func(c length.Length, z float64, sd length.Length) error { return refusal.Only(Aim(c, z, sd)) }
	count := func(wanted, set int, rate, confidence float64) error {
		return refusal.Only(LeafCount(Order{wanted, set, rate, confidence}))
	}
	for _, c := range []struct {
		name, quantity string
		err            error
	}{
		{"nothing finished", "finished", critical(0, 0, 0)},
		{"the least finished", "", critical(1, 0, 0)},
		{"the most finished", "", critical(m, 0, 0)},
		{"finished beyond", "finished", critical(m+1, 0, 0)},
		{"sanding below", "sanding", critical(1, -1, 0)},
		{"the most sanding", "", critical(1, m, 0)},
		{"sanding beyond", "sanding", critical(1, m+1, 0)},
		{"shrinkage below", "shrinkage", critical(1, 0, -0.001)},
		{"the most shrinkage", "", critical(1, 0, 0.5)},
		{"shrinkage beyond", "shrinkage", critical(1, 0, 0.5001)},
		{"shrinkage NaN", "shrinkage", critical(1, 0, nan)},
		{"undersize below", "undersize", refusal.Only(Z(0.99e-4))},
		{"the least undersize", "", refusal.Only(Z(1e-4))},
		{"the most undersize", "", refusal.Only(Z(0.5))},
		{"undersize beyond", "undersize", refusal.Only(Z(0.5001))},
		{"undersize NaN", "undersize", refusal.Only(Z(nan))},
		{"no critical size", "critical", aim(0, 1, 1)},
		{"the least critical size", "", aim(1, 1, 1)},
		{"the largest critical size", "", aim(6*m, 1, 1)},
		{"critical size beyond", "critical", aim(6*m+1, 1, 1)},
		{"z below", "z", aim(1, -0.01, 1)},
		{"no z", "", aim(1, 0, 1)},
		{"the most z", "", aim(1, 6, 1)},
		{"z beyond", "z", aim(1, 6.01, 1)},
		{"z NaN", "z", aim(1, nan, 1)},
		{"deviation below", "sawing deviation", aim(1, 1, -1)},
		{"no deviation", "", aim(1, 1, 0)},
		{"the largest deviation", "", aim(1, 1, m)},
		{"deviation beyond", "sawing deviation", aim(1, 1, m+1)},
		{"rate of a z below", "z", refusal.Only(GoodRate(-0.01))},
		{"rate of no z", "", refusal.Only(GoodRate(0))},
		{"rate of the most z", "", refusal.Only(GoodRate(6))},
		{"rate of z beyond", "z", refusal.Only(GoodRate(6.01))},
		{"nothing wanted", "wanted", count(0, 1, 1, 0.9)},
		{"one wanted", "", count(1, 1, 1, 0.9)},
		{"the most wanted", "", count(10_000, 1, 1, 0.9)},
		{"wanted beyond", "wanted", count(10_001, 1, 1, 0.9)},
		{"the most pairs", "", count(5_000, 2, 1, 0.9)},
		{"pairs beyond", "wanted", count(5_001, 2, 1, 0.9)},
		{"no set", "set size", count(1, 0, 1, 0.9)},
		{"the largest set", "", count(1, 10_000, 1, 0.9)},
		{"a set beyond", "set size", count(1, 10_001, 1, 0.9)},
		{"hardly any good", "good rate", count(1, 1, 0.0099, 0.9)},
		{"few good", "", count(1, 1, 0.01, 0.9)},
		{"better than good", "good rate", count(1, 1, 1.0001, 0.9)},
		{"rate NaN", "good rate", count(1, 1, nan, 0.9)},
		{"unsure", "confidence", count(1, 1, 1, 0.4999)},
		{"a coin", "", count(1, 1, 1, 0.5)},
		{"as sure as can be", "", count(1, 1, 1, 0.9999)},
		{"surer", "confidence", count(1, 1, 1, 0.99991)},
		{"confidence NaN", "confidence", count(1, 1, 1, nan)},
	} {
		if refusal.Of(c.err) != c.quantity {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

// FuzzTarget: the aim is never below the critical size, nor that below the finished
// one; more confidence or a lower rate never takes fewer leaves; Z undoes the normal
// distribution.
func FuzzTarget(f *testing.F) {
	f.Add(int64(2*in/10), int64(5*thou), 0.05, 0.025, int64(2*thou), 4, 2, 0.9, 0.95)
	f.Fuzz(func(t *testing.T, finished, sanding int64, shrinkage, undersize float64, sd int64, wanted, set int, rate, confidence float64) {
		c, err := Critical(Finish{length.Length(finished), length.Length(sanding), shrinkage})
		z, err2 := Z(undersize)
		if err == nil && err2 == nil {
			a, err := Aim(c, z, length.Length(sd))
			if err == nil && (a < c || c < length.Length(finished)) {
				t.Fatalf("%v, %v of %v", c, a, finished)
			}
			if back := math.Erfc(z/math.Sqrt2) / 2; math.Abs(back-undersize) > 1e-9 {
				t.Fatalf("z %v of %v comes back as %v", z, undersize, back)
			}
		}
		o := Order{wanted, set, rate, confidence}
		count, err := LeafCount(o)
		if err != nil {
			return
		}
		if count.Sets < wanted || count.Leaves != count.Sets*set || !(count.Chance >= confidence && count.Chance <= 1) {
			t.Fatalf("%+v: %+v", o, count)
		}
		o.Confidence = max(0.5, confidence-0.1)
		if less, err := LeafCount(o); err != nil || less.Sets > count.Sets {
			t.Fatalf("%+v: %+v, %v", o, less, err)
		}
		o.Confidence, o.GoodRate = confidence, min(1, rate+0.1)
		if less, err := LeafCount(o); err != nil || less.Sets > count.Sets {
			t.Fatalf("%+v: %+v, %v", o, less, err)
		}
	})
}
