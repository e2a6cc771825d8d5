package solver_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

const (
	MM   = length.Millimetre
	inch = length.Inch
)

// rolls makes a one-dimensional order: boards of one thickness, no kerf.
func rolls(stock length.Length, finals ...length.Length) plan.Order {
	o := plan.Order{Boards: []plan.Board{{Name: "raw", Thickness: stock, Quantity: plan.Unlimited, Price: 1}}}
	for i := 0; i < len(finals); i += 2 {
		o.Parts = append(o.Parts, plan.Part{Thickness: finals[i], Quantity: int(finals[i+1])})
	}
	return o
}

// chvatal is the order of Chvatal, Linear Programming (1983), chapter 13:
// raws of 100 inches.
func chvatal() plan.Order {
	return rolls(100*inch, 45*inch, 97, 36*inch, 610, 31*inch, 395, 14*inch, 211)
}

// mill is the paper-mill example of 5600 mm rolls; the data and the optimum of
// 73 rolls stand in the encyclopaedia article on the cutting-stock problem.
func mill() plan.Order {
	return rolls(5600*MM, 1380*MM, 22, 1520*MM, 25, 1560*MM, 12, 1710*MM, 14, 1820*MM, 18, 1880*MM, 18, 1930*MM, 20,
		2000*MM, 10, 2050*MM, 12, 2100*MM, 14, 2140*MM, 16, 2150*MM, 18, 2200*MM, 20)
}

// within returns a context that ends after a time.
func within(t *testing.T, d time.Duration) context.Context {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), d)
	t.Cleanup(cancel)
	return ctx
}

func TestPublished(t *testing.T) {
	for _, c := range []struct {
		name  string
		order plan.Order
		cost  int64
	}{
		{"Chvatal's rolls: LP 452.25, 453 boards (two independent solvers)", chvatal(), 453},
		{"5600 mm rolls: 73 boards (published)", mill(), 73},
	} {
		p, err := solver.Solve(within(t, 30*time.Second), c.order, solver.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if p.Status != plan.Optimal || p.Cost != c.cost || p.LowerBound != c.cost || p.StoppedBy != plan.ByProof {
			t.Errorf("%s: %s at %d, at least %d", c.name, p.Status, p.Cost, p.LowerBound)
		}
	}
}

// TestKerfMapping: a kerf and a hold-back are wood of their own, so that parts
// of t with kerf k from boards of T with hold-back h are the parts of t + k
// without a kerf from boards of T - h.
func TestKerfMapping(t *testing.T) {
	o := chvatal()
	const kerf, hold = 3 * MM, 12 * MM
	o.Kerf, o.HoldBack, o.Boards[0].Thickness = kerf, hold, 100*inch+hold
	for i := range o.Parts {
		o.Parts[i].Thickness -= kerf
	}
	p, err := solver.Solve(within(t, 30*time.Second), o, solver.Options{})
	if err != nil || p.Cost != 453 || p.Status != plan.Optimal {
		t.Errorf("%v, %+v", err, p)
	}
}

// shop is an order with everything in it.
func shop() plan.Order {
	return plan.Order{
		Boards: []plan.Board{
			{Name: "walnut 8/4", Species: "Walnut", Sawn: "quarter", Thickness: 50 * MM, Width: 220 * MM, Length: 2400 * MM,
				Quantity: 3, Price: 120_0000, Bow: 6 * MM, Defects: []plan.Defect{{From: 700 * MM, To: 760 * MM}}},
			{Name: "walnut 4/4", Species: "walnut", Thickness: 26 * MM, Width: 180 * MM, Length: 1800 * MM, Quantity: plan.Unlimited, Price: 45_0000},
			{Name: "maple", Species: "maple", Thickness: 32 * MM, Width: 150 * MM, Length: 1500 * MM, Quantity: 1, Price: 30_0000},
		},
		Parts: []plan.Part{
			{Name: "back", Species: "WALNUT", Sawn: "Quarter", Thickness: 3 * MM, Width: 200 * MM, Length: 520 * MM, Quantity: 12, Matched: 2},
			{Name: "side", Species: "walnut", Thickness: 2 * MM, Width: 110 * MM, Length: 800 * MM, Quantity: 16, Matched: 2, Spare: 2},
			{Name: "binding", Species: "maple", Thickness: 2 * MM, Width: 60 * MM, Length: 700 * MM, Quantity: 60},
		},
		Kerf: 1200_000, Skim: MM, HoldBack: 10 * MM, RipKerf: 3 * MM, CrosscutKerf: 3 * MM, EndTrim: 15 * MM,
		ThicknessMargin: MM,
	}
}

// TestShop works an order by hand: the maple board has 32 - 10 - (1 + 1.2) =
// 19.8 mm for leaves, six of 3.2 mm; two lengths of 700 mm (1403 of 1470 mm),
// two widths of 60 mm (123 of 150 mm) each: 24 bindings of 60, so 36 are unmet, which
// two more such boards give.
func TestShop(t *testing.T) {
	p, err := solver.Solve(within(t, 20*time.Second), shop(), solver.Options{})
	if err != nil {
		t.Fatal(err)
	}
	unmet := []plan.Unmet{{Part: 2, Quantity: 36, Reason: plan.StockUsed, Cures: []plan.Cure{{Board: 2, Quantity: 2}}}}
	if p.Status != plan.Infeasible || !p.UnmetProven || !reflect.DeepEqual(p.Unmet, unmet) {
		t.Errorf("%s, unmet %v, proven %t", p.Status, p.Unmet, p.UnmetProven)
	}
	for _, x := range p.Taken {
		if x.Board != 2 {
			continue
		}
		if x.Copies != 1 || len(x.Billets) != 4 {
			t.Fatalf("maple: %+v", x)
		}
		for _, b := range x.Billets {
			if b.Remainder != 600_000 || !b.Tight || b.Leaves[0].Count != 6 {
				t.Errorf("maple billet: %+v", b)
			}
		}
	}
}

// TestDeterminism: the same order gives the same plan.
func TestDeterminism(t *testing.T) {
	for _, o := range []plan.Order{shop(), mill(), chvatal()} {
		var first *plan.Plan
		for range 2 {
			p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 20_000_000})
			if err != nil {
				t.Fatal(err)
			}
			if first == nil {
				first = p
			}
			if !reflect.DeepEqual(p, first) {
				t.Errorf("two plans differ: %+v and %+v", first, p)
			}
		}
	}
}

