package colgen

import (
	"errors"
	"math"
)

// column is a pattern, or what stands for one, in the master problem.
type column struct {
	cost float64
	rows []int32
	vals []float64
}

// master is the restricted master problem: minimise cost over the columns,
// subject to rows of "at least", "at most" or "exactly", solved by the revised simplex
// method with an explicit inverse of the basis.
//
// Source: Dantzig, Linear Programming and Extensions (1963), chapter 9 (from
// memory); Gilmore and Gomory, Operations Research 9 (1961) 849-859.
type master struct {
	m     int
	sign  []float64 // +1: at most, -1: at least, 0: exactly
	rhs   []float64
	big   float64 // cost of leaving a row unmet
	cols  []column
	basis []int32   // per row: index of a column; negative for unit columns
	where []int32   // per column: its row in the basis or -1
	inv   []float64 // by columns: inv[j*m+r]
	x     []float64 // of the basis
	y     []float64 // dual prices
	alpha []float64
	nz    []int32
	steps int // since the inverse was made
	work  int64
	count int          // pivots
	alive func() error // asked now and then; an error ends the method
}

// Unit columns: slack of row r is -1-2r, artificial of row r is -2-2r.
func slackOf(r int) int32      { return int32(-1 - 2*r) }
func artificialOf(r int) int32 { return int32(-2 - 2*r) }
func unitRow(c int32) int      { return int(-c-1) / 2 }
func isArtificial(c int32) bool {
	return c < 0 && (-c-1)%2 == 1
}

const (
	priceTol  = 1e-9 // reduced costs above -priceTol do not enter
	pivotTol  = 1e-9
	feasTol   = 1e-9
	refactor  = 400
	badPivots = 50_000
)

var errNumeric = errors.New("colgen: the linear program did not settle")

// newMaster starts with slacks and artificials in the basis.
func newMaster(sign, rhs []float64, big float64) *master {
	m := len(rhs)
	lp := &master{m: m, sign: sign, rhs: append([]float64(nil), rhs...), big: big,
		basis: make([]int32, m), inv: make([]float64, m*m),
		x: make([]float64, m), y: make([]float64, m), alpha: make([]float64, m)}
	lp.reset()
	return lp
}

// reset makes the basis the unit columns.
func (lp *master) reset() {
	clear(lp.inv)
	for i := range lp.where {
		lp.where[i] = -1
	}
	for r := range lp.basis {
		lp.inv[r*lp.m+r] = 1
		lp.x[r] = lp.rhs[r]
		if lp.sign[r] > 0 {
			lp.basis[r] = slackOf(r)
		} else {
			lp.basis[r] = artificialOf(r)
		}
		lp.y[r] = lp.costOf(lp.basis[r])
	}
	lp.steps = 0
}

// clone copies the state; columns are shared.
func (lp *master) clone() *master {
	c := *lp
	c.rhs = append([]float64(nil), lp.rhs...)
	c.basis = append([]int32(nil), lp.basis...)
	c.where = append([]int32(nil), lp.where...)
	c.cols = append([]column(nil), lp.cols...)
	c.inv = append([]float64(nil), lp.inv...)
	c.x = append([]float64(nil), lp.x...)
	c.y = append([]float64(nil), lp.y...)
	c.alpha = make([]float64, lp.m)
	c.nz = nil
	return &c
}

// addColumn adds a column outside the basis.
func (lp *master) addColumn(c column) {
	lp.cols = append(lp.cols, c)
	lp.where = append(lp.where, -1)
}

func (lp *master) costOf(c int32) float64 {
	switch {
	case c >= 0:
		return lp.cols[c].cost
	case isArtificial(c):
		return lp.big
	}
	return 0
}

// reduced is the reduced cost of column j.
func (lp *master) reduced(j int) float64 {
	c := &lp.cols[j]
	d := c.cost
	for x, r := range c.rows {
		d -= c.vals[x] * lp.y[r]
	}
	return d
}

// ftran sets alpha to the inverse times a column.
func (lp *master) ftran(c int32) {
	clear(lp.alpha)
	if c >= 0 {
		col := &lp.cols[c]
		for x, r := range col.rows {
			lp.addTo(int(r), col.vals[x])
		}
	} else if r := unitRow(c); isArtificial(c) {
		lp.addTo(r, 1)
	} else {
		lp.addTo(r, lp.sign[r])
	}
	lp.nz = lp.nz[:0]
	for r, a := range lp.alpha {
		if a > 1e-12 || a < -1e-12 {
			lp.nz = append(lp.nz, int32(r))
		}
	}
	lp.work += int64(lp.m)
}

