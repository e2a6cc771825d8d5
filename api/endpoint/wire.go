package endpoint

import (
	"strconv"

	"resawd/api/rule"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// Feed is the speed of the board through the blade, told as length per minute; at
// most 1000000 is read.
type Feed feed.Speed

// BladeSpeed is in feet per minute with inch units and in metres per minute with mm; at most 1000000 is read.
type BladeSpeed feed.BladeSpeed

// Bite is a length far below a division of any dial, which comes from a formula.
type Bite float64 // in millimetres

// Area is an area in square units.
type Area float64 // in square millimetres

// Money is an amount in the shop's currency with 4 decimals at most; at most
// 1000000000 is read.
type Money int64 // in ten-thousandths

// Object is a JSON object that is passed on as it is.
type Object []byte

// Bare is embedded in answers that have no notes.
type Bare struct{}

func (Bare) notes() *Notes { return nil }

// Notes is what every answer ends with.
type Notes struct {
	// Unit of every length in the answer
	Units string `json:"units" enums:"in,mm"`
	// What is allowed but worth a look
	Warnings []string `json:"warnings"`
	// The publications and rules that the answer rests on
	Sources []string `json:"sources"`
}

// notes lets the core fill in the notes of any answer.
func (n *Notes) notes() *Notes { return n }

// BladeSpeedUnit is the unit that a blade speed counts a minute, beside a unit of
// length.
func BladeSpeedUnit(unit length.Length) length.Length {
	if unit == length.Inch || unit == length.Foot || unit == length.Thou {
		return length.Foot
	}
	return length.Metre
}

// Tell implements [rule.Teller].
func (f Feed) Tell(unit length.Length) string { return rule.Show(length.Length(f), unit) + "/min" }

// Tell implements [rule.Teller].
func (v BladeSpeed) Tell(unit length.Length) string {
	unit = BladeSpeedUnit(unit)
	return strconv.FormatFloat(length.Length(v).In(unit), 'g', 8, 64) + " " + rule.UnitName(unit) + "/min"
}

// Tell implements [rule.Teller].
func (a Area) Tell(unit length.Length) string {
	side := unit.In(length.Millimetre)
	return strconv.FormatFloat(float64(a)/side/side, 'g', 8, 64) + " sq " + rule.UnitName(unit)
}

// Tell implements [rule.Teller].
func (m Money) Tell(length.Length) string { return string(appendMoney(nil, int64(m))) }

// ValueOr is the value that a pointer points to, or absent if it is nil.
func ValueOr[T any](p *T, absent T) T {
	if p == nil {
		return absent
	}
	return *p
}
