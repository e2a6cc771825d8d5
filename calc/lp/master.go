package lp

import "errors"

// Column is a variable: what a unit of it costs, and what it brings to some rows.
type Column struct {
	Cost float64
	Rows []int32
	Vals []float64
}

// Program is a linear program: minimise cost over the columns, subject to rows of
// "at least", "at most" or "exactly", solved by the revised simplex method.
//
// Source: Dantzig, Linear Programming and Extensions (1963), chapter 9 (from
// memory).
type Program struct {
	M      int          // rows
	Sign   []float64    // +1: at most, -1: at least, 0: exactly
	RHS    []float64    // what the rows ask for
	Big    float64      // cost of leaving a unit of a row unmet
	Cols   []Column     // all that were added
	Basis  []int32      // per place: index of a column; negative for unit columns
	where  []int32      // per column: its place in the basis or -1
	factor factor       // of the basis
	X      []float64    // of the basis
	Y      []float64    // dual prices
	short  []float64    // per column: its reduced cost
	shift  []float64    // of the right-hand side, for a while
	tilt   []float64    // of the costs of columns, for a while
	weight []float64    // per column: reference weight of the primal method
	slack  []float64    // per row: the same of its slack
	length []float64    // per place: reference weight of the dual method
	alpha  []float64    // a column as the basis sees it
	nz     []int32      // where it is not zero
	rho    []float64    // a row of the inverse of the basis
	across []float64    // per column: what it has in that row
	spare  []float64    // scratch
	Work   int64        // steps so far
	Count  int          // pivots
	Alive  func() error // asked now and then; an error ends the method
}

// Unit columns: slack of row r is -1-2r, artificial of row r is -2-2r.
func slackOf(r int) int32      { return int32(-1 - 2*r) }
func artificialOf(r int) int32 { return int32(-2 - 2*r) }
func unitRow(c int32) int      { return int(-c-1) / 2 }
func isArtificial(c int32) bool {
	return c < 0 && (-c-1)%2 == 1
}

// Tolerances, for entries and costs of about 1, and how long a method goes on.
//
// Source: common practice, tried on the problems of package colgen.
const (
	priceTol  = 1e-9   // reduced costs above -priceTol do not enter
	pivotTol  = 1e-9   // smaller entries are not divided by
	rowTol    = 1e-7   // nor are smaller ones of a row, which are less exact
	feasTol   = 1e-9   // how far below zero a basic column may be
	zeroTol   = 1e-12  // smaller entries of a column count as none
	refactor  = 64     // exchanges after which the factor is made anew
	badPivots = 50_000 // pivots after which the primal method gives up
)

// ErrNumeric says that rounding errors kept a method from its end.
var ErrNumeric = errors.New("lp: the linear program did not settle")

// New returns a program without columns, with slacks and artificial columns of a
// large cost in the basis.
//
// Source: definition.
// Valid: as many signs as right-hand sides, each +1, -1 or 0; right-hand sides of at
// least 0; a big that is far above what any column costs for what it brings.
func New(sign, rhs []float64, big float64) *Program {
	lp := &Program{Sign: sign, RHS: append([]float64(nil), rhs...), Big: big, Basis: make([]int32, len(rhs))}
	lp.size()
	lp.reset()
	return lp
}

// size makes room for the rows.
func (lp *Program) size() {
	lp.M = len(lp.RHS)
	for _, v := range []*[]float64{&lp.X, &lp.Y, &lp.shift, &lp.slack, &lp.length, &lp.alpha, &lp.rho, &lp.spare} {
		*v = make([]float64, lp.M)
	}
	even(lp.slack)
	even(lp.length)
	lp.nz = nil
}

// reset makes the basis the unit columns.
func (lp *Program) reset() {
	for c := range lp.where {
		lp.where[c] = -1
	}
	for r := range lp.Basis {
		lp.Basis[r] = lp.unit(r)
	}
	clear(lp.shift)
	lp.Rebuild()
}

