package solver_test

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// oneBoard is a board of 20 by 50 by 100 that gives the part, which is 5 by 40 by 60, as all
// of its wood: with the kerf of 1, a truing cut of 2 and 7 held back it takes 16.
func oneBoard() plan.Order {
	return plan.Order{Kerf: 1, Skim: 2, HoldBack: 7, CrosscutKerf: 3, RipKerf: 3, EndTrim: 4,
		Boards: []plan.Board{{Species: "ash", Sawn: "flat", Thickness: 20, Width: 50, Length: 100, Quantity: 1, Price: 9}},
		Parts:  []plan.Part{{Species: "Ash", Sawn: "Flat", Thickness: 5, Width: 40, Length: 60, Quantity: 1}}}
}

// TestReasons: each reason on its own, at its limit, and before those that come after it.
// The least board to buy is worked by hand.
func TestReasons(t *testing.T) {
	none := length.Length(0)
	for _, row := range []struct {
		name   string
		change func(o *plan.Order, b *plan.Board, p *plan.Part)
		want   plan.Reason // "" for none
		buy    [3]length.Length
	}{
		{"it fits", func(*plan.Order, *plan.Board, *plan.Part) {}, "", [3]length.Length{}},
		{"another species", func(_ *plan.Order, _ *plan.Board, p *plan.Part) { p.Species = "oak" }, plan.OtherSpecies, [3]length.Length{16, 40, 68}},
		{"sawn otherwise", func(_ *plan.Order, _ *plan.Board, p *plan.Part) { p.Sawn = "quarter" }, plan.OtherSawn, [3]length.Length{16, 40, 68}},
		{"just long enough", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Length = 68 }, "", [3]length.Length{}},
		{"too long", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Length = 67 }, plan.TooLong, [3]length.Length{16, 40, 68}},
		{"too long, as short as a billet may be", func(o *plan.Order, b *plan.Board, _ *plan.Part) {
			o.Smallest.Length = 70
			b.Length = 77
		}, plan.TooLong, [3]length.Length{16, 40, 78}},
		{"too wide, as narrow as a billet may be", func(o *plan.Order, b *plan.Board, _ *plan.Part) {
			o.Smallest.Width = 45
			b.Width = 44
		}, plan.TooWide, [3]length.Length{16, 45, 68}},
		{"just wide enough", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Width = 40 }, "", [3]length.Length{}},
		{"too wide", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Width = 39 }, plan.TooWide, [3]length.Length{16, 40, 68}},
		{"just thick enough", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Thickness = 16 }, "", [3]length.Length{}},
		{"too thick", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Thickness = 15 }, plan.TooThick, [3]length.Length{16, 40, 68}},
		{"too thick a set", func(_ *plan.Order, _ *plan.Board, p *plan.Part) { p.Matched, p.Quantity = 2, 2 }, plan.TooThick, [3]length.Length{22, 40, 68}},
		{"too thick for a deeper truing cut", func(o *plan.Order, _ *plan.Board, _ *plan.Part) { o.LeastSkim = 7 }, plan.TooThick, [3]length.Length{21, 40, 68}},
		{"too thick with the bow", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Bow = 12 }, plan.TooThick, [3]length.Length{16, 40, 68}},
		{"just within the saw", func(o *plan.Order, _ *plan.Board, _ *plan.Part) {
			o.Saw = plan.Saw{CuttingHeight: 40, BilletLength: 60}
		}, "", [3]length.Length{}},
		{"too high for the saw", func(o *plan.Order, _ *plan.Board, _ *plan.Part) { o.Saw.CuttingHeight = 39 }, plan.BeyondSaw, [3]length.Length{}},
		{"too long for the saw", func(o *plan.Order, _ *plan.Board, _ *plan.Part) { o.Saw.BilletLength = 59 }, plan.BeyondSaw, [3]length.Length{}},
		{"a defect just beside", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Defects = []plan.Defect{{From: 64, To: 65}} }, "", [3]length.Length{}},
		{"a defect", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Defects = []plan.Defect{{From: 63, To: 65}} }, plan.AtDefect, [3]length.Length{16, 40, 68}},
		{"none there", func(_ *plan.Order, b *plan.Board, _ *plan.Part) { b.Quantity = 0 }, plan.StockUsed, [3]length.Length{}},
		{"too long and beyond the saw", func(o *plan.Order, b *plan.Board, _ *plan.Part) {
			b.Length = 67
			o.Saw.BilletLength = 59
		}, plan.TooLong, [3]length.Length{}},
		{"everything at once", func(o *plan.Order, b *plan.Board, p *plan.Part) {
			p.Species, p.Sawn = "oak", "quarter"
			b.Length, b.Width, b.Thickness = 1, 1, 1
		}, plan.OtherSpecies, [3]length.Length{16, 40, 68}},
		{"not ripped, wider than the saw is high", func(o *plan.Order, _ *plan.Board, p *plan.Part) {
			p.Width, o.Saw.CuttingHeight = none, 49
		}, plan.BeyondSaw, [3]length.Length{}},
		{"not ripped, too thick", func(o *plan.Order, b *plan.Board, p *plan.Part) {
			p.Width, b.Thickness, o.Saw.CuttingHeight = none, 15, 50
		}, plan.TooThick, [3]length.Length{16, none, 68}},
		{"not crosscut, longer than the saw carries", func(o *plan.Order, _ *plan.Board, p *plan.Part) {
			p.Length, o.Saw.BilletLength = none, 99
		}, plan.BeyondSaw, [3]length.Length{}},
		{"not crosscut, too wide", func(_ *plan.Order, b *plan.Board, p *plan.Part) { p.Length, b.Width = none, 39 }, plan.TooWide, [3]length.Length{16, 40, none}},
	} {
		o := oneBoard()
		row.change(&o, &o.Boards[0], &o.Parts[0])
		p, err := solver.Solve(context.Background(), o, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if row.want == "" {
			if len(p.Unmet) > 0 {
				t.Errorf("%s: %+v", row.name, p.Unmet)
			}
			continue
		}
		cures := []plan.Cure{}
		if row.buy != [3]length.Length{} {
			cures = append(cures, plan.Cure{Board: -1, Quantity: 1, Thickness: row.buy[0], Width: row.buy[1], Length: row.buy[2]})
		}
		if len(p.Unmet) != 1 || p.Unmet[0].Reason != row.want || row.want != plan.StockUsed && !slices.Equal(p.Unmet[0].Cures, cures) {
			t.Errorf("%s: %+v, want %s, %+v", row.name, p.Unmet, row.want, cures)
		}
	}
}

