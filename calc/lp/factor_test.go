package lp

import (
	"math"
	"math/rand/v2"
	"testing"
)

// matrix is a sparse matrix by columns.
type matrix struct {
	rows [][]int32
	vals [][]float64
}

func (m matrix) column(q int) ([]int32, []float64) { return m.rows[q], m.vals[q] }

// sparseMatrix draws a matrix with a few small whole numbers in each column.
func sparseMatrix(rng *rand.Rand, n int) matrix {
	var m matrix
	for range n {
		m.rows, m.vals = append(m.rows, nil), append(m.vals, nil)
		m.replace(rng, len(m.rows)-1, n)
	}
	return m
}

// replace draws a column anew.
func (m matrix) replace(rng *rand.Rand, q, n int) {
	m.rows[q], m.vals[q] = nil, nil
	for _, r := range rng.Perm(n)[:1+rng.IntN(min(4, n))] {
		m.rows[q] = append(m.rows[q], int32(r))
		m.vals[q] = append(m.vals[q], float64(1+rng.IntN(3)))
	}
}

// times is the matrix times x.
func (m matrix) times(x []float64) []float64 {
	out := make([]float64, len(x))
	for q, rows := range m.rows {
		for k, r := range rows {
			out[r] += m.vals[q][k] * x[q]
		}
	}
	return out
}

// across is the transposed matrix times y.
func (m matrix) across(y []float64) []float64 {
	out := make([]float64, len(y))
	for q := range m.rows {
		c := Column{Rows: m.rows[q], Vals: m.vals[q]}
		out[q] = c.times(y)
	}
	return out
}

func near(a, b []float64) bool {
	for i := range a {
		if !(math.Abs(a[i]-b[i]) <= 1e-6) { // what is not a number is not near
			return false
		}
	}
	return true
}

func randomVector(rng *rand.Rand, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = float64(rng.IntN(7) - 3)
	}
	return v
}

// What the factor solves is put back into the equations, after columns were
// exchanged, too: B x = v and B' y = v.
func TestFactorSolves(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	solved := 0
	for range 400 {
		n := 1 + rng.IntN(30)
		m, f := sparseMatrix(rng, n), factor{}
		if rows, _ := f.eliminate(n, m.column); len(rows) > 0 {
			continue
		}
		for change := range 5 {
			x, y := make([]float64, n), make([]float64, n)
			v := randomVector(rng, n)
			f.ftran(append([]float64(nil), v...), x)
			f.btran(append([]float64(nil), v...), y)
			if !near(m.times(x), v) || !near(m.across(y), v) {
				t.Fatalf("%d columns, %d exchanged: B x = %v and B' y = %v, want %v", n, change, m.times(x), m.across(y), v)
			}
			solved++
			q := rng.IntN(n)
			old := matrix{append([][]int32(nil), m.rows...), append([][]float64(nil), m.vals...)}
			m.replace(rng, q, n)
			dense, alpha := make([]float64, n), make([]float64, n)
			for k, r := range m.rows[q] {
				dense[r] = m.vals[q][k]
			}
			f.ftran(dense, alpha)
			if math.Abs(alpha[q]) < 0.1 { // the new basis would be nearly singular
				m = old
				continue
			}
			var nz []int32
			for i, a := range alpha {
				if a != 0 {
					nz = append(nz, int32(i))
				}
			}
			f.exchange(q, alpha, nz)
		}
	}
	if solved < 300 {
		t.Errorf("only %d systems were solved", solved)
	}
}

// Where columns depend on each other, unit columns of the rows left over in the
// places left over make a basis.
func TestFactorSingular(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		n := 2 + rng.IntN(12)
		m, f := sparseMatrix(rng, n), factor{}
		m.rows[1], m.vals[1] = m.rows[0], m.vals[0] // at least these two depend
		rows, places := f.eliminate(n, m.column)
		if len(rows) == 0 || len(rows) != len(places) {
			t.Fatalf("rows %v and places %v left over of two equal columns", rows, places)
		}
		for k, q := range places {
			m.rows[q], m.vals[q] = []int32{rows[k]}, []float64{1}
		}
		if rows, places := f.eliminate(n, m.column); len(rows) > 0 {
			t.Fatalf("rows %v and places %v left over of a mended basis", rows, places)
		}
	}
}
