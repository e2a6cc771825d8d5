package lp

import (
	"math"
	"math/rand/v2"
	"testing"
)

// patterns adds all ways to fill a roll with pieces of some sizes that leave no room for
// another piece.
func patterns(p *Program, roll int, sizes []int) (count int) {
	var fill func(i, room int, give []int)
	fill = func(i, room int, give []int) {
		if i == len(sizes) {
			if room >= sizes[len(sizes)-1] {
				return // a smallest piece more would go in
			}
			c := Column{Cost: 1}
			for r, n := range give {
				if n > 0 {
					c.Rows, c.Vals = append(c.Rows, int32(r)), append(c.Vals, float64(n))
				}
			}
			p.AddColumn(c)
			count++
			return
		}
		for n := room / sizes[i]; n >= 0; n-- {
			fill(i+1, room-n*sizes[i], append(give[:i:i], n))
		}
	}
	fill(0, roll, nil)
	return count
}

// TestChvatal: rolls of 100 in, finals of 45, 36, 31 and 14 in; Chvatal, Linear
// Programming (1983), chapter 13: 452.25 rolls.
func TestChvatal(t *testing.T) {
	p := New([]float64{-1, -1, -1, -1}, []float64{97, 610, 395, 211}, 1000)
	if n := patterns(p, 100, []int{45, 36, 31, 14}); n != 12 {
		t.Errorf("%d patterns", n) // as an integer program over all of them counts
	}
	if err := p.Primal(); err != nil || math.Abs(p.Value()-452.25) > 1e-9 {
		t.Errorf("%v rolls, %v", p.Value(), err)
	}
}

// program draws rows of each kind over columns of small whole numbers. A column for each
// row alone makes every demand possible.
func program(rng *rand.Rand) *Program {
	m := 1 + rng.IntN(8)
	sign, rhs := make([]float64, m), make([]float64, m)
	for r := range sign {
		sign[r], rhs[r] = float64(rng.IntN(3)-1), float64(rng.IntN(20))
	}
	p := New(sign, rhs, 1e4)
	for r := range m {
		p.AddColumn(Column{Cost: float64(50 + rng.IntN(50)), Rows: []int32{int32(r)}, Vals: []float64{1}})
	}
	for range rng.IntN(20) {
		c := Column{Cost: float64(rng.IntN(30))}
		for _, r := range rng.Perm(m)[:1+rng.IntN(m)] {
			c.Rows, c.Vals = append(c.Rows, int32(r)), append(c.Vals, float64(1+rng.IntN(4)))
		}
		p.AddColumn(c)
	}
	return p
}

// proven wants a point that meets the rows, prices that no column and no slack
// undercuts, and the same value on both sides: by duality nothing is less.
func proven(t *testing.T, p *Program) {
	t.Helper()
	const off = 1e-6
	got, dual := make([]float64, p.M), 0.0
	for q, c := range p.Basis {
		if p.X[q] < -off {
			t.Fatalf("place %d is %v", q, p.X[q])
		}
		if c >= 0 {
			for k, r := range p.Cols[c].Rows {
				got[r] += p.Cols[c].Vals[k] * p.X[q]
			}
		}
	}
	for r, want := range p.RHS {
		if p.Sign[r] <= 0 && got[r] < want-off || p.Sign[r] >= 0 && got[r] > want+off {
			t.Fatalf("row %d of sign %v has %v of %v", r, p.Sign[r], got[r], want)
		}
		if p.Sign[r]*p.Y[r] > off {
			t.Fatalf("row %d of sign %v has the price %v", r, p.Sign[r], p.Y[r])
		}
		dual += p.Y[r] * want
	}
	for j, c := range p.Cols {
		if d := c.Cost - c.times(p.Y); d < -off {
			t.Fatalf("column %d would still save %v", j, -d)
		}
	}
	if unmet := p.Unmet(); math.Abs(unmet) > off || math.Abs(dual-p.Value()) > off*(1+math.Abs(dual)) {
		t.Fatalf("value %v, of the prices %v, unmet %v", p.Value(), dual, unmet)
	}
}

// TestDuality: what the primal method ends with is proven least, and what the dual one
// goes on to after the right-hand sides have changed; making the basis anew changes
// nothing of that, nor does what happens to a copy.
func TestDuality(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 63))
	for range 2_000 {
		p := program(rng)
		if rng.IntN(2) == 0 {
			p.Crash()
		}
		if err := p.Primal(); err != nil {
			t.Fatal(err)
		}
		proven(t, p)
		value := p.Value()
		p.Rebuild()
		if math.Abs(p.Value()-value) > 1e-6 {
			t.Fatalf("%v, made anew %v", value, p.Value())
		}
		rhs := make([]float64, p.M)
		for r := range rhs {
			rhs[r] = float64(rng.IntN(20))
		}
		q := p.Clone()
		q.SetRHS(rhs)
		if err := q.Dual(); err != nil {
			t.Fatal(err)
		}
		if err := q.Primal(); err != nil {
			t.Fatal(err)
		}
		proven(t, q)
		proven(t, p)
	}
}
