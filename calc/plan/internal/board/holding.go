package board

// Effort of laying out a board that holds kits.
const (
	holdRounds = 10 // of ascent, to find whether a board holds some kits
	dearer     = 3  // times the value of what the kits are made of, to fill a board up where it holds them no more
)

// Holding returns a board of a kind that gives what some kits are made of, if it finds
// one.
func (a *Ascent) Holding(kind int, kits []int, value []int64) (Layout, bool) {
	want, worth := make([]int, len(value)), make([]int64, len(value))
	for i := range want {
		if want[i] = a.B.T.P.InKits(kits, i); want[i] > 0 {
			worth[i] = max(1, value[i])
		}
	}
	lay := a.Board(kind, worth, want, holdRounds, Total(worth, want)-1).Lay
	ok := gives(lay, want)
	if !ok {
		lay, ok = a.B.T.P.firstFit(kind, want)
	}
	lay.Kits = kits
	return lay, ok
}

// gives tells whether a board gives all that is wanted.
func gives(lay Layout, want []int) bool { return Covers(CountSets(lay.Pieces(), len(want)), want) }

// Fill returns a board with what else is wanted beside its kits, as far as it finds room.
// The limit counts what the kits are made of.
func (a *Ascent) Fill(lay Layout, value []int64, limit []int, rounds int) Layout {
	kits := make([]int, len(value))
	for i := range kits {
		kits[i] = a.B.T.P.InKits(lay.Kits, i)
	}
	for _, times := range []int64{1, dearer} {
		value := value
		if times > 1 {
			value = dear(value, kits, times)
		}
		full := a.Board(lay.Kind, value, limit, rounds, 0).Lay
		if full.Kits = lay.Kits; gives(full, kits) && Worth(full.Pieces(), value, limit) > Worth(lay.Pieces(), value, limit) {
			return full
		}
	}
	left := append([]int(nil), limit...)
	Take(left, lay.Pieces())
	full := a.B.Top(lay, value, Still(left))
	full.Kits = lay.Kits
	return full
}

// dear returns values of which those of some items are so many times as high.
func dear(value []int64, of []int, times int64) []int64 {
	out := make([]int64, len(value))
	for i, v := range value {
		if out[i] = v; of[i] > 0 {
			out[i] *= times
		}
	}
	return out
}
