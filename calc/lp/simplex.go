package lp

import (
	"errors"
	"math"
)

// Primal runs the primal simplex method over the columns there are. When many
// pivots in a row gain nothing it shifts the right-hand side a little, which
// breaks ties, and takes the shift back at the end.
//
// Source: Wolfe, Journal of the SIAM 11 (1963) 205-211 (from memory).
// Valid: a program of [New] and its columns; ErrNumeric where rounding keeps the method
// from its end, or the error of Alive.
func (lp *Program) Primal() error {
	for range descents {
		if lp.negative() >= 0 {
			if err := lp.Dual(); err != nil {
				return err
			}
		}
		shifted, err := lp.descend()
		if err != nil || !shifted {
			return err
		}
		clear(lp.shift)
		lp.solvePoint()
		if lp.negative() < 0 {
			return nil
		}
	}
	return nil
}

// descend pivots until no column has a negative reduced cost. It reports
// whether it shifted the right-hand side.
func (lp *Program) descend() (shifted bool, err error) {
	idle, sure := 0, false
	for n := range badPivots {
		if err := lp.ask(n); err != nil {
			return shifted, err
		}
		if len(lp.factor.changes.place) >= refactor {
			lp.Rebuild()
		}
		c, d, ok := lp.entering()
		if !ok {
			if sure {
				return shifted, nil
			}
			lp.SolvePrices()
			sure = true
			continue
		}
		sure = false
		lp.ftran(c)
		r := lp.leaving()
		if r < 0 {
			return shifted, ErrNumeric // costs are not negative: never unbounded
		}
		if idle++; lp.X[r] > feasTol {
			idle = 0
		}
		lp.row(r)
		lp.weigh(c, r)
		lp.pivot(c, r, d)
		if idle > idlePivots {
			lp.breakTies(n)
			idle, shifted = 0, true
		}
	}
	return shifted, ErrNumeric
}

// When and by how much the primal method breaks ties.
const (
	idlePivots = 100  // pivots in a row without gain
	shiftTol   = 1e-7 // and the least shift of a basic column that is nearer to zero
	descents   = 5    // with shifts taken back between them
)

// draw gives numbers that break ties, the same at every run.
//
// Source: Knuth, The Art of Computer Programming 2, section 3.3.4, and L'Ecuyer,
// Mathematics of Computation 68 (1999) 249-260 (multipliers for 64 bits; from memory).
type draw uint64

func newDraw(n int) draw { return draw(n)*2862933555777941757 + 3037000493 }

// next gives a number from 1 to 2.
func (d *draw) next() float64 {
	*d = *d*6364136223846793005 + 1442695040888963407
	return 1 + float64(*d>>40)/(1<<24)
}

// breakTies moves basic columns off zero, each by another small amount, and
// shifts the right-hand side to match.
func (lp *Program) breakTies(n int) {
	d := newDraw(n)
	for q, c := range lp.Basis {
		by := shiftTol * d.next()
		if lp.X[q] >= shiftTol {
			continue
		}
		lp.X[q] += by
		rows, vals := lp.entries(c)
		for x, r := range rows {
			lp.shift[r] += by * vals[x]
		}
	}
}

// entering picks the column of the most negative reduced cost for its weight.
//
// Source: Harris, Mathematical Programming 5 (1973) 1-28 (Devex; from memory).
func (lp *Program) entering() (c int32, d float64, ok bool) {
	best := 0.0
	for j, v := range lp.short {
		if v < -priceTol && v*v > best*lp.weight[j] && lp.where[j] < 0 {
			c, d, ok, best = int32(j), v, true, v*v/lp.weight[j]
		}
	}
	for r, y := range lp.Y { // an equation has no slack: its sign is 0
		if v := -lp.Sign[r] * y; v < -priceTol && v*v > best*lp.slack[r] {
			c, d, ok, best = slackOf(r), v, true, v*v/lp.slack[r]
		}
	}
	lp.Work += int64(len(lp.Cols) + lp.M)
	return c, d, ok
}

// weigh updates the weights for column c to enter at a place.
func (lp *Program) weigh(c int32, place int) {
	own := lp.weightOf(c)
	f := *own / (lp.alpha[place] * lp.alpha[place])
	if f > heaviest {
		even(lp.weight)
		even(lp.slack)
		return
	}
	for j, a := range lp.across {
		lp.weight[j] = max(lp.weight[j], a*a*f)
	}
	for r, a := range lp.rho {
		lp.slack[r] = max(lp.slack[r], a*a*f)
	}
	if old := lp.Basis[place]; !isArtificial(old) {
		*lp.weightOf(old) = max(f, 1)
	}
	lp.Work += int64(len(lp.Cols) + lp.M)
}

// heaviest is the weight beyond which all weights start over.
const heaviest = 1e8

func (lp *Program) weightOf(c int32) *float64 {
	if c < 0 {
		return &lp.slack[unitRow(c)]
	}
	return &lp.weight[c]
}

// even makes all weights 1.
func even(v []float64) {
	for i := range v {
		v[i] = 1
	}
}

