package rail

import (
	"math"
	"testing"

	"resawd/calc/length"
)

// TestFrequencies: Thomson's table, B = (beta L)^2 as printed; an overhang with
// its supports in the nodes of a free bar (0.2242 of its length) vibrates as a
// free bar, one with both in the middle as two cantilevers of half its length.
func TestFrequencies(t *testing.T) {
	for name, c := range map[string]struct {
		support Support
		inset   length.Length
		b, off  float64
	}{
		"ends":                           {Ends, 0, 9.87, .005},
		"cantilever":                     {Cantilever, 0, 3.516, .0001},
		"cantilever, whatever the inset": {Cantilever, m / 5, 3.516, .0001},
		"free bar":                       {Overhang, 224_200_000, 22.4, .05},
		"two cantilevers":                {Overhang, m / 2, 4 * 3.516, .0005},
	} {
		r := unit(c.support, c.inset)
		hz, err := Frequency(r)
		if b := hz * 2 * math.Pi / math.Sqrt(r.StiffnessNM2/r.MassKGPerM); err != nil || math.Abs(b-c.b) > c.off {
			t.Errorf("%s: B = %v, %v; want %v", name, b, err, c.b)
		}
	}
	r := unit(Ends, 0) // twice the length vibrates a quarter as fast
	one, _ := Frequency(r)
	r.Length *= 2
	if two, err := Frequency(r); err != nil || !near(two*4, one, 1e-12) {
		t.Errorf("%v and %v, %v", one, two, err)
	}
}

// bent gives the sags of a rail on two supports under loads at the middles of its
// parts, by statics and two numeric integrations: it knows no formula of package
// rail.
func bent(loads []float64, a, stiffness float64) []float64 {
	n := len(loads)
	dx := 1.0 / float64(n)
	var total, about float64
	for i, q := range loads {
		total += q
		about += q * ((float64(i)+0.5)*dx - a)
	}
	right := about / (1 - 2*a)
	left := total - right
	y := make([]float64, n+1)
	var slope, shear, moment float64
	for i := range n {
		x := (float64(i) + 0.5) * dx
		slope += moment / stiffness * dx / 2
		y[i+1] = y[i] + slope*dx
		shear -= loads[i] / 2
		if x >= a && x-dx < a {
			shear += left
		}
		if x >= 1-a && x-dx < 1-a {
			shear += right
		}
		moment += shear * dx
		shear -= loads[i] / 2
		slope += moment / stiffness * dx / 2
	}
	at := func(x float64) float64 { return y[int(math.Round(x*float64(n)))] }
	lean := (at(1-a) - at(a)) / (1 - 2*a)
	sags := make([]float64, n)
	for i := range n {
		x := (float64(i) + 0.5) * dx
		sags[i] = -((y[i]+y[i+1])/2 - at(a) - lean*(x-a))
	}
	return sags
}

// TestNumerically holds the formulas of the overhang, and its frequency, against
// numeric integration. For the frequency a shape is loaded with itself, over and
// over, which leaves the slowest one.
func TestNumerically(t *testing.T) {
	const n = 4000
	for _, inset := range []length.Length{0, m / 20, m / 10, m / 5, m / 4, 3 * m / 10, 2 * m / 5, 9 * m / 20} {
		a := inset.In(m)
		loads := make([]float64, n)
		for i := range loads {
			loads[i] = 1.0 / n
		}
		sags := bent(loads, a, 1000)
		s, err := Deflection(unit(Overhang, inset))
		if middle := (sags[n/2-1] + sags[n/2]) / 2; err != nil || math.Abs(middle-s.Middle.In(m)) > 3e-8 || math.Abs(sags[0]-s.End.In(m)) > 3e-8 {
			t.Errorf("inset %v: %v and %v by numbers, %+v, %v", a, middle, sags[0], s, err)
		}
		shape := make([]float64, n)
		for i := range shape {
			shape[i] = 1 + float64(i)/n // neither alike nor opposite
		}
		var omega2 float64
		for range 60 {
			for i := range loads {
				loads[i] = shape[i] / n
			}
			next := bent(loads, a, 1)
			var top, bottom float64
			for i := range next {
				top, bottom = top+next[i]*shape[i], bottom+next[i]*next[i]
			}
			omega2 = top / bottom
			scale := 1 / math.Sqrt(bottom/n)
			for i := range next {
				shape[i] = next[i] * scale
			}
		}
		hz, err := Frequency(Rail{Bar: Bar{1, 1}, Length: m, Support: Overhang, Inset: inset})
		if want := math.Sqrt(omega2) / (2 * math.Pi); err != nil || !near(hz, want, 0.002) {
			t.Errorf("inset %v: %v Hz, %v; %v by numbers", a, hz, err, want)
		}
	}
}
