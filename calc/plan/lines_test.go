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
		{"all of the room needs no cut", []s{{0, 100}}, 100, 3, nil},
		{"two fill the room with one kerf", []s{{0, 40}, {43, 100}}, 100, 3, []plan.Line{{40, s{40, 43}, 0, false}}},
		{"an offcut behind", []s{{0, 40}}, 100, 3, []plan.Line{{40, s{40, 43}, 0, false}}},
		{"less than a kerf behind", []s{{0, 98}}, 100, 3, []plan.Line{{98, s{98, 100}, 0, false}}},
		{"an end before", []s{{10, 100}}, 100, 3, []plan.Line{{10, s{7, 10}, 0, true}}},
		{"less than a kerf before", []s{{2, 100}}, 100, 3, []plan.Line{{2, s{0, 2}, 0, true}}},
		{"a defect between", []s{{0, 40}, {60, 100}}, 100, 3, []plan.Line{{40, s{40, 43}, 0, false}, {60, s{57, 60}, 1, true}}},
		{"less than two kerfs between", []s{{0, 40}, {44, 100}}, 100, 3, []plan.Line{{40, s{40, 43}, 0, false}, {44, s{43, 44}, 1, true}}},
		{"no kerf", []s{{0, 40}, {40, 100}}, 100, 0, []plan.Line{{40, s{40, 40}, 0, false}}},
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
		"no kerf between":      {[]s{{0, 40}, {42, 100}}, 100, 3},
		"out of order":         {[]s{{50, 100}, {0, 40}}, 100, 3},
		"beyond the room":      {[]s{{0, 101}}, 100, 3},
		"before the room":      {[]s{{-1, 40}}, 100, 3},
		"nothing of a piece":   {[]s{{40, 40}}, 100, 3},
		"a negative kerf":      {[]s{{0, 40}}, 100, -1},
		"a kerf out of limits": {[]s{{0, 40}}, 100, plan.MaxSize + 1},
		"a negative room":      {nil, -1, 3},
		"a room out of limits": {nil, plan.MaxSize + 1, 3},
	} {
		var out *fault.OutOfRange
		if got, err := plan.Lines(row.pieces, row.room, row.kerf); !errors.As(err, &out) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}