// unmetOf returns how much of a part is unmet.
func unmetOf(p *plan.Plan, part int) int {
	n := 0
	for _, u := range p.Unmet {
		if u.Part == part {
			n += u.Quantity
		}
	}
	return n
}

// TestCures: with what is said to cure a part it is no longer unmet, with one board less
// it is, and a board to buy gives a set that one of a nanometre less does not give.
func TestCures(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 8))
	solve := func(o plan.Order) *plan.Plan {
		p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1e6})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	further, bought, helpless := 0, 0, 0
	for n := range trial.Rounds(1500) {
		o := trial.Tiny(r)
		p := solve(o)
		for _, u := range p.Unmet {
			if u.Reason == plan.StockUsed && len(u.Cures) == 0 {
				helpless++
			}
			for i, c := range u.Cures {
				if c.Board < 0 {
					bought++
					checkBought(t, o, u.Part, c, solve)
					continue
				}
				further++
				if more, less := solve(with(o, c.Board, c.Quantity)), solve(with(o, c.Board, c.Quantity-1)); unmetOf(more, u.Part) > 0 || unmetOf(less, u.Part) == 0 {
					t.Fatalf("order %d: %+v does not cure, or too many\n%+v\n%+v", n, u, o, more)
				}
				if i > 0 && int64(c.Quantity)*o.Boards[c.Board].Price < int64(u.Cures[i-1].Quantity)*o.Boards[u.Cures[i-1].Board].Price {
					t.Fatalf("order %d: not the cheapest first: %+v", n, u.Cures)
				}
			}
		}
	}
	if further == 0 || bought == 0 || helpless > 0 {
		t.Errorf("%d cures from the rack, %d bought, %d without", further, bought, helpless)
	}
}

// unmetKits returns how many of a kit are unmet.
func unmetKits(p *plan.Plan, kit int) int {
	for _, u := range p.UnmetKits {
		if u.Kit == kit {
			return u.Quantity
		}
	}
	return 0
}

