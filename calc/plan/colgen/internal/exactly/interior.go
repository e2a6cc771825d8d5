package exactly

import "math/rand/v2"

// dualPoints is how many optimal dual points are averaged to an interior one.
const dualPoints = 10

// interior averages several optimal dual points, each found with the demands
// shifted a little another way. A vertex of the dual face gives many patterns
// a reduced cost of zero by accident; at a point inside the face only those
// have it that every vertex gives it.
//
// Source: Bixby, Gregory, Lustig, Marsten and Shanno, Operations Research 40
// (1992) 885-897 (interior points of the optimal face; from memory); averaging
// over shifted right-hand sides is common practice.
func (t *tight) interior(rng *rand.Rand) ([]float64, error) {
	c, back := t, t.save()
	defer func() { t.restore(back) }()
	sum := make([]float64, c.lp.M)
	for range dualPoints {
		if err := c.shift(rng); err != nil {
			return nil, err
		}
		for added := true; added; {
			if err := c.simplex(); err != nil {
				return nil, err
			}
			var err error
			if added, err = c.price(c.lp.Y, true); err != nil {
				return nil, err
			}
		}
		for r, y := range c.lp.Y {
			sum[r] += y / dualPoints
		}
	}
	return sum, nil
}

// shift moves every demand by up to a hundred-thousandth.
func (t *tight) shift(rng *rand.Rand) error {
	rhs := make([]float64, t.lp.M)
	for i, r := range t.row {
		if r >= 0 {
			rhs[r] = float64(t.demand[i]) + 1e-5*(2*rng.Float64()-1)
		}
	}
	return t.move(rhs)
}
