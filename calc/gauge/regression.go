package gauge

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// regression is a least squares fit of columns to values.
type regression struct {
	coefficients []float64
	unscaled     *mat.Dense // covariance of the coefficients for a variance of 1
	variance     float64    // of the values about the fit
	degrees      int        // of freedom
}

// regress fits by Householder's QR, which keeps twice the digits that the normal
// equations do.
func regress(columns *mat.Dense, values []float64) (regression, error) {
	n, p := columns.Dims()
	var qr mat.QR
	qr.Factorize(columns)
	var b mat.VecDense
	if err := qr.SolveVecTo(&b, false, mat.NewVecDense(n, values)); err != nil {
		return regression{}, err
	}
	var r mat.Dense
	qr.RTo(&r)
	var inverse mat.TriDense
	if err := inverse.InverseTri(mat.NewTriDense(p, mat.Upper, mat.DenseCopyOf(r.Slice(0, p, 0, p)).RawMatrix().Data)); err != nil {
		return regression{}, err
	}
	f := regression{coefficients: b.RawVector().Data, unscaled: new(mat.Dense), degrees: n - p}
	f.unscaled.Mul(&inverse, inverse.T())
	var fitted mat.VecDense
	fitted.MulVec(columns, &b)
	for i, v := range values {
		f.variance += (v - fitted.AtVec(i)) * (v - fitted.AtVec(i)) / float64(f.degrees)
	}
	return f, nil
}

// at gives a combination of the coefficients and its standard error.
func (f regression) at(c []float64) (value, standardError float64) {
	var variance float64
	for i := range c {
		value += c[i] * f.coefficients[i]
		for j := range c {
			variance += c[i] * f.unscaled.At(i, j) * c[j]
		}
	}
	return value, math.Sqrt(variance * f.variance)
}
