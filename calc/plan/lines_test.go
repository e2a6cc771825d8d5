package plan_test

import (
	"errors"
	"fmt"
	"reflect"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// A board of 48 in, 1/2 in trimmed off each end, cut to two lengths of 20 in
// with kerfs of 1/8 in: 0.5, 20.5, 20.625 and 40.625 in.
func ExampleLines() {
	lines, _ := plan.Lines([]plan.Stretch{
		{From: length.Inch / 2, To: 41 * length.Inch / 2},
		{From: 165 * length.Inch / 8, To: 325 * length.Inch / 8},
	}, 48*length.Inch, length.Inch/8)
	for _, l := range lines {
		fmt.Println(l.At.Fixed(length.Inch, 3), l.Before)
	}
	// Output:
	// 0.500 true
	// 20.500 false
	// 40.625 false
}

// TestLines: worked by hand, in units of one nanometre.
func TestLines(t *testing.T) {
	type s = plan.Stretch
	for _, row := range []struct {
		name       string
		pieces     []s
		room, kerf length.Length
		want       []plan.Line
	}{
		{"nothing", nil, 100, 3, nil},
		{"no room", nil, 0, 3, nil},
		{"all of the room needs no cut", []s{{From: 0, To: 100}}, 100, 3, nil},
		{"two fill the room with one kerf", []s{{From: 0, To: 40}, {From: 43, To: 100}}, 100, 3, []plan.Line{{At: 40, Kerf: s{From: 40, To: 43}, Piece: 0, Before: false}}},
		{"an offcut behind", []s{{From: 0, To: 40}}, 100, 3, []plan.Line{{At: 40, Kerf: s{From: 40, To: 43}, Piece: 0, Before: false}}},
		{"less than a kerf behind", []s{{From: 0, To: 98}}, 100, 3, []plan.Line{{At: 98, Kerf: s{From: 98, To: 100}, Piece: 0, Before: false}}},
		{"an end before", []s{{From: 10, To: 100}}, 100, 3, []plan.Line{{At: 10, Kerf: s{From: 7, To: 10}, Piece: 0, Before: true}}},
		{"less than a kerf before", []s{{From: 2, To: 100}}, 100, 3, []plan.Line{{At: 2, Kerf: s{From: 0, To: 2}, Piece: 0, Before: true}}},
		{"a defect between", []s{{From: 0, To: 40}, {From: 60, To: 100}}, 100, 3, []plan.Line{{At: 40, Kerf: s{From: 40, To: 43}, Piece: 0, Before: false}, {At: 60, Kerf: s{From: 57, To: 60}, Piece: 1, Before: true}}},
		{"less than two kerfs between", []s{{From: 0, To: 40}, {From: 44, To: 100}}, 100, 3, []plan.Line{{At: 40, Kerf: s{From: 40, To: 43}, Piece: 0, Before: false}, {At: 44, Kerf: s{From: 43, To: 44}, Piece: 1, Before: true}}},
		{"no kerf", []s{{From: 0, To: 40}, {From: 40, To: 100}}, 100, 0, []plan.Line{{At: 40, Kerf: s{From: 40, To: 40}, Piece: 0, Before: false}}},
	} {
		got, err := plan.Lines(row.pieces, row.room, row.kerf)
		if err != nil || !reflect.DeepEqual(got, row.want) {
			t.Errorf("%s: %v, %v; want %v", row.name, got, err, row.want)
		}
	}
}

// TestLinesRefusals: pieces that cannot be cut so are refused.
func TestLinesRefusals(t *testing.T) {
	type s = plan.Stretch
	for name, row := range map[string]struct {
		pieces     []s
		room, kerf length.Length
	}{
		"no kerf between":      {[]s{{From: 0, To: 40}, {From: 42, To: 100}}, 100, 3},
		"out of order":         {[]s{{From: 50, To: 100}, {From: 0, To: 40}}, 100, 3},
		"beyond the room":      {[]s{{From: 0, To: 101}}, 100, 3},
		"before the room":      {[]s{{From: -1, To: 40}}, 100, 3},
		"nothing of a piece":   {[]s{{From: 40, To: 40}}, 100, 3},
		"a negative kerf":      {[]s{{From: 0, To: 40}}, 100, -1},
		"a kerf out of limits": {[]s{{From: 0, To: 40}}, 100, plan.MaxSize + 1},
		"a negative room":      {nil, -1, 3},
		"a room out of limits": {nil, plan.MaxSize + 1, 3},
	} {
		var out *fault.OutOfRange
		if got, err := plan.Lines(row.pieces, row.room, row.kerf); !errors.As(err, &out) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}
