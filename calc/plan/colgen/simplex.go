package colgen

import "math"

// primal runs the primal simplex method over the columns at hand. When many
// pivots in a row gain nothing it shifts the point a little, which breaks
// ties, and takes the shift back at the end.
//
// Source: Wolfe, Journal of the SIAM 11 (1963) 205-211 (from memory).
func (lp *master) primal() error {
	for range 5 {
		shifted, err := lp.descend()
		if err != nil || !shifted {
			return err
		}
		lp.solvePoint()
		if lp.negative() < 0 {
			return nil
		}
		if err := lp.dual(); err != nil {
			return err
		}
	}
	return nil
}

// descend pivots until no column has a negative reduced cost. It reports
// whether it shifted the point.
func (lp *master) descend() (shifted bool, err error) {
	idle := 0
	for n := range badPivots {
		if err := lp.ask(n); err != nil {
			return shifted, err
		}
		if lp.steps >= refactor {
			lp.rebuild()
		}
		c, d, ok := lp.entering()
		if !ok {
			return shifted, nil
		}
		lp.ftran(c)
		r := lp.leaving()
		if r < 0 {
			return shifted, errNumeric // costs are not negative: never unbounded
		}
		if idle++; lp.x[r] > 1e-9 {
			idle = 0
		}
		lp.pivot(c, r, d)
		if idle > idlePivots {
			lp.shift(n)
			idle, shifted = 0, true
		}
	}
	return shifted, errNumeric
}

// pivots in a row without gain before the point is shifted
const idlePivots = 100

// shift moves basic columns off zero, each by another small amount.
func (lp *master) shift(n int) {
	seed := uint64(n)*2862933555777941757 + 3037000493
	for r := range lp.x {
		seed = seed*6364136223846793005 + 1442695040888963407
		if lp.x[r] < 1e-7 {
			lp.x[r] = max(lp.x[r], 0) + 1e-7*(1+float64(seed>>40)/(1<<24))
		}
	}
}

// entering picks the column of the most negative reduced cost.
func (lp *master) entering() (c int32, d float64, ok bool) {
	d = -priceTol
	for j := range lp.cols {
		if v := lp.reduced(j); v < d && lp.where[j] < 0 {
			c, d, ok = int32(j), v, true
		}
	}
	for r, y := range lp.y {
		if v := -lp.sign[r] * y; v < d { // an equation has no slack: its sign is 0
			c, d, ok = slackOf(r), v, true
		}
	}
	lp.work += int64(4 * len(lp.cols))
	return c, d, ok
}

// leaving picks the row of the smallest ratio, of those nearly as small the
// one with the largest pivot, after Harris; artificials leave first.
//
// Source: Harris, Mathematical Programming 5 (1973) 1-28 (from memory).
func (lp *master) leaving() int {
	limit := math.Inf(1)
	for _, r := range lp.nz {
		if a := lp.alpha[r]; a > pivotTol {
			limit = min(limit, (max(lp.x[r], 0)+feasTol)/a)
		}
	}
	best, size := -1, 0.0
	for _, r := range lp.nz {
		a := lp.alpha[r]
		if a <= pivotTol || max(lp.x[r], 0)/a > limit {
			continue
		}
		if isArtificial(lp.basis[r]) {
			a *= 1e3
		}
		if a > size {
			best, size = int(r), a
		}
	}
	return best
}

// setRHS changes the right-hand sides; dual follows.
func (lp *master) setRHS(rhs []float64) {
	copy(lp.rhs, rhs)
	lp.solvePoint()
}

// dual runs the dual simplex method until no basic column is negative. It
// reports false when the rows cannot be met even with artificials, which can
// only be the fault of rounding.
//
// Source: Lemke, Naval Research Logistics Quarterly 1 (1954) 36-47 (from memory).
func (lp *master) dual() error {
	for n := 0; ; n++ {
		if n > badPivots {
			return errNumeric
		}
		if err := lp.ask(n); err != nil {
			return err
		}
		if lp.steps >= refactor {
			lp.rebuild()
		}
		r := lp.negative()
		if r < 0 {
			return nil
		}
		c, d := lp.enteringDual(r)
		if c == 0 && d < 0 {
			return errNumeric
		}
		lp.ftran(c)
		if lp.alpha[r] > -pivotTol {
			return errNumeric
		}
		lp.pivot(c, r, d)
	}
}

// negative is the row of the most negative basic column, or -1.
func (lp *master) negative() int {
	best, low := -1, -feasTol
	for r, v := range lp.x {
		if v < low {
			best, low = r, v
		}
	}
	return best
}

// enteringDual picks the column that keeps the reduced costs from going
// negative when the column of row r leaves. d < 0 says that there is none.
func (lp *master) enteringDual(r int) (c int32, d float64) {
	rho := make([]float64, lp.m)
	for j := range rho {
		rho[j] = lp.inv[j*lp.m+r]
	}
	best, size := math.Inf(1), 0.0
	d = -1
	try := func(j int32, alpha, reduced float64) {
		if alpha > -1e-7 {
			return
		}
		reduced = max(reduced, 0)
		ratio := reduced / -alpha
		if ratio < best-1e-12 || ratio <= best+1e-12 && -alpha > size {
			best, size, c, d = ratio, -alpha, j, reduced
		}
	}
	for j := range lp.cols {
		if lp.where[j] >= 0 {
			continue
		}
		col, a := &lp.cols[j], 0.0
		for x, i := range col.rows {
			a += col.vals[x] * rho[i]
		}
		try(int32(j), a, lp.reduced(j))
	}
	for i := range rho {
		try(slackOf(i), lp.sign[i]*rho[i], -lp.sign[i]*lp.y[i])
		if lp.sign[i] <= 0 {
			try(artificialOf(i), rho[i], lp.big-lp.y[i])
		}
	}
	lp.work += int64(8*len(lp.cols) + 2*lp.m)
	return c, d
}

// ask returns an error when the search is over. It asks every 64 pivots.
func (lp *master) ask(n int) error {
	if n%64 != 63 || lp.alive == nil {
		return nil
	}
	return lp.alive()
}
