package endpoint

import (
	"bytes"
	"strings"

	"resawd/calc/length"
)

// owned are the fields of a request that may have a unit of their own, as in "300mm" or
// "10 ft/min". What is wrong with one is said in that unit. They are parsed for it only
// then.
type owned []ownText

// ownText is a field and its value as it came.
type ownText struct {
	path  string
	value raw
}

// ownUnit reads a scalar that may have a unit of its own.
func ownUnit(read scalar) scalar {
	return func(r *reader, at any, path string, value raw) {
		r.faults.own.note(path, value)
		read(r, at, path, value)
	}
}

// note keeps a text that does not end in a digit, or looks like a quarter size.
func (o *owned) note(path string, value raw) {
	if value.kind != 0 && value.kind != '"' {
		return
	}
	text := bytes.TrimRight(value.text, `" `)
	if n := len(text); n > 0 && (text[n-1] < '0' || text[n-1] > '9' || bytes.HasSuffix(text, []byte("/4"))) {
		*o = append(*o, ownText{path, value})
	}
}

// unit is the unit that a field was given in: its own, or else that of the request.
func (o owned) unit(path string, unit length.Length) length.Length {
	for _, x := range o {
		if x.path != path {
			continue
		}
		if own, ok := x.value.unit(); ok {
			return own
		}
	}
	return unit
}

// unit is the unit that a length or a speed has of its own.
func (v raw) unit() (unit length.Length, ok bool) {
	text, _ := v.plain('"')
	text = strings.TrimSpace(text)
	if length.QuarterSize(text) {
		return length.Inch, true
	}
	text, perMinute := strings.CutSuffix(lower(text), "/min")
	_, name := unitName(text)
	unit, err := length.Parse("1"+name, 0)
	if unit == length.Foot && !perMinute {
		unit = length.Inch // no tape shows feet and decimals
	}
	return unit, err == nil && name != ""
}

// unitName splits off the name of the unit.
func unitName(text string) (number, name string) {
	number = strings.TrimRight(text, " abcdefghijklmnopqrstuvwxyz\"'")
	return number, strings.TrimSpace(text[len(number):])
}

// lower lowers the letters A to Z and leaves those of other alphabets, some of which
// would become ours.
func lower(text string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' {
			return r - 'A' + 'a'
		}
		return r
	}, text)
}
