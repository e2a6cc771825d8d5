package plan

import (
	"math/rand/v2"
	"testing"
)

// TestLeftLies goes over the face of small boards nanometre by nanometre: a piece
// left over lies on the board, clear of the billets and a kerf from them, of defects,
// trimmed ends and other pieces; and nothing else is clear of them but the wood of a
// crosscut behind a defect.
func TestLeftLies(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 2000 {
		o := Order{CrosscutKerf: nm(r.IntN(4)), RipKerf: nm(r.IntN(3)), EndTrim: nm(r.IntN(4)),
			Boards: []Board{{Thickness: 5, Width: nm(4 + r.IntN(9)), Length: nm(20 + r.IntN(20)), Price: 1000}}}
		b := &o.Boards[0]
		for range r.IntN(3) {
			from := nm(r.IntN(int(b.Length)))
			b.Defects = append(b.Defects, Defect{from, from + nm(r.IntN(4))})
		}
		taken := Taken{Copies: 1, Billets: someBillets(r, o)}
		face := faceOf(o, taken.Billets)
		for _, l := range o.leftOf(taken) {
			for x := l.from; x < l.from+l.Length; x++ {
				for y := l.across; y < l.across+l.Width; y++ {
					if !face[x][y] {
						t.Fatalf("%+v\n%+v\n%+v: (%d, %d) is not free", o, taken, l, x, y)
					}
					face[x][y] = false
				}
			}
		}
		open := nm(0)
		for _, column := range face {
			for _, free := range column {
				if free {
					open++
				}
			}
		}
		if open > nm(len(b.Defects))*o.CrosscutKerf*b.Width {
			t.Fatalf("%+v\n%+v: %d are left open", o, taken, open)
		}
	}
}

// someBillets cuts lengths and billets at random places, a kerf apart.
func someBillets(r *rand.Rand, o Order) []Billet {
	b := o.Boards[0]
	var out []Billet
	for at := o.EndTrim + nm(r.IntN(5)); ; {
		long := nm(1 + r.IntN(9))
		if at+long > b.Length-o.EndTrim {
			return out
		}
		held := false
		for _, d := range b.Defects {
			held = held || at < d.To && at+long > d.From
		}
		for across := nm(0); !held; {
			wide := nm(1 + r.IntN(5))
			if across+wide > b.Width {
				break
			}
			out = append(out, Billet{From: at, Across: across, Length: long, Width: wide})
			across += wide + o.RipKerf + nm(r.IntN(2)*r.IntN(4))
		}
		at += long + o.CrosscutKerf + nm(r.IntN(2)*r.IntN(8))
	}
}

// faceOf marks the nanometres of a face that no billet, no cut beside one, no defect
// and no trimmed end takes. Beside a billet the whole of its length is ripped, behind
// it the whole of the width is crosscut.
func faceOf(o Order, billets []Billet) [][]bool {
	b := o.Boards[0]
	face := make([][]bool, b.Length)
	for x := range face {
		face[x] = make([]bool, b.Width)
		for y := range face[x] {
			face[x][y] = nm(x) >= o.EndTrim && nm(x) < b.Length-o.EndTrim
			for _, d := range b.Defects {
				face[x][y] = face[x][y] && (nm(x) < d.From || nm(x) >= d.To)
			}
		}
		for _, bl := range billets {
			near := nm(x) >= bl.From-o.CrosscutKerf && nm(x) < bl.From+bl.Length+o.CrosscutKerf
			inside := nm(x) >= bl.From && nm(x) < bl.From+bl.Length
			for y := range face[x] {
				beside := nm(y) >= bl.Across-o.RipKerf && nm(y) < bl.Across+bl.Width+o.RipKerf
				if near && !inside || inside && beside {
					face[x][y] = false
				}
			}
		}
	}
	return face
}
