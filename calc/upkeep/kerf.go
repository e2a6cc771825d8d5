package upkeep

import "resawd/calc/fault"

// SinceMeasured gives the area in mm2 that a blade has sawn since its kerf was
// measured, from what it has sawn in all, and had by then. The more it is, the more
// of the set is worn and the narrower the kerf.
//
// Source: definition.
// Valid: 0 <= measured <= sawn <= 1e15.
func SinceMeasured(sawnMM2, measuredMM2 float64) (float64, error) {
	if err := fault.First(
		fault.Within("blade area", sawnMM2, 0, maxAreaMM2),
		fault.Within("area when measured", measuredMM2, 0, sawnMM2),
	); err != nil {
		return 0, err
	}
	return sawnMM2 - measuredMM2, nil
}