// Crash makes a basis of the columns there are, at most as many as rows, as far
// as they do not depend on each other, and of unit columns.
//
// Source: common practice.
func (lp *Program) Crash() {
	column := func(q int) ([]int32, []float64) {
		if q < len(lp.Cols) {
			return lp.entries(int32(q))
		}
		return nil, nil
	}
	rows, places := lp.factor.eliminate(lp.M, column)
	for q := range lp.Basis {
		lp.Basis[q] = int32(q)
		if q < len(lp.Cols) {
			lp.where[q] = int32(q)
		}
	}
	for x, r := range rows {
		if q := places[x]; int(q) < len(lp.Cols) {
			lp.where[q] = -1
		}
		lp.Basis[places[x]] = lp.unit(int(r))
	}
	lp.Rebuild()
}

// unit is the unit column that can stand for an unmet row.
func (lp *Program) unit(r int) int32 {
	if lp.Sign[r] > 0 {
		return slackOf(r)
	}
	return artificialOf(r)
}

// Clone copies the state; columns are shared.
//
// Source: definition.
func (lp *Program) Clone() *Program {
	c := *lp
	c.factor = lp.factor.clone()
	for _, v := range []*[]float64{&c.RHS, &c.X, &c.Y, &c.short, &c.shift, &c.tilt, &c.weight, &c.slack, &c.length} {
		*v = append([]float64(nil), *v...)
	}
	c.Basis = append([]int32(nil), lp.Basis...)
	c.where = append([]int32(nil), lp.where...)
	c.Cols = append([]Column(nil), lp.Cols...)
	c.across = make([]float64, len(lp.Cols))
	c.alpha, c.rho, c.spare = make([]float64, lp.M), make([]float64, lp.M), make([]float64, lp.M)
	c.nz = nil
	return &c
}

// AddColumn adds a column outside the basis.
//
// Source: definition.
// Valid: a cost of at least 0; rows of the program, each at most once.
func (lp *Program) AddColumn(c Column) {
	lp.Cols = append(lp.Cols, c)
	lp.where = append(lp.where, -1)
	lp.short = append(lp.short, 0)
	lp.tilt = append(lp.tilt, 0)
	lp.weight = append(lp.weight, 1)
	lp.across = append(lp.across, 0)
	j := len(lp.Cols) - 1
	lp.short[j] = lp.reduced(j)
}

func (lp *Program) costOf(c int32) float64 {
	switch {
	case c >= 0:
		return lp.Cols[c].Cost + lp.tilt[c]
	case isArtificial(c):
		return lp.Big
	}
	return 0
}

// reduced is the reduced cost of column j, computed from scratch.
func (lp *Program) reduced(j int) float64 {
	return lp.Cols[j].Cost + lp.tilt[j] - lp.Cols[j].times(lp.Y)
}

// times is the product with a vector over the rows.
func (c *Column) times(v []float64) float64 {
	sum := 0.0
	for x, r := range c.Rows {
		sum += c.Vals[x] * v[r]
	}
	return sum
}

// entries is the rows and values of a column of either sort.
func (lp *Program) entries(c int32) ([]int32, []float64) {
	if c >= 0 {
		return lp.Cols[c].Rows, lp.Cols[c].Vals
	}
	r := unitRow(c)
	if isArtificial(c) || lp.Sign[r] == 0 {
		return []int32{int32(r)}, unitValue[:]
	}
	return []int32{int32(r)}, lp.Sign[r : r+1]
}

var unitValue = [1]float64{1}

// ftran sets alpha to a column as the basis sees it.
func (lp *Program) ftran(c int32) {
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
	lp.Work += int64(2 * lp.M)
}

