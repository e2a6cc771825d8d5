package relax

import (
	"math/big"

	"resawd/calc/plan/colgen"
)

// certify returns a number that no plan of the node costs less than, from
// whole dual prices.
//
// With prices value[i]/scale, let most[k] be the greatest worth of a pattern of
// kind k. Any n boards of kind k bring in at most n*most[k] and cost
// n*cost[k]*scale, so by Lagrangean relaxation of the demands
//
//	scale*cost >= t*sum(value*demand) + sum over k of n[k]*(scale*cost[k] - t*most[k])
//
// for any factor t from 0 to 1 and the worst n[k] from low to high. For a kind
// that never runs out t is taken small enough that its term is not negative:
// that is Farley's bound. All of it is whole numbers and fractions.
//
// Source: Farley, Operations Research 38 (1990) 922-923; Lagrangean relaxation
// as in Vanderbeck, Mathematical Programming 86 (1999) 565-594 (from memory).
func (g *Generator) certify(value []int64, scale int64, most []int64) *big.Rat {
	sum := new(big.Int)
	for i, v := range value {
		sum.Add(sum, product(v, int64(g.Demand[i])))
	}
	all, unlimited := big.NewRat(1, 1), big.NewRat(1, 1)
	for k, kind := range g.S.Kinds {
		if g.High[k] == 0 || most[k] <= 0 {
			continue
		}
		t := new(big.Rat).SetFrac(product(kind.Cost, scale), big.NewInt(most[k]))
		all = lesser(all, t)
		if g.High[k] == colgen.Unlimited {
			unlimited = lesser(unlimited, t)
		}
	}
	bound := g.lagrange(sum, scale, most, unlimited)
	if all.Cmp(unlimited) != 0 {
		if b := g.lagrange(sum, scale, most, all); b.Cmp(bound) > 0 {
			bound = b
		}
	}
	return bound
}

// lagrange is the bound of certify for one factor t.
func (g *Generator) lagrange(sum *big.Int, scale int64, most []int64, t *big.Rat) *big.Rat {
	num, den := t.Num(), t.Denom()
	total := new(big.Int).Mul(num, sum)
	for k, kind := range g.S.Kinds {
		term := new(big.Int).Mul(product(kind.Cost, scale), den)
		term.Sub(term, new(big.Int).Mul(num, big.NewInt(most[k])))
		n := g.Low[k]
		if term.Sign() < 0 {
			n = g.High[k]
		}
		total.Add(total, term.Mul(term, big.NewInt(int64(n))))
	}
	return new(big.Rat).SetFrac(total, new(big.Int).Mul(den, big.NewInt(scale)))
}

func product(a, b int64) *big.Int {
	return new(big.Int).Mul(big.NewInt(a), big.NewInt(b))
}

func lesser(a, b *big.Rat) *big.Rat {
	if b.Cmp(a) < 0 {
		return b
	}
	return a
}

// ceil is a number rounded up to a whole one, at least 0.
func ceil(v *big.Rat) int64 {
	if v.Sign() <= 0 {
		return 0
	}
	q, r := new(big.Int).QuoRem(v.Num(), v.Denom(), new(big.Int))
	if r.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return q.Int64()
}