// TestMetamorphic: order of parts and boards, scale, a split part and a useless
// board change no cost of a plan of proven least cost.
func TestMetamorphic(t *testing.T) {
	base := shop()
	base.Parts = base.Parts[:2] // all can be delivered
	cost := func(o plan.Order) int64 {
		p, err := solver.Solve(within(t, 30*time.Second), o, solver.Options{})
		if err != nil || p.Status != plan.Optimal {
			t.Fatalf("%v, %+v", err, p)
		}
		return p.Cost
	}
	want := cost(base)
	turned := base
	turned.Parts = []plan.Part{base.Parts[1], base.Parts[0]}
	turned.Boards = []plan.Board{base.Boards[2], base.Boards[1], base.Boards[0]}
	useless := base
	useless.Boards = append([]plan.Board{{Thickness: 5 * MM, Width: 50 * MM, Length: 100 * MM, Quantity: 9, Price: 1}}, base.Boards...)
	halves := base
	a, b := base.Parts[0], base.Parts[0]
	a.Quantity, b.Quantity = 4, 8
	halves.Parts = []plan.Part{a, b, base.Parts[1]}
	for name, o := range map[string]plan.Order{"turned": turned, "useless": useless, "halves": halves, "doubled": doubled(base)} {
		if got := cost(o); got != want {
			t.Errorf("%s: %d, not %d", name, got, want)
		}
	}
}

// doubled returns an order with all sizes twice as large.
func doubled(o plan.Order) plan.Order {
	o.Boards, o.Parts = append([]plan.Board(nil), o.Boards...), append([]plan.Part(nil), o.Parts...)
	for _, x := range []*length.Length{&o.Kerf, &o.Skim, &o.HoldBack, &o.RipKerf, &o.CrosscutKerf, &o.EndTrim, &o.ThicknessMargin,
		&o.LeafKerf, &o.Smallest.Length, &o.Smallest.Width} {
		*x *= 2
	}
	for i := range o.Boards {
		b := &o.Boards[i]
		b.Thickness, b.Width, b.Length, b.Bow = 2*b.Thickness, 2*b.Width, 2*b.Length, 2*b.Bow
		b.Defects = append([]plan.Defect(nil), b.Defects...)
		for d := range b.Defects {
			b.Defects[d].From, b.Defects[d].To = 2*b.Defects[d].From, 2*b.Defects[d].To
		}
	}
	for i := range o.Parts {
		p := &o.Parts[i]
		p.Thickness, p.Width, p.Length = 2*p.Thickness, 2*p.Width, 2*p.Length
	}
	return o
}

