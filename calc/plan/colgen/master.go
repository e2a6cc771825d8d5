package colgen

import "errors"

// column is a pattern, or what stands for one, in the master problem.
type column struct {
	cost float64
	rows []int32
	vals []float64
}

// master is the restricted master problem: minimise cost over the columns,
// subject to rows of "at least", "at most" or "exactly", solved by the revised
// simplex method.
//
// Source: Dantzig, Linear Programming and Extensions (1963), chapter 9 (from
// memory); Gilmore and Gomory, Operations Research 9 (1961) 849-859.
type master struct {
	m      int
	sign   []float64 // +1: at most, -1: at least, 0: exactly
	rhs    []float64
	big    float64 // cost of leaving a row unmet
	cols   []column
	basis  []int32   // per place: index of a column; negative for unit columns
	where  []int32   // per column: its place in the basis or -1
	factor factor    // of the basis
	x      []float64 // of the basis
	y      []float64 // dual prices
	short  []float64 // per column: its reduced cost
	shift  []float64 // of the right-hand side, for a while
	tilt   []float64 // of the costs of columns, for a while
	weight []float64 // per column: reference weight of the primal method
	slack  []float64 // per row: the same of its slack
	length []float64 // per place: reference weight of the dual method
	alpha  []float64 // a column as the basis sees it
	nz     []int32   // where it is not zero
	rho    []float64 // a row of the inverse of the basis
	across []float64 // per column: what it has in that row
	spare  []float64 // scratch
	work   int64
	count  int          // pivots
	alive  func() error // asked now and then; an error ends the method
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
	zeroTol   = 1e-12
	refactor  = 64
	badPivots = 50_000
)

var errNumeric = errors.New("colgen: the linear program did not settle")

// newMaster starts with slacks and artificials in the basis.
func newMaster(sign, rhs []float64, big float64) *master {
	lp := &master{sign: sign, rhs: append([]float64(nil), rhs...), big: big, basis: make([]int32, len(rhs))}
	lp.size()
	lp.reset()
	return lp
}

// size makes room for the rows.
func (lp *master) size() {
	lp.m = len(lp.rhs)
	for _, v := range []*[]float64{&lp.x, &lp.y, &lp.shift, &lp.slack, &lp.length, &lp.alpha, &lp.rho, &lp.spare} {
		*v = make([]float64, lp.m)
	}
	even(lp.slack)
	even(lp.length)
	lp.nz = nil
}

// reset makes the basis the unit columns.
func (lp *master) reset() {
	for c := range lp.where {
		lp.where[c] = -1
	}
	for r := range lp.basis {
		lp.basis[r] = lp.unit(r)
	}
	clear(lp.shift)
	lp.rebuild()
}

// crash makes a basis of the columns at hand, at most as many as rows, as far
// as they do not depend on each other, and of unit columns.
func (lp *master) crash() {
	column := func(q int) ([]int32, []float64) {
		if q < len(lp.cols) {
			return lp.entries(int32(q))
		}
		return nil, nil
	}
	rows, places := lp.factor.eliminate(lp.m, column)
	for q := range lp.basis {
		lp.basis[q] = int32(q)
		if q < len(lp.cols) {
			lp.where[q] = int32(q)
		}
	}
	for x, r := range rows {
		if q := places[x]; int(q) < len(lp.cols) {
			lp.where[q] = -1
		}
		lp.basis[places[x]] = lp.unit(int(r))
	}
	lp.rebuild()
}

// unit is the unit column that can stand for an unmet row.
func (lp *master) unit(r int) int32 {
	if lp.sign[r] > 0 {
		return slackOf(r)
	}
	return artificialOf(r)
}

// clone copies the state; columns are shared.
func (lp *master) clone() *master {
	c := *lp
	c.factor = lp.factor.clone()
	for _, v := range []*[]float64{&c.rhs, &c.x, &c.y, &c.short, &c.shift, &c.tilt, &c.weight, &c.slack, &c.length} {
		*v = append([]float64(nil), *v...)
	}
	c.basis = append([]int32(nil), lp.basis...)
	c.where = append([]int32(nil), lp.where...)
	c.cols = append([]column(nil), lp.cols...)
	c.across = make([]float64, len(lp.cols))
	c.alpha, c.rho, c.spare = make([]float64, lp.m), make([]float64, lp.m), make([]float64, lp.m)
	c.nz = nil
	return &c
}

// addColumn adds a column outside the basis.
func (lp *master) addColumn(c column) {
	lp.cols = append(lp.cols, c)
	lp.where = append(lp.where, -1)
	lp.short = append(lp.short, 0)
	lp.tilt = append(lp.tilt, 0)
	lp.weight = append(lp.weight, 1)
	lp.across = append(lp.across, 0)
	j := len(lp.cols) - 1
	lp.short[j] = lp.reduced(j)
}

func (lp *master) costOf(c int32) float64 {
	switch {
	case c >= 0:
		return lp.cols[c].cost + lp.tilt[c]
	case isArtificial(c):
		return lp.big
	}
	return 0
}

