package length

import (
	"math/bits"
	"strconv"
	"strings"
)

// Decimal writes l as a decimal number of units, trailing zeros dropped: exact
// in metric units, to 8 decimals in inches, and always enough that reading it
// back gives l.
//
// Source: definition (package comment).
// Valid: a unit from a nanometre to a metre.
func (l Length) Decimal(unit Length) string { return string(l.AppendDecimal(nil, unit)) }

// AppendDecimal appends l.Decimal(unit) to dst.
//
// Source: definition (package comment).
// Valid: as [Length.Decimal].
func (l Length) AppendDecimal(dst []byte, unit Length) []byte {
	start := len(dst)
	dst = l.appendFixed(dst, unit, places(unit))
	end := len(dst)
	for end > start && dst[end-1] == '0' {
		end--
	}
	if dst[end-1] == '.' {
		end--
	}
	return dst[:end]
}

// places is how many decimals of a unit tell one nanometre from the next: as
// many as the unit's nanometres have digits.
func places(unit Length) int {
	for n, power := range powersOfTen {
		if power > uint64(unit) {
			return n
		}
	}
	return len(powersOfTen)
}

// Fixed writes l as a number of units with a fixed number of decimals, halves away
// from zero, for sheets that people read.
//
// Source: definition.
// Valid: a unit from a nanometre to a metre, 0 <= decimals <= 9.
func (l Length) Fixed(unit Length, decimals int) string {
	return string(l.appendFixed(nil, unit, decimals))
}

// appendFixed writes any length: the whole units and the rest of one on their own, so
// that nothing overflows.
func (l Length) appendFixed(dst []byte, unit Length, decimals int) []byte {
	scale := int64(powersOfTen[decimals])
	size, negative := l.magnitude()
	whole, rest := size/uint64(unit), int64(Length(size%uint64(unit)).Scale(scale, int64(unit)))
	if rest == scale {
		whole, rest = whole+1, 0
	}
	if negative && (whole > 0 || rest > 0) {
		dst = append(dst, '-')
	}
	dst = strconv.AppendUint(dst, whole, 10)
	if decimals == 0 {
		return dst
	}
	point := len(dst)
	dst = strconv.AppendInt(dst, scale+rest, 10) // a one and so many digits
	dst[point] = '.'
	return dst
}

// Fraction writes l in inches as a whole number and a binary fraction down to
// 1/64, such as "1-1/2 in"; exact is false, and the text empty, where l is not
// a multiple of 1/64 in.
//
// Source: definition (package comment).
func (l Length) Fraction() (text string, exact bool) {
	const sixtyFourth = Inch / 64
	if l%sixtyFourth != 0 {
		return "", false
	}
	var b strings.Builder
	if l < 0 {
		b.WriteByte('-')
		l = -l
	}
	whole, top, below := int64(l/Inch), int64(l%Inch/sixtyFourth), int64(Inch/sixtyFourth)
	shared := bits.TrailingZeros64(uint64(top | below)) // factors of two
	top, below = top>>shared, below>>shared
	if whole > 0 || top == 0 {
		b.WriteString(strconv.FormatInt(whole, 10))
	}
	if whole > 0 && top > 0 {
		b.WriteByte('-')
	}
	if top > 0 {
		b.WriteString(strconv.FormatInt(top, 10) + "/" + strconv.FormatInt(below, 10))
	}
	b.WriteString(" in")
	return b.String(), true
}

// String writes l in millimetres with the unit, exactly.
//
// Source: definition.
func (l Length) String() string { return l.Decimal(Millimetre) + " mm" }
