package solver_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// sheets are boards of one thickness and the leaves that are to be cut from their
// faces: length, width, and price or quantity.
type sheets struct {
	name   string
	boards [][3]int64
	parts  [][3]int64
	least  int64
}

// published are published problems of cutting faces in two stages. Their least
// costs were proven by CBC 2.10.8 on an arc-flow model of the two stages.
var published = []sheets{
	// Christofides and Whitlock, Operations Research 25 (1977) 30-44, problem 1.
	{"cgcut1", [][3]int64{{15, 10, 1}}, [][3]int64{{8, 4, 2}, {3, 7, 1}, {8, 2, 3}, {3, 4, 5}, {3, 3, 2}, {3, 2, 2}, {2, 1, 1}}, 2},
	// Beasley, Operations Research 33 (1985) 49-64, problems 1, 2 and 8.
	{"ngcut1", [][3]int64{{10, 10, 1}}, [][3]int64{{3, 7, 2}, {8, 2, 2}, {10, 2, 1}, {5, 4, 3}, {2, 9, 2}}, 3},
	{"ngcut2", [][3]int64{{10, 10, 1}}, [][3]int64{{1, 10, 3}, {5, 3, 2}, {9, 3, 3}, {6, 1, 3}, {3, 8, 3}, {4, 1, 1}, {7, 3, 2}}, 4},
	{"ngcut8", [][3]int64{{20, 20, 1}}, [][3]int64{{15, 3, 1}, {6, 6, 3}, {13, 1, 2}, {8, 7, 2}, {18, 5, 3}, {12, 4, 1}, {8, 3, 1}}, 2},
	// Cintra, Miyazawa, Wakabayashi and Xavier, European Journal of Operational
	// Research 191 (2008) 61-85: the sizes of Beasley with many copies.
	{"gcut5d", [][3]int64{{500, 500, 1}}, [][3]int64{{205, 198, 91}, {155, 179, 71}, {236, 364, 94}, {147, 272, 74}, {145, 352, 32}, {245, 343, 63}, {174, 132, 60}, {250, 164, 27}, {356, 282, 58}, {151, 342, 75}}, 207},
	{"gcut9d", [][3]int64{{1000, 1000, 1}}, [][3]int64{{426, 310, 91}, {468, 673, 61}, {463, 426, 40}, {498, 325, 95}, {540, 555, 18}, {455, 292, 30}, {341, 343, 56}, {491, 362, 95}, {688, 305, 51}, {607, 459, 53}}, 135},
	// The first, with three sizes of sheet of our own.
	{"cgcut1, three sizes", [][3]int64{{15, 10, 150}, {18, 6, 108}, {19, 10, 190}}, [][3]int64{{8, 4, 2}, {3, 7, 1}, {8, 2, 3}, {3, 4, 5}, {3, 3, 2}, {3, 2, 2}, {2, 1, 1}}, 298},
}

// dear is the problem gcut6d with three sizes of sheet of Cintra, Miyazawa,
// Wakabayashi and Xavier, European Journal of Operational Research 191 (2008)
// 61-85: too large to be solved here in a test.
var dear = sheets{"gcut6d", [][3]int64{{500, 500, 2500}, {400, 600, 2400}, {450, 550, 2475}},
	[][3]int64{{305, 313, 64}, {222, 292, 66}, {253, 330, 78}, {256, 212, 60}, {189, 132, 6}, {296, 149, 46}, {137, 294, 51},
		{345, 225, 16}, {220, 345, 27}, {177, 337, 74}, {300, 189, 82}, {321, 234, 9}, {272, 335, 43}, {244, 354, 23},
		{169, 149, 73}, {165, 355, 72}, {220, 260, 93}, {241, 210, 40}, {372, 194, 80}, {134, 287, 61}}, 776375}

// order returns the order, with its prices times a factor.
func (s sheets) order(factor int64) plan.Order {
	var o plan.Order
	for _, b := range s.boards {
		o.Boards = append(o.Boards, plan.Board{Thickness: 1, Length: length.Length(b[0]), Width: length.Length(b[1]), Price: b[2] * factor, Quantity: plan.Unlimited})
	}
	for _, p := range s.parts {
		o.Parts = append(o.Parts, plan.Part{Thickness: 1, Length: length.Length(p[0]), Width: length.Length(p[1]), Quantity: int(p[2])})
	}
	return o
}

// TestPublishedFaces: the published problems are solved, and proven.
func TestPublishedFaces(t *testing.T) {
	for _, s := range published {
		p, err := solver.Solve(context.Background(), s.order(1), solver.Options{WorkLimit: 200_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if p.Cost != s.least || p.Status != plan.Optimal {
			t.Errorf("%s: %s, cost %d, bound %d; the least cost is %d", s.name, p.Status, p.Cost, p.LowerBound, s.least)
		}
	}
}

// TestDearFaces: whatever the currency, no bound is above the least cost. In yen
// such a plan costs millions.
func TestDearFaces(t *testing.T) {
	for _, factor := range []int64{1, 39_600, 80_000_000} {
		p, err := solver.Solve(context.Background(), dear.order(factor), solver.Options{WorkLimit: 5_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if p.LowerBound > dear.least*factor || p.Cost < dear.least*factor {
			t.Errorf("prices times %d: %s, cost %d, bound %d; the least cost is %d", factor, p.Status, p.Cost, p.LowerBound, dear.least*factor)
		}
	}
}

// TestManyCopies: orders of many boards that run out are answered, and no board is
// taken that is not there.
func TestManyCopies(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	many := 0
	for range trial.Rounds(20) {
		o := plan.Order{Kerf: 1, RipKerf: length.Length(r.IntN(3)), CrosscutKerf: length.Length(r.IntN(3))}
		for range 3 + r.IntN(4) {
			o.Parts = append(o.Parts, plan.Part{Thickness: 1 + length.Length(r.IntN(3)), Width: 10 + length.Length(r.IntN(40)), Length: 10 + length.Length(r.IntN(60)), Quantity: 10 + r.IntN(90)})
		}
		for range 1 + r.IntN(4) {
			o.Boards = append(o.Boards, plan.Board{Thickness: 6 + length.Length(r.IntN(6)), Width: 60 + length.Length(r.IntN(60)), Length: 80 + length.Length(r.IntN(90)), Price: 1 + r.Int64N(9), Quantity: r.IntN(30)})
		}
		o.Boards[0].Quantity = plan.Unlimited
		p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 5_000_000})
		if err != nil {
			t.Fatalf("%v\n%+v", err, o)
		}
		if p.Stats.Boards >= 20 {
			many++
		}
	}
	if many == 0 && !trial.Few() {
		t.Error("no order of many boards")
	}
}
