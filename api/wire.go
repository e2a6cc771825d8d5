package api

import (
	"resawd/calc/feed"
	"resawd/calc/length"
)

// Feed is the speed of the board through the blade, told as length per minute.
type Feed feed.Speed

// BladeSpeed is told in feet per minute with inch units and in metres per
// minute with mm.
type BladeSpeed feed.Speed

// Area is an area in square millimetres, told in square units.
type Area float64

// Money is an amount in ten-thousandths of the shop's currency.
type Money int64

// Notes is what every answer ends with.
type Notes struct {
	Units    string   `json:"units" example:"in"` // Unit of every length in the answer
	Warnings []string `json:"warnings"`           // Allowed, but worth a look
	Sources  []string `json:"sources"`            // What the answer rests on
}

// notes lets the core fill the notes of any answer.
func (n *Notes) notes() *Notes { return n }

// bladeSpeedUnit is what a blade speed counts each minute.
func bladeSpeedUnit(unit length.Length) length.Length {
	if unit == length.Inch {
		return length.Foot
	}
	return length.Metre
}