// leaving picks the place of the smallest ratio, of those nearly as small the
// one with the largest pivot, after Harris; artificials, whose pivots count a
// thousandfold, leave first.
func (lp *Program) leaving() int {
	limit := math.Inf(1)
	for _, q := range lp.nz {
		if a := lp.alpha[q]; a > pivotTol {
			limit = min(limit, (max(lp.X[q], 0)+feasTol)/a)
		}
	}
	best, size := -1, 0.0
	for _, q := range lp.nz {
		a := lp.alpha[q]
		if a <= pivotTol || max(lp.X[q], 0)/a > limit {
			continue
		}
		if isArtificial(lp.Basis[q]) {
			a *= 1e3
		}
		if a > size {
			best, size = int(q), a
		}
	}
	return best
}

// SetRHS changes the right-hand sides; after it [Program.Dual] makes the point fit them.
//
// Source: definition.
// Valid: as for [New].
func (lp *Program) SetRHS(rhs []float64) {
	copy(lp.RHS, rhs)
	lp.solvePoint()
}

// negative is the place of a basic column that is too far below zero, of the
// largest fall for its reference weight, or -1.
func (lp *Program) negative() int {
	best, low := -1, 0.0
	for q, v := range lp.X {
		if v < -feasTol && v*v > low*lp.length[q] {
			best, low = q, v*v/lp.length[q]
		}
	}
	return best
}

// Dual runs the dual simplex method until no basic column is negative. Costs
// are tilted first so that no reduced cost is negative or just zero, and set
// right at the end: the primal method follows. Where rounding breaks it, the
// basis starts over from the unit columns.
//
// Source: Lemke, Naval Research Logistics Quarterly 1 (1954) 36-47; tilting as
// in Koberstein, The Dual Simplex Method (2005), both from memory.
// Valid: as for [Program.Primal]; an error is that of Alive.
func (lp *Program) Dual() error {
	lp.lean()
	err := lp.climb()
	clear(lp.tilt)
	if errors.Is(err, ErrNumeric) {
		lp.reset()
		return nil
	}
	lp.SolvePrices()
	return err
}

// lean tilts the costs.
func (lp *Program) lean() {
	tilt := newDraw(lp.Count)
	for j, d := range lp.short {
		by := leanTol*tilt.next() - d
		if d < leanTol && lp.where[j] < 0 {
			lp.tilt[j], lp.short[j] = by, d+by
		}
	}
}

// leanTol is the least reduced cost that the dual method begins with.
const leanTol = 1e-6

// climb pivots until no basic column is negative.
func (lp *Program) climb() error {
	even(lp.length)
	for n := range 10*lp.M + 1000 {
		if err := lp.ask(n); err != nil {
			return err
		}
		if len(lp.factor.changes.place) >= refactor {
			lp.Rebuild()
		}
		q := lp.negative()
		if q < 0 {
			return nil
		}
		lp.row(q)
		c, d, ok := lp.enteringDual()
		if !ok {
			return ErrNumeric
		}
		lp.ftran(c)
		if lp.alpha[q] > -pivotTol {
			return ErrNumeric
		}
		lp.lengthen(q)
		lp.pivot(c, q, d)
	}
	return ErrNumeric
}

// lengthen updates the reference weights of the places.
func (lp *Program) lengthen(place int) {
	f := lp.length[place] / (lp.alpha[place] * lp.alpha[place])
	if f > heaviest {
		even(lp.length)
		return
	}
	for _, q := range lp.nz {
		lp.length[q] = max(lp.length[q], lp.alpha[q]*lp.alpha[q]*f)
	}
	lp.length[place] = max(f, 1)
}

// enteringDual picks the column that keeps the reduced costs from going
// negative when that of the row leaves, of those nearly as good the one
// with the largest pivot.
func (lp *Program) enteringDual() (c int32, d float64, ok bool) {
	limit := math.Inf(1)
	lp.candidates(func(_ int32, a, d float64) { limit = min(limit, (max(d, 0)+priceTol)/-a) })
	size := 0.0
	lp.candidates(func(j int32, a, v float64) {
		if -a > size && max(v, 0)/-a <= limit {
			c, d, ok, size = j, v, true, -a
		}
	})
	return c, d, ok
}

// candidates calls do for all columns outside the basis that can enter at the
// row at hand, with what they have in it and their reduced costs.
func (lp *Program) candidates(do func(c int32, a, d float64)) {
	for j, a := range lp.across {
		if a < -rowTol && lp.where[j] < 0 {
			do(int32(j), a, lp.short[j])
		}
	}
	for r, a := range lp.rho {
		if s := lp.Sign[r]; s*a < -rowTol {
			do(slackOf(r), s*a, -s*lp.Y[r])
		}
		if lp.Sign[r] <= 0 && a < -rowTol {
			do(artificialOf(r), a, lp.Big-lp.Y[r])
		}
	}
	lp.Work += int64(len(lp.Cols) + lp.M)
}

// ask returns an error when the search is over. It asks every 64 pivots.
func (lp *Program) ask(n int) error {
	if n%64 != 63 || lp.Alive == nil {
		return nil
	}
	return lp.Alive()
}
