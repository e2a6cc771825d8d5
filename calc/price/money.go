package price

import (
	"math"
	"slices"

	"resawd/calc/fault"
)

// Money is an amount in ten-thousandths of the unit of a currency.
type Money int64

// Unit is one unit of a currency.
const Unit Money = 10_000

// Most is the largest amount that is taken in or given out, either way.
const Most = 1_000_000_000 * Unit

// maxLines is more lines than any quote has, and so few that their sum is far within
// 64 bits.
const maxLines = 1_000

// digits are the decimals of the currencies that do not have two.
//
// Source: ISO 4217, list one, read in a transcription as far as MDL, the rest from
// memory.
var digits = map[string]int{
	"BIF": 0, "CLP": 0, "DJF": 0, "GNF": 0, "ISK": 0, "JPY": 0, "KMF": 0, "KRW": 0, "PYG": 0, "RWF": 0,
	"UGX": 0, "UYI": 0, "VND": 0, "VUV": 0, "XAF": 0, "XOF": 0, "XPF": 0,
	"BHD": 3, "IQD": 3, "JOD": 3, "KWD": 3, "LYD": 3, "OMR": 3, "TND": 3,
	"CLF": 4, "UYW": 4,
}

// Decimals gives how many decimals the minor unit of a currency has.
//
// Source: ISO 4217, list one.
// Valid: any text; a currency that is not in the list has two.
func Decimals(currency string) int {
	if decimals, ok := digits[currency]; ok {
		return decimals
	}
	return 2
}

// MinorUnit gives the minor unit of a currency, such as a cent.
//
// Source: ISO 4217, list one.
// Valid: any text; a currency that is not in the list has hundredths.
func MinorUnit(currency string) Money {
	minor := Unit
	for range Decimals(currency) {
		minor /= 10
	}
	return minor
}

// Round gives lines that add up to their sum, each and the sum a multiple of the
// minor unit: the sum is rounded, halves away from zero, and no line is a minor unit
// or more away from what it was.
//
// Source: method of largest remainders (Hamilton's method of apportionment).
// Valid: a minor unit from 1 to [Most]; up to 1000 lines, each at most [Most] either
// way.
func Round(lines []Money, minor Money) ([]Money, error) {
	if err := fault.First(fault.Within("minor unit", int(minor), 1, int(Most)), fault.Within("lines", len(lines), 0, maxLines)); err != nil {
		return nil, err
	}
	var sum, floors Money
	rounded := make([]Money, len(lines))
	for i, l := range lines {
		if err := fault.Within("amount", int(l), -int(Most), int(Most)); err != nil {
			return nil, err
		}
		rounded[i] = l - modulo(l, minor)
		sum, floors = sum+l, floors+rounded[i]
	}
	order := make([]int, len(lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return int(modulo(lines[b], minor) - modulo(lines[a], minor)) })
	for _, i := range order[:(nearest(sum, minor)-floors)/minor] {
		rounded[i] += minor
	}
	return rounded, nil
}

// modulo is what an amount has beyond a multiple of the minor unit, never negative.
func modulo(m, minor Money) Money { return (m%minor + minor) % minor }

// nearest gives the nearest multiple of the minor unit, halves away from zero.
func nearest(m, minor Money) Money {
	if m < 0 {
		return -nearest(-m, minor)
	}
	return (m + minor/2) / minor * minor
}

// rounded gives an amount that a formula comes to, in ten-thousandths, where it is
// within [Most].
func rounded(quantity string, x float64) (Money, error) {
	if err := fault.Within(quantity, x/float64(Unit), 0, float64(Most/Unit)); err != nil {
		return 0, err
	}
	return Money(math.Round(x)), nil
}

// times gives an amount times a factor, rounded.
func times(m Money, factor float64) Money { return Money(math.Round(float64(m) * factor)) }