// TestCuresOfKits: the same for kits, divided leaves and billets of a smallest size; and a
// part that is unmet with its kit has no cure of its own.
func TestCuresOfKits(t *testing.T) {
	r := rand.New(rand.NewPCG(22, 9))
	solve := func(o plan.Order) *plan.Plan {
		p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1e6})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	var further [2]int // of parts, and of kits
	bought := 0
	for n := range trial.Rounds(600) {
		o := trial.TinyWith(r, trial.Kits|trial.Feature(r.IntN(16)))
		p := solve(o)
		for _, u := range p.Unmet {
			if u.Reason == plan.WithKit && len(u.Cures) > 0 || u.Reason == "" {
				t.Fatalf("order %d: %+v", n, u)
			}
			for _, c := range u.Cures {
				if c.Board >= 0 {
					further[0]++
					more, less := solve(with(o, c.Board, c.Quantity)), solve(with(o, c.Board, c.Quantity-1))
					if ofItself(more, u.Part) || !ofItself(less, u.Part) {
						t.Fatalf("order %d: %+v does not cure, or too many\n%+v\n%+v", n, u, o, more)
					}
				}
			}
		}
		for _, u := range p.UnmetKits {
			if u.Reason == "" || u.Reason == plan.WithKit {
				t.Fatalf("order %d: %+v", n, u)
			}
			for _, c := range u.Cures {
				if c.Board >= 0 {
					further[1]++
					more, less := solve(with(o, c.Board, c.Quantity)), solve(with(o, c.Board, c.Quantity-1))
					if unmetKits(more, u.Kit) > 0 || unmetKits(less, u.Kit) == 0 {
						t.Fatalf("order %d: %+v does not cure, or too many\n%+v\n%+v", n, u, o, more)
					}
					continue
				}
				bought++
				kit := ofOneKit(o, u.Kit)
				kit.Boards = []plan.Board{{Thickness: c.Thickness, Width: c.Width, Length: c.Length, Quantity: 1}}
				if p := solve(kit); len(p.Unmet) > 0 {
					t.Fatalf("order %d: %+v does not give the kit\n%+v", n, c, o)
				}
			}
		}
	}
	if further[0] == 0 || further[1] == 0 || bought == 0 {
		t.Errorf("from the rack %d, bought %d", further, bought)
	}
}

// TestKitReasons: a kit of two parts of 60 long and 5 thick, and why it is unmet; its parts
// are unmet with it. The least board to buy is worked by hand: with a truing cut of 2 and
// the kerf of 1, 7 held back, and two leaves with their kerfs it is 22 thick.
func TestKitReasons(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(o *plan.Order, b *plan.Board)
		want   plan.Reason
		cure   []plan.Cure
	}{
		{"of another species", func(o *plan.Order, _ *plan.Board) { o.Parts[0].Species, o.Parts[1].Species = "", "oak" }, plan.OtherSpecies, []plan.Cure{{Board: -1, Quantity: 1, Thickness: 22, Width: 40, Length: 68}}},
		{"one part too wide", func(o *plan.Order, _ *plan.Board) { o.Parts[1].Width = 51 }, plan.TooWide, []plan.Cure{{Board: -1, Quantity: 1, Thickness: 22, Width: 51, Length: 68}}},
		{"each fits, both do not", func(_ *plan.Order, b *plan.Board) { b.Thickness = 21 }, plan.TooLong, []plan.Cure{{Board: -1, Quantity: 1, Thickness: 22, Width: 40, Length: 68}}},
		{"but for a defect", func(_ *plan.Order, b *plan.Board) {
			b.Thickness, b.Length, b.Defects = 16, 150, []plan.Defect{{From: 70, To: 90}}
		}, plan.AtDefect, []plan.Cure{{Board: -1, Quantity: 1, Thickness: 22, Width: 40, Length: 68}}},
		{"beyond the saw", func(o *plan.Order, _ *plan.Board) { o.Saw.CuttingHeight = 39 }, plan.BeyondSaw, []plan.Cure{}},
		{"used up", func(_ *plan.Order, b *plan.Board) { b.Thickness, b.Quantity = 22, 0 }, plan.StockUsed, []plan.Cure{{Board: 0, Quantity: 1}}},
	} {
		o := oneBoard()
		o.Parts = append(o.Parts, o.Parts[0])
		o.Kits = []plan.Kit{{Quantity: 1, Parts: []plan.KitPart{{Part: 0, Quantity: 1}, {Part: 1, Quantity: 1}}}}
		row.change(&o, &o.Boards[0])
		p, err := solver.Solve(context.Background(), o, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.UnmetKits) != 1 || p.UnmetKits[0].Reason != row.want || !slices.Equal(p.UnmetKits[0].Cures, row.cure) {
			t.Errorf("%s: %+v, want %s, %+v", row.name, p.UnmetKits, row.want, row.cure)
		}
		for _, u := range p.Unmet {
			if u.Reason != plan.WithKit || len(u.Cures) > 0 {
				t.Errorf("%s: %+v", row.name, u)
			}
		}
	}
}

