package length

import (
	"fmt"
	"math"
	"math/bits"
)

// Length is a length in nanometres. A constant such as [Inch] is both a length
// and a unit: 3*Inch is three inches, l.Decimal(Inch) is l told in inches.
type Length int64

// The units of length, each an exact number of nanometres.
//
// Source: inch = 25.4 mm exactly, NIST Handbook 44 Appendix C (1959 agreement).
const (
	Nanometre  Length = 1
	Micrometre        = 1_000 * Nanometre
	Millimetre        = 1_000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 1_000 * Millimetre
	Inch              = 25_400 * Micrometre
	Thou              = Inch / 1_000
	Foot              = 12 * Inch
)

// Max is the largest length that is read: 100 m. No board is longer, and sums
// of ten thousand of them stay far inside an int64.
const Max = 100 * Metre

// In gives l as a number of units, for formulas that need a float.
//
// Source: definition.
// Accuracy: one rounding of the float division; l itself is exact below 2^53 nm.
func (l Length) In(unit Length) float64 { return float64(l) / float64(unit) }

// FromFloat gives the length of x units, rounded to the nearest nanometre,
// halves to even. It is for results of formulas; what a person wrote is read
// by [Parse].
//
// Source: definition.
// Valid: |x units| <= Max; otherwise, and for NaN, an error of type *[RangeError].
func FromFloat(x float64, unit Length) (Length, error) {
	nm := math.RoundToEven(x * float64(unit))
	if !(math.Abs(nm) <= float64(Max)) {
		return 0, &RangeError{Input: fmt.Sprint(x)}
	}
	return Length(nm), nil
}

// Scale gives l*num/den rounded to the nearest nanometre, halves away from
// zero, with no intermediate overflow or rounding: the place of the num-th of
// den equal marks along l.
//
// Source: definition.
// Valid: num >= 0, den > 0 and a result within int64; outside, it panics, as an
// integer division by zero does.
func (l Length) Scale(num, den int64) Length {
	if num < 0 || den <= 0 {
		panic("length: Scale by a negative number or over none")
	}
	size, negative := l.magnitude()
	hi, lo := bits.Mul64(size, uint64(num))
	lo, carry := bits.Add64(lo, uint64(den)/2, 0)
	if hi += carry; hi >= uint64(den) {
		panic("length: Scale beyond 64 bits")
	}
	quotient, _ := bits.Div64(hi, lo, uint64(den))
	switch {
	case negative && quotient <= -math.MinInt64:
		return Length(-quotient)
	case !negative && quotient <= math.MaxInt64:
		return Length(quotient)
	}
	panic("length: Scale beyond 64 bits")
}

// magnitude gives the size of a length without its sign, also of the least int64.
func (l Length) magnitude() (size uint64, negative bool) {
	if l < 0 { // digitswap: nothing has no sign
		return -uint64(l), true
	}
	return uint64(l), false
}