// row sets rho to the row of the inverse at a place, and across to what the
// columns have in it.
func (lp *Program) row(place int) {
	clear(lp.spare)
	lp.spare[place] = 1
	lp.factor.btran(lp.spare, lp.rho)
	for j := range lp.Cols {
		lp.across[j] = lp.Cols[j].times(lp.rho)
	}
	lp.Work += int64(4*len(lp.Cols) + lp.M)
}

// pivot brings column c, whose ftran is in alpha, into the basis at a place,
// whose row is in rho and across. reduced is its reduced cost.
func (lp *Program) pivot(c int32, place int, reduced float64) {
	theta := lp.X[place] / lp.alpha[place]
	for _, q := range lp.nz {
		lp.X[q] -= theta * lp.alpha[q]
	}
	lp.X[place] = theta
	step := reduced / lp.alpha[place]
	for r, v := range lp.rho {
		lp.Y[r] += step * v
	}
	for j, a := range lp.across {
		lp.short[j] -= step * a
	}
	if old := lp.Basis[place]; old >= 0 {
		lp.where[old] = -1
	}
	if lp.Basis[place] = c; c >= 0 {
		lp.where[c], lp.short[c] = int32(place), 0
	}
	lp.factor.exchange(place, lp.alpha, lp.nz)
	lp.Count++
	lp.Work += int64(2*lp.M + len(lp.Cols)/2)
}

// Rebuild makes the factor, the point and the prices again from the basis.
// Columns that depend on others give way to unit columns.
//
// Source: definition.
func (lp *Program) Rebuild() {
	for try := 0; ; try++ {
		rows, places := lp.factor.eliminate(lp.M, func(q int) ([]int32, []float64) { return lp.entries(lp.Basis[q]) })
		if len(rows) == 0 {
			break
		}
		for x, r := range rows {
			if old := lp.Basis[places[x]]; old >= 0 {
				lp.where[old] = -1
			}
			lp.Basis[places[x]] = lp.unit(int(r))
		}
	}
	lp.solvePoint()
	lp.SolvePrices()
}

// solvePoint computes x from the right-hand side.
func (lp *Program) solvePoint() {
	for r, b := range lp.RHS {
		lp.spare[r] = b + lp.shift[r]
	}
	lp.factor.ftran(lp.spare, lp.X)
	lp.settle()
}

// SolvePrices computes the dual prices and the reduced costs from the costs.
//
// Source: definition.
func (lp *Program) SolvePrices() {
	for q, c := range lp.Basis {
		lp.spare[q] = lp.costOf(c)
	}
	lp.factor.btran(lp.spare, lp.Y)
	for j := range lp.Cols {
		lp.short[j] = lp.reduced(j)
	}
	for _, c := range lp.Basis {
		if c >= 0 {
			lp.short[c] = 0
		}
	}
	lp.settle()
	lp.Work += int64(4*len(lp.Cols) + lp.M)
}

// settle adds the work of the factor to that of the program.
func (lp *Program) settle() {
	lp.Work, lp.factor.work = lp.Work+lp.factor.work, 0
}

// Value is the cost of the point, with that of what is unmet.
//
// Source: definition.
func (lp *Program) Value() float64 {
	sum := 0.0
	for q, c := range lp.Basis {
		sum += lp.costOf(c) * lp.X[q]
	}
	return sum
}

// Unmet is what the columns leave unmet, over all rows.
//
// Source: definition.
func (lp *Program) Unmet() float64 {
	sum := 0.0
	for q, c := range lp.Basis {
		if isArtificial(c) {
			sum += lp.X[q]
		}
	}
	return sum
}

// AddRow adds a row with its slack in the basis; the columns must have their
// coefficients in it already. After the last of several rows call [Program.Rebuild].
//
// Source: definition.
func (lp *Program) AddRow(sign, rhs float64) {
	lp.Sign = append(append([]float64(nil), lp.Sign...), sign)
	lp.RHS = append(lp.RHS, rhs)
	lp.Basis = append(lp.Basis, slackOf(lp.M))
	lp.size()
}