// TestCancel: a search that is cancelled at once, or soon, still answers with a
// plan that delivers everything.
func TestCancel(t *testing.T) {
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	for name, ctx := range map[string]context.Context{"at once": gone, "soon": within(t, 50*time.Millisecond)} {
		start := time.Now()
		p, err := solver.Solve(ctx, trial.RealOrder(1), solver.Options{})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if p.StoppedBy != plan.ByTime || len(p.Unmet) > 0 || p.Status != plan.Feasible {
			t.Errorf("%s: %s by %s, unmet %v", name, p.Status, p.StoppedBy, p.Unmet)
		}
		if d := time.Since(start); d > 5*time.Second {
			t.Errorf("%s: took %v", name, d)
		}
	}
}

// TestProgress: costs fall, bounds rise, and the last report is the plan's.
func TestProgress(t *testing.T) {
	var last solver.Progress
	n := 0
	p, err := solver.Solve(within(t, 20*time.Second), mill(), solver.Options{Progress: func(x solver.Progress) {
		if n > 0 && (x.Cost > last.Cost || x.LowerBound < last.LowerBound) {
			t.Errorf("%+v after %+v", x, last)
		}
		last = x
		n++
	}})
	if err != nil || n == 0 || last.Cost != p.Cost || last.LowerBound != p.LowerBound {
		t.Errorf("%v: %d reports, last %+v, plan %+v", err, n, last, p)
	}
}

// refusal is an order wrong in one way.
type refusal struct {
	name  string
	spoil func(*plan.Order)
	of    plan.Subject
	index int
	field string
}

func TestRefusals(t *testing.T) {
	if f := plan.Validate(shop()); len(f) > 0 {
		t.Fatal(f)
	}
	for _, c := range []refusal{
		{"no boards", func(o *plan.Order) { o.Boards = nil }, plan.OfOrder, 0, "boards"},
		{"no parts", func(o *plan.Order) { o.Parts = nil }, plan.OfOrder, 0, "parts"},
		{"too many parts", func(o *plan.Order) { o.Parts = make([]plan.Part, plan.MaxParts+1) }, plan.OfOrder, 0, "parts"},
		{"kerf", func(o *plan.Order) { o.Kerf = -1 }, plan.OfOrder, 0, "kerf"},
		{"skim", func(o *plan.Order) { o.Skim = length.Max + 1 }, plan.OfOrder, 0, "skim"},
		{"hold-back", func(o *plan.Order) { o.HoldBack = -1 }, plan.OfOrder, 0, "hold-back"},
		{"rip kerf", func(o *plan.Order) { o.RipKerf = -1 }, plan.OfOrder, 0, "rip kerf"},
		{"crosscut kerf", func(o *plan.Order) { o.CrosscutKerf = -1 }, plan.OfOrder, 0, "crosscut kerf"},
		{"end trim", func(o *plan.Order) { o.EndTrim = -1 }, plan.OfOrder, 0, "end trim"},
		{"board thickness", func(o *plan.Order) { o.Boards[1].Thickness = 0 }, plan.OfBoard, 1, "thickness"},
		{"board width", func(o *plan.Order) { o.Boards[1].Width = 0 }, plan.OfBoard, 1, "width"},
		{"board length", func(o *plan.Order) { o.Boards[2].Length = 0 }, plan.OfBoard, 2, "length"},
		{"board quantity", func(o *plan.Order) { o.Boards[0].Quantity = -2 }, plan.OfBoard, 0, "quantity"},
		{"price", func(o *plan.Order) { o.Boards[0].Price = -1 }, plan.OfBoard, 0, "price"},
		{"bow", func(o *plan.Order) { o.Boards[0].Bow = -1 }, plan.OfBoard, 0, "bow"},
		{"defect backwards", func(o *plan.Order) { o.Boards[0].Defects = []plan.Defect{{From: 2, To: 1}} }, plan.OfBoard, 0, "defects"},
		{"part thickness", func(o *plan.Order) { o.Parts[0].Thickness = 0 }, plan.OfPart, 0, "thickness"},
		{"part width missing", func(o *plan.Order) { o.Parts[1].Width = 0 }, plan.OfPart, 1, "width"},
		{"part length missing", func(o *plan.Order) { o.Parts[2].Length = 0 }, plan.OfPart, 2, "length"},
		{"part quantity", func(o *plan.Order) { o.Parts[2].Quantity = plan.MaxQuantity + 1 }, plan.OfPart, 2, "quantity"},
		{"too many leaves", func(o *plan.Order) { o.Parts[1].Matched, o.Parts[1].Quantity = 1, plan.MaxLeaves }, plan.OfPart, 1, "quantity"},
		{"broken set", func(o *plan.Order) { o.Parts[0].Quantity = 3 }, plan.OfPart, 0, "quantity"},
		{"broken spare", func(o *plan.Order) { o.Parts[0].Spare = 1 }, plan.OfPart, 0, "spare"},
	} {
		o := shop()
		c.spoil(&o)
		faults := plan.Validate(o)
		var f *plan.Fault
		if len(faults) != 1 || !errors.As(faults[0], &f) || f.Of != c.of || f.Index != c.index || f.Field != c.field {
			t.Errorf("%s: %v", c.name, faults)
		}
		if p, err := solver.Solve(context.Background(), o, solver.Options{}); p != nil || !errors.As(err, &f) || errors.Is(err, plan.ErrInternal) {
			t.Errorf("%s: solved: %v", c.name, err)
		}
	}
}

