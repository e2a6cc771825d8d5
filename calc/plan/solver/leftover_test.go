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

// TestLeftOverAdds: billets, what is left over and the dust are never more than the
// boards, and without kerfs, defects and trimmed ends they are all of the face.
func TestLeftOverAdds(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 5))
	whole := 0
	for range trial.Rounds(400) {
		o := trial.Tiny(r)
		exact := r.IntN(2) == 0
		if exact {
			o.RipKerf, o.CrosscutKerf, o.EndTrim = 0, 0, 0
			for i := range o.Boards {
				o.Boards[i].Defects = nil
			}
		}
		p, err := solver.Solve(context.Background(), o, solver.Options{WorkLimit: 1e6})
		if err != nil {
			t.Fatal(err)
		}
		face := make([]length.Length, len(o.Boards)) // of the boards, less what is told of
		all := slices.Clone(face)
		for _, x := range p.Taken {
			b := o.Boards[x.Board]
			face[x.Board] += length.Length(x.Copies) * max(1, b.Length) * max(1, b.Width)
			for _, bl := range x.Billets {
				wide, long := bl.Width, bl.Length
				if wide == 0 {
					wide = b.Width
				}
				if long == 0 {
					long = b.Length
				}
				face[x.Board] -= length.Length(x.Copies) * max(1, wide) * max(1, long)
			}
		}
		copy(all, face)
		for _, l := range p.LeftOver {
			if l.Kind == plan.Offcut {
				face[l.Board] -= length.Length(l.Copies) * max(1, l.Width) * max(1, l.Length)
			}
		}
		for i, f := range face {
			if f < 0 || exact && f != 0 {
				t.Fatalf("of board %d %d of %d beside the billets are not told of\n%+v\n%+v", i, f, all[i], o, p)
			}
			if exact && all[i] > 0 {
				whole++
			}
		}
	}
	if whole == 0 {
		t.Error("no board had anything left")
	}
}
