package rail_test

import (
	"fmt"

	"resawd/calc/length"
	"resawd/calc/rail"
)

const mm = length.Millimetre

// aluminium is a bar of 40 x 40 mm: I = 40^4 / 12 mm4 = 2.13333e-7 m4, 42.3647 N/m.
func aluminium() rail.Rail {
	bar, _ := rail.NewBar(rail.Section{Width: 40 * mm, Height: 40 * mm}, rail.Material{ModulusGPa: 69, DensityKGM3: 2700})
	return rail.Rail{Bar: bar, Length: 1200 * mm}
}

func ExampleNewBar() {
	bar := aluminium().Bar
	fmt.Printf("%.0f N m2, %.2f kg/m\n", bar.StiffnessNM2, bar.MassKGPerM)
	// Output: 14720 N m2, 4.32 kg/m
}

func ExampleDeflection() {
	r := aluminium()
	r.LoadN = 100
	s, _ := rail.Deflection(r)
	fmt.Println(s.Middle.Fixed(mm, 4), s.Load.Fixed(mm, 4), s.Worst.Fixed(mm, 4))
	// Output: 0.0777 0.2446 0.3223
}

func ExampleFrequency() {
	hz, _ := rail.Frequency(aluminium())
	fmt.Printf("%.2f Hz\n", hz)
	// Output: 63.68 Hz
}

// 5 w L^4 / (384 E I) = 0.5 mm with L = 1911 mm.
func ExampleLongestSpan() {
	l, _ := rail.LongestSpan(aluminium(), mm/2)
	fmt.Println(l.Fixed(mm, 0))
	// Output: 1911
}

func ExampleAdvise() {
	fmt.Println(rail.Advise(4*length.Foot) == rail.NeedsNone, rail.Advise(61*length.Inch) == rail.SupportEnds)
	// Output: true true
}

// A gauge of 1000 mm stands on its Airy points 577.4 mm apart; the metre bar of
// 1020 mm stood on supports 571 mm apart.
func ExampleBestSupports() {
	gauge, _ := rail.BestSupports(1000 * mm)
	bar, _ := rail.BestSupports(1020 * mm)
	fmt.Println((1000*mm-2*gauge.Airy).Fixed(mm, 1), (1020*mm-2*bar.Bessel).Fixed(mm, 0))
	// Output: 577.4 571
}