func TestFaultIsTyped(t *testing.T) {
	o := shop()
	o.Kerf = -MM
	var out *fault.OutOfRange
	if f := plan.Validate(o); !errors.As(f[0], &out) || out.Value != -MM || out.Low != length.Length(0) || out.High != length.Max {
		t.Errorf("%+v", f)
	}
}

// FuzzSolve: no small order makes Solve panic, fail its own check, or hang.
func FuzzSolve(f *testing.F) {
	f.Add(uint64(1), false)
	f.Add(uint64(7), true)
	f.Add(uint64(65), true)
	f.Add(uint64(160), true)
	f.Fuzz(func(t *testing.T, seed uint64, large bool) {
		r := rand.New(rand.NewPCG(seed, 5))
		o := trial.RandomOrder(r, large)
		ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
		defer cancel()
		p, err := solver.Solve(ctx, o, solver.Options{WorkLimit: 3_000_000})
		if err != nil {
			t.Fatalf("%v\n%+v", err, o)
		}
		if err := plan.Check(o, p); err != nil {
			t.Fatal(err)
		}
	})
}

// One board of 2 x 9 x 48 in gives all: 22 and 21 in of its length with a kerf
// between, 6 (0.1 + 0.05) = 0.9 in and 4 (0.125 + 0.05) = 0.7 in of the 1.5 in
// before the hold-back.
func ExampleSolve() {
	o := plan.Order{
		Boards: []plan.Board{{Name: "walnut", Thickness: 2 * inch, Width: 9 * inch, Length: 48 * inch, Quantity: 2, Price: 90_0000}},
		Parts: []plan.Part{
			{Name: "back", Thickness: inch / 8, Width: 8 * inch, Length: 21 * inch, Quantity: 4, Matched: 2},
			{Name: "side", Thickness: inch / 10, Width: 4 * inch, Length: 22 * inch, Quantity: 6, Matched: 2},
		},
		Kerf: inch / 20, HoldBack: inch / 2, RipKerf: inch / 8, CrosscutKerf: inch / 8,
	}
	p, err := solver.Solve(context.Background(), o, solver.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Status, float64(p.Cost)/10000, p.StoppedBy)
	for _, t := range p.Taken {
		for _, b := range t.Billets {
			fmt.Println(t.Copies, "x", o.Boards[t.Board].Name, "billet", b.Length.In(inch), "by", b.Width.In(inch))
			for _, l := range b.Leaves {
				fmt.Println(" ", l.Count, o.Parts[l.Part].Name)
			}
		}
	}
	// Output:
	// optimal 90 proof
	// 1 x walnut billet 22 by 4
	//   6 side
	// 1 x walnut billet 21 by 8
	//   4 back
}
