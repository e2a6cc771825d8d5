package plan_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// A board of 60 by 150 by 1 000 mm gives a billet of 100 by 600 mm. With kerfs of
// 3 mm a strip of 47 by 600 stays beside it and 397 mm behind it; 7 mm of the billet
// and the 12 mm held back stay on the fence.
func ExampleOrder_LeftOver() {
	o := plan.Order{HoldBack: 12 * mm, RipKerf: 3 * mm, CrosscutKerf: 3 * mm,
		Boards: []plan.Board{{Thickness: 60 * mm, Width: 150 * mm, Length: 1000 * mm, Price: 90_0000}}}
	taken := []plan.Taken{{Copies: 2, Billets: []plan.Billet{{Length: 600 * mm, Width: 100 * mm, Remainder: 7 * mm}}}}
	for _, l := range o.LeftOver(taken) {
		fmt.Println(l.Copies, l.Kind, int64(l.Thickness/mm), int64(l.Width/mm), int64(l.Length/mm), l.Value)
	}
	// Output:
	// 2 offcut 60 150 397 357300
	// 2 offcut 60 47 600 169200
	// 2 remainder 19 100 600 114000
}

// A board of 30 by 200 by 2 000 mm costs 90; a piece of 20 by 150 by 500 mm is an eighth of it.
func ExampleBoard_Share() {
	b := plan.Board{Thickness: 30 * mm, Width: 200 * mm, Length: 2000 * mm, Price: 90_0000}
	fmt.Println(b.Share(20*mm, 150*mm, 500*mm))
	// Output: 112500
}

// TestShareBeyond: a hundred metres each way of a board of a nanometre each way that costs
// the most there is.
func TestShareBeyond(t *testing.T) {
	if got := (plan.Board{Thickness: 1, Width: 1, Length: 1, Price: plan.MaxPrice}).Share(length.Max, length.Max, length.Max); got != math.MaxInt64 {
		t.Error(got)
	}
}

// lengthwise is an order of one board, in nanometres, whose width and length are as
// told and that costs a tenth of its volume.
func lengthwise(wide, long length.Length, defects ...plan.Defect) plan.Order {
	return plan.Order{CrosscutKerf: 3, RipKerf: 2,
		Boards: []plan.Board{{Thickness: 10, Width: wide, Length: long, Price: int64(wide * long), Defects: defects}}}
}

