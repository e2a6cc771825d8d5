package rail

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Advice is what practice says of supporting a rail.
type Advice int

// What practice says.
const (
	NeedsNone   Advice = iota // up to 4 ft
	Between                   // between the rules: support it where the sag matters
	SupportEnds               // beyond 5 ft
)

// Advise says what practice wants of a rail of a length.
//
// Source: common practice.
// Valid: any length.
func Advise(l length.Length) Advice {
	switch {
	case l <= 4*length.Foot:
		return NeedsNone
	case l <= 5*length.Foot:
		return Between
	}
	return SupportEnds
}

// Insets are where two supports stand best, each so far from its end.
type Insets struct {
	Airy     length.Length // the ends stay parallel
	Bessel   length.Length // the rail keeps its length
	EqualSag length.Length // middle and ends sag alike, and least
}

// bessel is the distance of the Bessel points over the length.
//
// Source: Bessel points, en.wikipedia.org/wiki/Bessel_points: 0.5594; a bar of
// 1020 mm on supports 571 mm apart.
const bessel = 0.5594

// BestSupports gives where two supports under a rail of a length stand best.
//
// Source: Airy points, G. B. Airy 1845, S = L / sqrt(n^2 - 1) for n = 2 supports
// (en.wikipedia.org/wiki/Airy_points); Bessel points likewise; equal sag by the
// formulas of the package comment.
// Valid: 0 < length <= length.Max.
func BestSupports(l length.Length) (Insets, error) {
	if err := fault.Above("length", l, 0, length.Max); err != nil {
		return Insets{}, err
	}
	at := func(share float64) length.Length { return length.Length(math.Round(share * float64(l))) }
	return Insets{
		Airy:     at((1 - 1/math.Sqrt(3)) / 2),
		Bessel:   at((1 - bessel) / 2),
		EqualSag: at(equalSag()),
	}, nil
}

// equalSag gives the inset, as a share of the length, at which middle and ends
// sag alike: the middle sags more until then.
func equalSag() float64 {
	some := Rail{Bar: Bar{1, 1}, Length: length.Max, Support: Overhang} // digitswap: it is the same for every rail
	const most = 0.5                                                    // digitswap: the root lies below it
	return halve(func(a float64) float64 {
		some.Inset = length.Length(a * float64(some.Length))
		middle, end := some.bySelf()
		return middle - end
	}, 0, most)
}
