package plan_test

import (
	"errors"
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// TestLimits: at each limit of kits, of the price of work and of the smallest billet an
// order is good, and just beyond it one fault names the field.
func TestLimits(t *testing.T) {
	kit := func(o *plan.Order, n int) *int { return &o.Kits[0].Parts[n].Quantity }
	for _, c := range []struct {
		name  string
		set   func(o *plan.Order, x int)
		in    int
		out   int
		of    plan.Subject
		index int
		field string
	}{
		{"leaf kerf", func(o *plan.Order, x int) { o.LeafKerf = length.Length(x) }, 0, -1, plan.OfOrder, 0, "leaf kerf"},
		{"wide leaf kerf", func(o *plan.Order, x int) { o.LeafKerf = length.Length(x) }, int(length.Max), int(length.Max) + 1, plan.OfOrder, 0, "leaf kerf"},
		{"least skim", func(o *plan.Order, x int) { o.LeastSkim = length.Length(x) }, 0, -1, plan.OfOrder, 0, "least skim"},
		{"smallest length", func(o *plan.Order, x int) { o.Smallest.Length = length.Length(x) }, 0, -1, plan.OfOrder, 0, "length of the smallest billet"},
		{"largest smallest length", func(o *plan.Order, x int) { o.Smallest.Length = length.Length(x) }, int(length.Max), int(length.Max) + 1, plan.OfOrder, 0, "length of the smallest billet"},
		{"smallest width", func(o *plan.Order, x int) { o.Smallest.Width = length.Length(x) }, 0, -1, plan.OfOrder, 0, "width of the smallest billet"},
		{"largest smallest width", func(o *plan.Order, x int) { o.Smallest.Width = length.Length(x) }, int(length.Max), int(length.Max) + 1, plan.OfOrder, 0, "width of the smallest billet"},
		{"pass price", func(o *plan.Order, x int) { o.PassPrice = int64(x) }, 0, -1, plan.OfOrder, 0, "pass price"},
		{"dearest pass", func(o *plan.Order, x int) { o.PassPrice = int64(x) }, plan.MaxPrice, plan.MaxPrice + 1, plan.OfOrder, 0, "pass price"},
		{"billet price", func(o *plan.Order, x int) { o.BilletPrice = int64(x) }, 0, -1, plan.OfOrder, 0, "billet price"},
		{"dearest billet", func(o *plan.Order, x int) { o.BilletPrice = int64(x) }, plan.MaxPrice, plan.MaxPrice + 1, plan.OfOrder, 0, "billet price"},
		{"pass length price", func(o *plan.Order, x int) { o.PassLength.Price = int64(x) }, 0, -1, plan.OfOrder, 0, "pass length price"},
		// The longest board is 1 000 long, ten times the length that the price is for.
		{"dearest pass length", func(o *plan.Order, x int) { o.PassLength.Price = int64(x) }, 20_000_000_000, 20_000_000_001, plan.OfOrder, 0, "pass length price"},
		{"a board shorter than that", func(o *plan.Order, x int) { o.PassLength = plan.Rate{Price: int64(x), Per: 2000} }, plan.MaxPrice, plan.MaxPrice + 1, plan.OfOrder, 0, "pass length price"},
		{"per nothing", func(o *plan.Order, x int) { o.PassLength.Per = length.Length(x) }, 1, 0, plan.OfOrder, 0, "length of the pass length price"},
		{"per too much", func(o *plan.Order, x int) { o.PassLength.Per = length.Length(x) }, int(length.Max), int(length.Max) + 1, plan.OfOrder, 0, "length of the pass length price"},
		{"kits", func(o *plan.Order, x int) { o.Kits[1].Quantity = x }, 0, -1, plan.OfKit, 1, "quantity"},
		{"many kits", func(o *plan.Order, x int) { o.Kits[1].Quantity, o.Kits[1].Parts[0].Quantity = x, 1 }, 7, plan.MaxQuantity + 1, plan.OfKit, 1, "quantity"},
		{"a kit's part", func(o *plan.Order, x int) { o.Kits[1].Parts[0].Part = x }, 2, 3, plan.OfKit, 1, "part"},
		{"no kit's part", func(o *plan.Order, x int) { o.Kits[1].Parts[0].Part, o.Parts[0].Quantity = x, 8 }, 0, -1, plan.OfKit, 1, "part"},
		{"of a part", func(o *plan.Order, x int) { *kit(o, 1) = x }, 1, 0, plan.OfKit, 0, "quantity of a part"},
		{"more of a part", func(o *plan.Order, x int) { *kit(o, 1) = x }, 6, 7, plan.OfPart, 1, "quantity"},
		{"a part twice", func(o *plan.Order, x int) {
			o.Kits[0].Parts[1].Part, o.Kits[0].Parts[1].Quantity, o.Parts[0].Quantity = x, 2, 8
		}, 1, 0, plan.OfKit, 0, "part"},
		{"of one species", func(o *plan.Order, x int) {
			o.Parts[0].Species, o.Parts[1].Species = "Walnut", []string{"walnut", "maple"}[x]
		}, 0, 1, plan.OfKit, 0, "part"},
		{"sawn alike", func(o *plan.Order, x int) {
			o.Parts[0].Sawn, o.Parts[1].Sawn = "flat", []string{"", "quarter"}[x]
		}, 0, 1, plan.OfKit, 0, "part"},
		{"half a set", func(o *plan.Order, x int) { *kit(o, 0) = x }, 2, 1, plan.OfKit, 0, "quantity of a part"},
		{"too little for the kits", func(o *plan.Order, x int) { o.Parts[2].Quantity = x }, 4, 3, plan.OfPart, 2, "quantity"},
		{"spares are not for kits", func(o *plan.Order, x int) { o.Parts[2].Quantity, o.Parts[2].Spare = x, 7-x }, 4, 3, plan.OfPart, 2, "quantity"},
	} {
		o := made(2)
		c.set(&o, c.in)
		if faults := plan.Validate(o); len(faults) > 0 {
			t.Errorf("%s: %v", c.name, faults)
		}
		o = made(2)
		c.set(&o, c.out)
		var f *plan.Fault
		if faults := plan.Validate(o); len(faults) != 1 || !errors.As(faults[0], &f) || f.Of != c.of || f.Index != c.index || f.Field != c.field {
			t.Errorf("%s: %v", c.name, faults)
		}
	}
}

// plain is an order of so many boards and parts.
func plain(boards, parts int) plan.Order {
	return plan.Order{
		Boards: slices.Repeat([]plan.Board{{Thickness: 40, Width: 106, Length: 1000, Quantity: 1}}, boards),
		Parts:  slices.Repeat([]plan.Part{{Thickness: 4, Width: 80, Length: 300, Quantity: 4}}, parts),
	}
}

// TestStatedLimits: the limits that are told to whoever asks for a plan, in figures: 2 000
// boards and parts, 20 000 copies, a price of 20 000 000 in ten-thousandths, 100 defects.
func TestStatedLimits(t *testing.T) {
	type row struct {
		name    string
		set     func(o *plan.Order, x int)
		in, out int
		of      plan.Subject
		field   string
	}
	for _, c := range []row{
		{"no boards", func(o *plan.Order, x int) { o.Boards = plain(x, 1).Boards }, 1, 0, plan.OfOrder, "boards"},
		{"boards", func(o *plan.Order, x int) { o.Boards = plain(x, 1).Boards }, 2000, 2001, plan.OfOrder, "boards"},
		{"no parts", func(o *plan.Order, x int) { o.Parts = plain(1, x).Parts }, 1, 0, plan.OfOrder, "parts"},
		{"parts", func(o *plan.Order, x int) { o.Parts = plain(1, x).Parts }, 2000, 2001, plan.OfOrder, "parts"},
		{"kits", func(o *plan.Order, x int) {
			o.Kits = slices.Repeat([]plan.Kit{{Parts: []plan.KitPart{{Part: 0, Quantity: 1}}}}, x)
		}, 2000, 2001, plan.OfOrder, "kits"},
		{"copies", func(o *plan.Order, x int) { o.Parts[0].Quantity = x }, 20_000, 20_001, plan.OfPart, "quantity"},
		{"copies, spare ones too", func(o *plan.Order, x int) { o.Parts[0].Spare = x }, 19_996, 19_997, plan.OfPart, "quantity"},
		{"copies of one part", func(o *plan.Order, x int) { o.Parts[0].Matched = x }, 0, -1, plan.OfPart, "matched"},
		{"a set of one", func(o *plan.Order, x int) { o.Parts[0].Matched, o.Parts[0].Quantity = x, 0 }, 1, 1_000_001, plan.OfPart, "matched"},
		{"no quantity", func(o *plan.Order, x int) { o.Parts[0].Quantity = x }, 0, -1, plan.OfPart, "quantity"},
		{"no spare", func(o *plan.Order, x int) { o.Parts[0].Spare = x }, 0, -1, plan.OfPart, "spare"},
		{"boards of a kind", func(o *plan.Order, x int) { o.Boards[0].Quantity = x }, 1_000_000, 1_000_001, plan.OfBoard, "quantity"},
		{"as many as one likes", func(o *plan.Order, x int) { o.Boards[0].Quantity = x }, -1, -2, plan.OfBoard, "quantity"},
		{"a price", func(o *plan.Order, x int) { o.Boards[0].Price = int64(x) }, 200_000_000_000, 200_000_000_001, plan.OfBoard, "price"},
		{"no price", func(o *plan.Order, x int) { o.Boards[0].Price = int64(x) }, 0, -1, plan.OfBoard, "price"},
		{"a thin board", func(o *plan.Order, x int) { o.Boards[0].Thickness = length.Length(x) }, 1, 0, plan.OfBoard, "thickness"},
		{"a thin part", func(o *plan.Order, x int) { o.Parts[0].Thickness = length.Length(x) }, 1, 0, plan.OfPart, "thickness"},
		{"a narrow part", func(o *plan.Order, x int) { o.Parts[0].Width = length.Length(x) }, 1, -1, plan.OfPart, "width"},
		{"a short part", func(o *plan.Order, x int) { o.Parts[0].Length = length.Length(x) }, 1, -1, plan.OfPart, "length"},
		{"a narrow board", func(o *plan.Order, x int) { o.Boards[0].Width = length.Length(x) }, 1, 0, plan.OfBoard, "width"},
		{"a short board", func(o *plan.Order, x int) { o.Boards[0].Length = length.Length(x) }, 1, 0, plan.OfBoard, "length"},
		{"no bow", func(o *plan.Order, x int) { o.Boards[0].Bow = length.Length(x) }, 0, -1, plan.OfBoard, "bow"},
		{"defects", func(o *plan.Order, x int) { o.Boards[0].Defects = make([]plan.Defect, x) }, 100, 101, plan.OfBoard, "defects"},
		{"a defect at the end", func(o *plan.Order, x int) { o.Boards[0].Defects = []plan.Defect{{From: length.Length(x)}} }, 0, -1, plan.OfBoard, "defects"},
		{"a defect of no length", func(o *plan.Order, x int) { o.Boards[0].Defects = []plan.Defect{{From: 9, To: length.Length(x)}} }, 9, 8, plan.OfBoard, "defects"},
		{"a defect, for parts without a length", func(o *plan.Order, x int) {
			o.Boards[0].Defects, o.Parts[0].Length = []plan.Defect{{From: 9, To: 9}}, length.Length(x)
		}, 1, 0, plan.OfBoard, "defects"},
		// A pass over 1 000 at so much for each nanometre costs as much as the dearest board.
		{"a price of a nanometre", func(o *plan.Order, x int) { o.PassLength = plan.Rate{Price: int64(x), Per: 1} }, 200_000_000, 200_000_001, plan.OfOrder, "pass length price"},
	} {
		o := plain(1, 1)
		if c.set(&o, c.in); len(plan.Validate(o)) > 0 {
			t.Errorf("%s: %v", c.name, plan.Validate(o))
		}
		o = plain(1, 1)
		c.set(&o, c.out)
		var f *plan.Fault
		if faults := plan.Validate(o); len(faults) != 1 || !errors.As(faults[0], &f) || f.Of != c.of || f.Index != 0 || f.Field != c.field {
			t.Errorf("%s: %v", c.name, faults)
		}
	}
}

// TestManyKits: as many kits as parts, each of as many parts, and no more.
func TestManyKits(t *testing.T) {
	o := made(1)
	o.Kits = nil
	for range plan.MaxParts {
		o.Kits = append(o.Kits, plan.Kit{Parts: []plan.KitPart{{Part: 0, Quantity: 2}}})
	}
	if faults := plan.Validate(o); len(faults) > 0 {
		t.Error(faults)
	}
	var f *plan.Fault
	o.Kits = append(o.Kits, plan.Kit{})
	if faults := plan.Validate(o); len(faults) != 1 || !errors.As(faults[0], &f) || f.Field != "kits" {
		t.Error(faults)
	}
	o.Kits = []plan.Kit{{}}
	if faults := plan.Validate(o); len(faults) != 1 || !errors.As(faults[0], &f) || f.Of != plan.OfKit || f.Field != "parts" {
		t.Error(faults)
	}
}

// TestBilletCostLimit: the dearest passes through the longest billet overflow nothing.
func TestBilletCostLimit(t *testing.T) {
	o := plan.Order{PassLength: plan.Rate{Price: plan.MaxPrice, Per: length.Max}}
	if got := o.BilletCost(100_000, length.Max); got != 100_000*plan.MaxPrice {
		t.Error(got)
	}
	// 5 and a half, 5 and a little less.
	for _, c := range []struct{ per, long, want int64 }{{2, 11, 6}, {20_001, 110_005, 5}} {
		if got := (plan.Order{PassLength: plan.Rate{Price: 1, Per: length.Length(c.per)}}).BilletCost(1, length.Length(c.long)); got != c.want {
			t.Errorf("%+v: %d", c, got)
		}
	}
}