// TestLeftOver: worked by hand. A size of 0 is that of the board.
func TestLeftOver(t *testing.T) {
	type size = [4]int64 // copies, width, length, value
	piece := func(from, long, wide length.Length) plan.Billet {
		return plan.Billet{From: from, Length: long, Width: wide}
	}
	for _, row := range []struct {
		name    string
		o       plan.Order
		trim    length.Length
		least   plan.Face
		billets []plan.Billet
		want    []size
	}{
		{"nothing beside or behind", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 100, 7)}, nil},
		{"less than a kerf", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 98, 6)}, nil},
		{"just a kerf", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 97, 5)}, nil},
		{"a nanometre more", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 96, 4)}, []size{{1, 1, 96, 96}, {1, 7, 1, 7}}},
		{"as small as may be", lengthwise(7, 100), 0, plan.Face{Length: 47, Width: 7}, []plan.Billet{piece(0, 50, 7)}, []size{{1, 7, 47, 329}}},
		{"too short", lengthwise(7, 100), 0, plan.Face{Length: 48}, []plan.Billet{piece(0, 50, 7)}, nil},
		{"too narrow", lengthwise(7, 100), 0, plan.Face{Width: 4}, []plan.Billet{piece(0, 100, 2)}, nil},
		{"trimmed ends", lengthwise(7, 100), 5, plan.Face{}, []plan.Billet{piece(5, 50, 7)}, []size{{1, 7, 37, 259}}},
		{"a piece behind a defect", lengthwise(7, 100, plan.Defect{From: 40, To: 41}), 0, plan.Face{}, []plan.Billet{piece(41, 59, 7)}, []size{{1, 7, 38, 266}}},
		{"a defect in what is left", lengthwise(7, 100, plan.Defect{From: 60, To: 70}), 0, plan.Face{}, []plan.Billet{piece(0, 40, 7)}, []size{{1, 7, 30, 210}, {1, 7, 17, 119}}},
		{"a defect narrower than a kerf", lengthwise(7, 100, plan.Defect{From: 60, To: 61}), 0, plan.Face{}, []plan.Billet{piece(0, 40, 7)}, []size{{1, 7, 37, 259}, {1, 7, 17, 119}}},
		{"a defect at a cut", lengthwise(7, 100, plan.Defect{From: 41, To: 45}), 0, plan.Face{}, []plan.Billet{piece(0, 40, 7)}, []size{{1, 7, 55, 385}}},
		{"a defect where a cut ends", lengthwise(7, 100, plan.Defect{From: 43, To: 45}), 0, plan.Face{}, []plan.Billet{piece(0, 40, 7)}, []size{{1, 7, 55, 385}}},
		{"defects told in another order", lengthwise(7, 100, plan.Defect{From: 80, To: 83}, plan.Defect{From: 60, To: 63}), 0, plan.Face{}, []plan.Billet{piece(0, 40, 7)}, []size{{3, 7, 17, 119}}},
		{"a defect beyond the trimmed end", lengthwise(7, 100, plan.Defect{From: 97, To: 99}), 5, plan.Face{}, []plan.Billet{piece(5, 50, 7)}, []size{{1, 7, 37, 259}}},
		{"alike", lengthwise(9, 100), 0, plan.Face{}, []plan.Billet{piece(53, 47, 5), piece(0, 50, 5)}, []size{{1, 2, 50, 100}, {1, 2, 47, 94}}},
		{"two of one size", lengthwise(9, 103), 0, plan.Face{}, []plan.Billet{piece(53, 50, 5), piece(0, 50, 5)}, []size{{2, 2, 50, 100}}},
		{"not ripped", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 50, 0)}, []size{{1, 7, 47, 329}}},
		{"not crosscut", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 0, 3)}, []size{{1, 2, 100, 200}}},
		{"neither", lengthwise(7, 100), 0, plan.Face{}, []plan.Billet{piece(0, 0, 0)}, nil},
	} {
		row.o.EndTrim, row.o.Smallest = row.trim, row.least
		var got []size
		for _, l := range row.o.LeftOver([]plan.Taken{{Copies: 1, Billets: row.billets}}) {
			got = append(got, size{int64(l.Copies), int64(l.Width), int64(l.Length), l.Value})
			if l.Kind != plan.Offcut || l.Thickness != 10 {
				t.Errorf("%s: %+v", row.name, l)
			}
		}
		if !slices.Equal(got, row.want) {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}

// TestOnTheFence: what stays of a billet is as large as the billet, in one dimension
// without a face, and worth its share of the thickness: 3 of 7 at a price of 10 are
// 4.29, 3 of 6 at 5 are 2.5, which is told as 3.
func TestOnTheFence(t *testing.T) {
	for _, row := range []struct {
		board         plan.Board
		hold          length.Length
		least         plan.Face
		billet        plan.Billet
		want          plan.LeftOver
		nothingStayed bool
	}{
		{plan.Board{Thickness: 7, Price: 10}, 1, plan.Face{Length: 9, Width: 9}, plan.Billet{Remainder: 2}, plan.LeftOver{Thickness: 3, Value: 4}, false},
		{plan.Board{Thickness: 6, Price: 5}, 3, plan.Face{}, plan.Billet{}, plan.LeftOver{Thickness: 3, Value: 3}, false},
		{plan.Board{Thickness: 6, Price: 5}, 0, plan.Face{}, plan.Billet{}, plan.LeftOver{}, true},
		{plan.Board{Thickness: 6, Width: 4, Length: 8, Price: 6}, 3, plan.Face{}, plan.Billet{}, plan.LeftOver{Thickness: 3, Width: 4, Length: 8, Value: 3}, false},
		{plan.Board{Thickness: 6, Width: 4, Length: 8, Price: 64}, 3, plan.Face{}, plan.Billet{Length: 8, Width: 4}, plan.LeftOver{Thickness: 3, Width: 4, Length: 8, Value: 32}, false},
		{plan.Board{Thickness: 6, Width: 4, Length: 8, Price: 64}, 3, plan.Face{Length: 9}, plan.Billet{Length: 8, Width: 4}, plan.LeftOver{}, true},
		{plan.Board{Thickness: 6, Width: 4, Length: 8, Price: 64}, 3, plan.Face{Width: 5}, plan.Billet{Length: 8, Width: 4}, plan.LeftOver{}, true},
	} {
		row.want.Copies, row.want.Kind = 2, plan.Remainder
		o := plan.Order{Boards: []plan.Board{row.board}, HoldBack: row.hold, Smallest: row.least}
		got := o.LeftOver([]plan.Taken{{Copies: 2, Billets: []plan.Billet{row.billet}}})
		if want := []plan.LeftOver{row.want}; row.nothingStayed && len(got) > 0 || !row.nothingStayed && !slices.Equal(got, want) {
			t.Errorf("%+v: %+v, want %+v", row.board, got, want)
		}
	}
}

// TestTooThin: with a hold-back of 1 000, a truing pass of 100, kerfs of 10 and leaves of 7
// and more, 1 127 gives a leaf, for 1 000 + 100 + 10 + 7 + 10; without a truing pass 1 017
// does. A nanometre less does not. The board costs its thickness.
func TestTooThin(t *testing.T) {
	for _, row := range []struct {
		skim, remainder length.Length
		value           int64
		tooThin         bool
	}{
		{100, 127, 1127, false}, {100, 126, 1126, true}, {0, 17, 1017, false}, {0, 16, 1016, true}, {1, 28, 1028, false}, {1, 27, 1027, true},
	} {
		o := plan.Order{Kerf: 10, Skim: row.skim, HoldBack: 1000, Parts: []plan.Part{{Thickness: 9}, {Thickness: 7}, {Thickness: 8}},
			Boards: []plan.Board{{Thickness: 4000, Width: 5, Length: 9, Price: 4000}}}
		want := []plan.LeftOver{{0, 3, plan.Remainder, 1000 + row.remainder, 5, 9, row.value, row.tooThin}}
		if got := o.LeftOver([]plan.Taken{{Copies: 3, Billets: []plan.Billet{{Length: 9, Width: 5, Remainder: row.remainder}}}}); !slices.Equal(got, want) {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}

// TestBelowSmallest: a board of a nanometre in length or width is below the smallest
// billet, too, and nothing of it is told.
func TestBelowSmallest(t *testing.T) {
	for _, b := range []plan.Board{{Thickness: 5, Width: 5, Length: 1}, {Thickness: 5, Width: 1, Length: 5}} {
		o := plan.Order{HoldBack: 1, Boards: []plan.Board{b}, Smallest: plan.Face{Length: 2, Width: 2}}
		if got := o.LeftOver([]plan.Taken{{Copies: 1, Billets: []plan.Billet{{Length: b.Length, Width: b.Width, Remainder: 1}}}}); len(got) > 0 {
			t.Errorf("%+v: %+v", b, got)
		}
	}
}

// TestLeftOverOrder: in the order of the boards, whatever is taken first, and boards
// of one kind that are cut in different ways together.
func TestLeftOverOrder(t *testing.T) {
	o := plan.Order{HoldBack: 1, Boards: []plan.Board{{Thickness: 5, Width: 5, Length: 9}, {Thickness: 5, Width: 5, Length: 9}}}
	billet := func(long length.Length) []plan.Billet { return []plan.Billet{{Length: long, Width: 5}} }
	got := o.LeftOver([]plan.Taken{{Board: 1, Copies: 1, Billets: billet(8)}, {Board: 0, Copies: 1, Billets: billet(2)},
		{Board: 0, Copies: 3, Billets: billet(7)}, {Board: 0, Copies: 4, Billets: billet(2)}})
	want := []plan.LeftOver{
		{0, 5, plan.Offcut, 5, 5, 7, 0, false}, {0, 3, plan.Offcut, 5, 5, 2, 0, false},
		{0, 3, plan.Remainder, 1, 5, 7, 0, false}, {0, 5, plan.Remainder, 1, 5, 2, 0, false},
		{1, 1, plan.Offcut, 5, 5, 1, 0, false}, {1, 1, plan.Remainder, 1, 5, 8, 0, false},
	}
	if !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
}