// reduced is the reduced cost of column j, computed anew.
func (lp *master) reduced(j int) float64 {
	return lp.cols[j].cost + lp.tilt[j] - lp.cols[j].times(lp.y)
}

// times is the product with a vector over the rows.
func (c *column) times(v []float64) float64 {
	sum := 0.0
	for x, r := range c.rows {
		sum += c.vals[x] * v[r]
	}
	return sum
}

// entries is the rows and values of a column of either sort.
func (lp *master) entries(c int32) ([]int32, []float64) {
	if c >= 0 {
		return lp.cols[c].rows, lp.cols[c].vals
	}
	r := unitRow(c)
	if isArtificial(c) || lp.sign[r] == 0 {
		return []int32{int32(r)}, unitValue[:]
	}
	return []int32{int32(r)}, lp.sign[r : r+1]
}

var unitValue = [1]float64{1}

// ftran sets alpha to a column as the basis sees it.
func (lp *master) ftran(c int32) {
	clear(lp.spare)
	rows, vals := lp.entries(c)
	for x, r := range rows {
		lp.spare[r] = vals[x]
	}
	lp.factor.ftran(lp.spare, lp.alpha)
	lp.nz = lp.nz[:0]
	for q, a := range lp.alpha {
		if a > zeroTol || a < -zeroTol {
			lp.nz = append(lp.nz, int32(q))
		}
	}
	lp.work += int64(2 * lp.m)
}

// row sets rho to the row of the inverse at a place, and across to what the
// columns have in it.
func (lp *master) row(place int) {
	clear(lp.spare)
	lp.spare[place] = 1
	lp.factor.btran(lp.spare, lp.rho)
	for j := range lp.cols {
		lp.across[j] = lp.cols[j].times(lp.rho)
	}
	lp.work += int64(4*len(lp.cols) + lp.m)
}

// pivot brings column c, whose ftran is in alpha, into the basis at a place,
// whose row is in rho and across. reduced is its reduced cost.
func (lp *master) pivot(c int32, place int, reduced float64) {
	theta := lp.x[place] / lp.alpha[place]
	for _, q := range lp.nz {
		lp.x[q] -= theta * lp.alpha[q]
	}
	lp.x[place] = theta
	step := reduced / lp.alpha[place]
	for r, v := range lp.rho {
		lp.y[r] += step * v
	}
	for j, a := range lp.across {
		lp.short[j] -= step * a
	}
	if old := lp.basis[place]; old >= 0 {
		lp.where[old] = -1
	}
	if lp.basis[place] = c; c >= 0 {
		lp.where[c], lp.short[c] = int32(place), 0
	}
	lp.factor.exchange(place, lp.alpha, lp.nz)
	lp.count++
	lp.work += int64(2*lp.m + len(lp.cols)/2)
}

// rebuild makes the factor, the point and the prices anew from the basis.
// Columns that depend on others give way to unit columns.
func (lp *master) rebuild() {
	for try := 0; ; try++ {
		rows, places := lp.factor.eliminate(lp.m, func(q int) ([]int32, []float64) { return lp.entries(lp.basis[q]) })
		if len(rows) == 0 {
			break
		}
		for x, r := range rows {
			if old := lp.basis[places[x]]; old >= 0 {
				lp.where[old] = -1
			}
			lp.basis[places[x]] = lp.unit(int(r))
		}
	}
	lp.solvePoint()
	lp.solvePrices()
}

// solvePoint computes x from the right-hand side.
func (lp *master) solvePoint() {
	for r, b := range lp.rhs {
		lp.spare[r] = b + lp.shift[r]
	}
	lp.factor.ftran(lp.spare, lp.x)
	lp.settle()
}

// solvePrices computes y and the reduced costs from the costs.
func (lp *master) solvePrices() {
	for q, c := range lp.basis {
		lp.spare[q] = lp.costOf(c)
	}
	lp.factor.btran(lp.spare, lp.y)
	for j := range lp.cols {
		lp.short[j] = lp.reduced(j)
	}
	for _, c := range lp.basis {
		if c >= 0 {
			lp.short[c] = 0
		}
	}
	lp.settle()
	lp.work += int64(4*len(lp.cols) + lp.m)
}

// settle takes over the work of the factor.
func (lp *master) settle() {
	lp.work, lp.factor.work = lp.work+lp.factor.work, 0
}

// value is the cost of the point.
func (lp *master) value() float64 {
	sum := 0.0
	for q, c := range lp.basis {
		sum += lp.costOf(c) * lp.x[q]
	}
	return sum
}

// unmet is how much the artificial columns stand for.
func (lp *master) unmet() float64 {
	sum := 0.0
	for q, c := range lp.basis {
		if isArtificial(c) {
			sum += lp.x[q]
		}
	}
	return sum
}

// addRow adds a row with its slack in the basis; the columns must have their
// coefficients of it already. rebuild follows the last of several.
func (lp *master) addRow(sign, rhs float64) {
	lp.sign = append(append([]float64(nil), lp.sign...), sign)
	lp.rhs = append(lp.rhs, rhs)
	lp.basis = append(lp.basis, slackOf(lp.m))
	lp.size()
}