// addTo adds f times column j of the inverse to alpha.
func (lp *master) addTo(j int, f float64) {
	in := lp.inv[j*lp.m : (j+1)*lp.m]
	al := lp.alpha[:len(in)]
	for r, v := range in {
		al[r] += f * v
	}
	lp.work += int64(lp.m)
}

// pivot brings column c, whose ftran is in alpha, into the basis at row r.
func (lp *master) pivot(c int32, r int, reduced float64) {
	m, pr := lp.m, lp.alpha[r]
	theta := lp.x[r] / pr
	for _, i := range lp.nz {
		lp.x[i] -= theta * lp.alpha[i]
	}
	lp.x[r] = theta
	for j := range m {
		in := lp.inv[j*m : (j+1)*m]
		if in[r] == 0 {
			continue
		}
		f := in[r] / pr
		lp.y[j] += reduced * f
		for _, i := range lp.nz {
			in[i] -= f * lp.alpha[i]
		}
		in[r] = f
		lp.work += int64(len(lp.nz))
	}
	if old := lp.basis[r]; old >= 0 {
		lp.where[old] = -1
	}
	lp.basis[r] = c
	if c >= 0 {
		lp.where[c] = int32(r)
	}
	lp.steps++
	lp.count++
	lp.work += int64(m)
}

// rebuild makes the inverse, the point and the prices anew from the basis.
func (lp *master) rebuild() {
	old := append([]int32(nil), lp.basis...)
	lp.reset()
	done := make([]bool, lp.m)
	for _, pass := range []bool{true, false} { // unit columns first: they keep the inverse sparse
		for _, c := range old {
			if (c < 0) == pass {
				lp.install(c, done)
			}
		}
	}
	lp.solvePoint()
	lp.solvePrices()
	lp.steps = 0
}

// install pivots a column of the basis in at the best row not done yet.
func (lp *master) install(c int32, done []bool) {
	lp.ftran(c)
	best := -1
	for _, r := range lp.nz {
		if !done[r] && (best < 0 || math.Abs(lp.alpha[r]) > math.Abs(lp.alpha[best])) {
			best = int(r)
		}
	}
	if best < 0 || math.Abs(lp.alpha[best]) < 1e-8 {
		return // dependent: a unit column stays in its place
	}
	lp.pivot(c, best, 0)
	lp.count--
	done[best] = true
}

// solvePoint computes x from the inverse.
func (lp *master) solvePoint() {
	clear(lp.x)
	for j, b := range lp.rhs {
		if b == 0 {
			continue
		}
		for r, v := range lp.inv[j*lp.m : (j+1)*lp.m] {
			lp.x[r] += b * v
		}
	}
	lp.work += int64(lp.m * lp.m)
}

// solvePrices computes y from the inverse.
func (lp *master) solvePrices() {
	cost := make([]float64, lp.m)
	for r, c := range lp.basis {
		cost[r] = lp.costOf(c)
	}
	for j := range lp.y {
		sum := 0.0
		for r, v := range lp.inv[j*lp.m : (j+1)*lp.m] {
			sum += cost[r] * v
		}
		lp.y[j] = sum
	}
	lp.work += int64(lp.m * lp.m)
}

// unmet is how much the artificial columns stand for.
func (lp *master) unmet() float64 {
	sum := 0.0
	for r, c := range lp.basis {
		if isArtificial(c) {
			sum += lp.x[r]
		}
	}
	return sum
}

// addRow adds a row with its unit column in the basis; the columns must have
// their coefficients of it already.
func (lp *master) addRow(sign, rhs float64) {
	r := lp.m
	lp.m++
	lp.sign = append(append([]float64(nil), lp.sign...), sign)
	lp.rhs = append(lp.rhs, rhs)
	lp.basis = append(lp.basis, slackOf(r))
	lp.inv = make([]float64, lp.m*lp.m)
	lp.x = append(lp.x, 0)
	lp.y = append(lp.y, 0)
	lp.alpha = make([]float64, lp.m)
	lp.rebuild()
}
