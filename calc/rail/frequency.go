package rail

import "math"

// Frequency gives the first natural frequency of a rail without its load, in
// hertz: (B / 2 pi) sqrt(E I / (m L^4)).
//
// Source: Thomson, Theory of Vibration with Applications, table 9.5-1, for the
// form and for ends and cantilever; beam theory for an overhang (package comment).
// Valid: as [Deflection], whatever the sag.
func Frequency(r Rail) (hz float64, err error) {
	if err := r.check(); err != nil {
		return 0, err
	}
	l, a, s := r.spans()
	beta := firstRoot(a/l, s/l/2)
	if r.Support == Cantilever {
		beta = firstRoot(1, 0)
	}
	return beta * beta / (2 * math.Pi) * math.Sqrt(r.StiffnessNM2/(r.MassKGPerM*math.Pow(l, 4))), nil
}

// firstRoot gives the smallest beta L of a rail with overhangs of a and half the
// distance of its supports c, both as shares of its length; with c = 0 it is that
// of a cantilever of a. The condition is above zero until its first root, and
// there is one below 5.
func firstRoot(a, c float64) float64 {
	const step = 1.0 / 64 // digitswap: how finely one looks does not change what is found
	f := func(beta float64) float64 { return alike(beta*a, beta*c) }
	beta := step
	for f(beta) > 0 {
		beta += step
	}
	return halve(f, beta-step, beta)
}

// alike is zero where a rail can vibrate with both halves alike. Between the
// supports the shape is cosh c cos x - cos c cosh x, beyond them, from the free
// end, (sin a + sinh a)(cos z + cosh z) - (cos a + cosh a)(sin z + sinh z): both
// are zero at the support, and slope and bending must be the same on both sides.
// With one half swinging up while the other swings down it vibrates faster, since
// the middle is then three times as stiff against the slope of the supports.
func alike(a, c float64) float64 {
	return 2*math.Cos(c)*math.Cosh(c)*(1+math.Cos(a)*math.Cosh(a)) -
		(math.Cosh(c)*math.Sin(c)+math.Cos(c)*math.Sinh(c))*beyond(a)
}

// beyond is half the bending of the overhang at its support.
func beyond(a float64) float64 { return math.Sin(a)*math.Cosh(a) - math.Cos(a)*math.Sinh(a) }

// halve finds where f falls through zero between low and high.
func halve(f func(float64) float64, low, high float64) float64 {
	for range 60 { // digitswap: as many as a float64 has bits, or some more
		middle := (low + high) / 2
		if f(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
