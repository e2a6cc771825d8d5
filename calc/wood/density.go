package wood

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// water is the density of water, kg/m3.
//
// Source: Wood Handbook chapter 4: rho_w = 1000 kg/m3.
const water = 1000.0

// airDry is the moisture content, in percent, of the specific gravity that is
// printed for dry wood.
const airDry = 12.0

// Density gives the density of wood of a moisture content x, in kg/m3, by its
// specific gravity at 12 percent or else when green: rho = 1000 G (1 + x/100) with
// G brought to the volume at x; ok is false where no specific gravity is known.
//
// Source: Wood Handbook chapter 4, FPL-GTR-190 p. 4-10 to 4-12; the volume shrinks
// evenly from 30 percent down, S_x = S_0 (1 - x/30), from memory. Without a
// volumetric shrinkage the volume is taken as it is where G was measured.
// Valid: 0 <= moisture content <= 250 percent.
// Accuracy: species means; single boards are off by a tenth.
func (s Species) Density(moisturePct float64) (kgM3 float64, ok bool, err error) {
	if err := fault.Within("moisture pct", moisturePct, 0, maxMoisture); err != nil {
		return 0, false, err
	}
	gravity, at := s.Gravity12, airDry
	if !gravity.Known() {
		gravity, at = s.GravityGreen, Saturation
	}
	volume := s.volume(moisturePct) / s.volume(at)
	return water * gravity.Value / volume * (1 + moisturePct/100), gravity.Known(), nil
}

// volume gives the volume at a moisture content over the green one.
func (s Species) volume(moisturePct float64) float64 {
	return 1 - s.VolumetricShrinkage.Value/100*(1-min(moisturePct, Saturation)/Saturation)
}

// Mass gives the mass, in kilograms, of a piece of a density in kg/m3.
//
// Source: definition.
// Valid: 0 <= density <= 10 000 kg/m3, 0 <= each size <= length.Max.
func Mass(kgM3 float64, thickness, width, long length.Length) (kg float64, err error) {
	if err := fault.First(
		fault.Within("density kg m3", kgM3, 0, 10*water),
		fault.Within("thickness", thickness, 0, length.Max), fault.Within("width", width, 0, length.Max), fault.Within("length", long, 0, length.Max),
	); err != nil {
		return 0, err
	}
	return kgM3 * thickness.In(length.Metre) * width.In(length.Metre) * long.In(length.Metre), nil
}
