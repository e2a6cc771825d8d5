package rail

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Shape is the shape of a section.
type Shape int

// The shapes of a section.
const (
	Rectangle Shape = iota
	Box             // a rectangular tube
	Round           // a rod
	Pipe            // a round tube
)

// Section is the section of a rail, upright as it lies.
type Section struct {
	Shape  Shape
	Width  length.Length // of Rectangle and Box
	Height length.Length // of Rectangle and Box; the diameter of Round and Pipe
	Wall   length.Length // of Box and Pipe
}

// Material is what a rail is made of.
type Material struct {
	ModulusGPa  float64 // of elasticity
	DensityKGM3 float64 // kg/m3
}

// Limits: from rubber to diamond, from foam to osmium.
const (
	maxSection  = length.Metre
	minModulus  = 0.001
	maxModulus  = 1_200.0
	minDensity  = 1.0
	maxDensity  = 23_000.0
	pascalInGPa = 1e9
)

// Bar is what a section and a material come to.
type Bar struct {
	StiffnessNM2 float64 // E I
	MassKGPerM   float64
}

// NewBar gives the stiffness and the mass of a rail of a section and a material:
// I = b h^3 / 12 for a rectangle and pi d^4 / 64 for a rod, less those of the
// hollow; the mass is density times area.
//
// Source: Roark's Formulas for Stress and Strain, appendix A (properties of
// plane areas), from memory; they follow from the definition of I.
// Valid: 0 < width, height <= 1 m; 0 < wall < half of the lesser of them; 0.001
// <= modulus <= 1200 GPa; 1 <= density <= 23 000 kg/m3.
func NewBar(s Section, m Material) (Bar, error) {
	if err := fault.First(s.check(), m.check()); err != nil {
		return Bar{}, err
	}
	areaM2, inertiaM4 := s.solid()
	if hollow, ok := s.hollow(); ok {
		a, i := hollow.solid()
		areaM2, inertiaM4 = areaM2-a, inertiaM4-i
	}
	return Bar{
		StiffnessNM2: m.ModulusGPa * pascalInGPa * inertiaM4,
		MassKGPerM:   m.DensityKGM3 * areaM2,
	}, nil
}

// solid gives area and second moment of area as if the section were filled.
func (s Section) solid() (areaM2, inertiaM4 float64) {
	b, h := s.Width.In(length.Metre), s.Height.In(length.Metre)
	if s.round() {
		return math.Pi * h * h / 4, math.Pi * math.Pow(h, 4) / 64
	}
	return b * h, b * h * h * h / 12
}

func (s Section) hollow() (inside Section, ok bool) {
	if s.Shape == Rectangle || s.Shape == Round {
		return Section{}, false
	}
	return Section{Shape: s.Shape, Width: s.Width - 2*s.Wall, Height: s.Height - 2*s.Wall}, true
}

func (s Section) round() bool { return s.Shape == Round || s.Shape == Pipe }

func (s Section) check() error {
	if err := fault.First(
		fault.Within("section shape", int(s.Shape), int(Rectangle), int(Pipe)),
		fault.Above("section height", s.Height, 0, maxSection),
	); err != nil {
		return err
	}
	least := s.Height
	if !s.round() {
		if err := fault.Above("section width", s.Width, 0, maxSection); err != nil {
			return err
		}
		least = min(least, s.Width)
	}
	if s.Shape == Rectangle || s.Shape == Round {
		return nil
	}
	return fault.Because(fault.Above("section wall", s.Wall, 0, (least-1)/2), "less than half of the section")
}

func (m Material) check() error {
	return fault.First(
		fault.Within("e modulus gpa", m.ModulusGPa, minModulus, maxModulus),
		fault.Within("density kg m3", m.DensityKGM3, minDensity, maxDensity),
	)
}