// ofItself tells whether a part is unmet otherwise than with its kit.
func ofItself(p *plan.Plan, part int) bool {
	return slices.ContainsFunc(p.Unmet, func(u plan.Unmet) bool { return u.Part == part && u.Reason != plan.WithKit })
}

// ofOneKit returns an order for the parts of one kit, of any species and sawn anyhow.
func ofOneKit(o plan.Order, kit int) plan.Order {
	all := o.Parts
	o.Parts = nil
	for _, kp := range o.Kits[kit].Parts {
		p := all[kp.Part]
		p.Quantity, p.Spare, p.Species, p.Sawn = kp.Quantity, 0, "", ""
		o.Parts = append(o.Parts, p)
	}
	o.Kits = nil
	return o
}

// with returns an order with so many more boards of a kind.
func with(o plan.Order, board, more int) plan.Order {
	o.Boards = slices.Clone(o.Boards)
	o.Boards[board].Quantity += more
	return o
}

// checkBought checks that a board gives a matched set of a part, and that none that is
// less in any one direction does.
func checkBought(t *testing.T, o plan.Order, part int, c plan.Cure, solve func(plan.Order) *plan.Plan) {
	t.Helper()
	p := o.Parts[part]
	p.Quantity, p.Spare = p.SetSize(), 0
	o.Parts = []plan.Part{p}
	for less := range 4 {
		b := plan.Board{Species: p.Species, Sawn: p.Sawn, Thickness: c.Thickness, Width: c.Width, Length: c.Length, Quantity: 1}
		size := []*length.Length{new(length.Length), &b.Thickness, &b.Width, &b.Length}[less]
		if less > 0 && *size == 0 {
			continue
		}
		*size--
		o.Boards = []plan.Board{b}
		if c.Thickness > 1 && (unmetOf(solve(o), 0) > 0) != (less > 0) {
			t.Fatalf("%+v\n%+v is not the least board (%d)", o, c, less)
		}
	}
}

// TestCuresOfMany: of orders of many parts, too, what is said to cure a part does.
func TestCuresOfMany(t *testing.T) {
	if trial.Few() {
		t.Skip("takes seconds")
	}
	cured := 0
	for _, order := range []func(uint64) plan.Order{trial.ShopOrder, trial.MakerOrder} {
		o := order(1)
		for i := range o.Boards {
			o.Boards[i].Quantity = i % 2
		}
		solve := func(o plan.Order) *plan.Plan {
			p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1})
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		for _, u := range solve(o).Unmet[:2] {
			c := u.Cures[0]
			if c.Board < 0 {
				continue
			}
			if n := unmetOf(solve(with(o, c.Board, c.Quantity)), u.Part); n > 0 {
				t.Errorf("with %+v %d of part %d are unmet", c, n, u.Part)
			}
			cured++
		}
	}
	if cured == 0 {
		t.Error("nothing was cured")
	}
}

// TestCuresOfOneDimension: 5 000 leaves of 10, with their kerf, of boards that give 9
// each beside the 10 held back, of which there are 100, and dearer ones that give 5, of
// which there are 10: 950 are there, and 450 of the former or 810 of the latter give the
// 4 050 that are not.
func TestCuresOfOneDimension(t *testing.T) {
	o := plan.Order{Kerf: 1, HoldBack: 10,
		Boards: []plan.Board{{Thickness: 100, Quantity: 100, Price: 3}, {Thickness: 60, Quantity: 10, Price: 2}},
		Parts:  []plan.Part{{Thickness: 9, Quantity: 5000}}}
	p, err := solver.Solve(context.Background(), o, solver.Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := []plan.Cure{{Board: 0, Quantity: 450}, {Board: 1, Quantity: 810}}
	if len(p.Unmet) != 1 || p.Unmet[0].Quantity != 4050 || !slices.Equal(p.Unmet[0].Cures, want) {
		t.Errorf("%+v, want %+v", p.Unmet, want)
	}
}
