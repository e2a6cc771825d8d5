package run

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// MaxPlaces is the most copies that a leaf is divided into along its length, and
// across its width.
const MaxPlaces = 10_000

// Division is how a leaf that is off its billet is divided into copies of a part.
type Division struct {
	EndToEnd, SideBySide int
	Length, Width        length.Length // of a copy
	Kerf                 length.Length // between copies
}

// Fits returns an error unless a leaf of a length and a width holds the copies and
// the kerfs between them.
//
// Source: definition.
// Valid: leaves up to 100 m, kerfs up to 1 m, up to 10 000 copies a side.
func (d Division) Fits(long, wide length.Length) error {
	const holds = "what the leaf holds"
	if err := fault.First(
		fault.Above("leaf length", long, 0, length.Max),
		fault.Above("leaf width", wide, 0, length.Max),
		fault.Because(fault.Above("length", d.Length, 0, long), "the leaf's"),
		fault.Because(fault.Above("width", d.Width, 0, wide), "the leaf's"),
		fault.Within("kerf", d.Kerf, 0, length.Metre),
	); err != nil {
		return err
	}
	return fault.First(
		fault.Because(fault.Within("end to end", d.EndToEnd, 1, most(long, d.Length, d.Kerf)), holds),
		fault.Because(fault.Within("side by side", d.SideBySide, 1, most(wide, d.Width, d.Kerf)), holds),
	)
}

// most gives how many copies of a size a room holds, with a kerf between neighbours.
func most(room, size, kerf length.Length) int {
	return int(min((room+kerf)/(size+kerf), MaxPlaces))
}

// Corner returns where a copy begins along the leaf and across it. Copies are
// counted from 0, along from the end that is sawn first, across from the top edge.
//
// Source: definition.
func (d Division) Corner(along, across int) (from, down length.Length) {
	return length.Length(along) * (d.Length + d.Kerf), length.Length(across) * (d.Width + d.Kerf)
}
