package board

import (
	"math/rand/v2"
	"testing"

	"resawd/calc/plan/internal/trial"
)

// leavesWorth is what leaves of an item are worth: its sets, no more than a limit, less
// the passes.
func leavesWorth(n, places, limit int, value, pass int64) int64 {
	return int64(min(limit, n*places))*value - int64(n)*pass
}

// TestKnapsack compares the knapsack of a billet with trying all numbers of leaves of up
// to three items.
func TestKnapsack(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	over := 0
	for n := range trial.Rounds(3000) {
		room, items := nm(1+r.IntN(90)), 1+r.IntN(3)
		var s Knapsack
		size, value, limit, places, pass := [3]nm{1, 1, 1}, [3]int64{}, [3]int{}, [3]int{1, 1, 1}, [3]int64{}
		for i := range items {
			size[i], value[i], limit[i], places[i], pass[i] = nm(5+r.IntN(30)), int64(1+r.IntN(60)), 1+r.IntN(9), 1+r.IntN(4), int64(r.IntN(2)*r.IntN(40))
			s.Add(i, size[i], value[i], limit[i], places[i], pass[i], room)
		}
		s.Sort()
		most, best := int64(0), [3]int{}
		for x := 0; nm(x)*size[0] <= room && x <= limit[0]; x++ {
			for y := 0; nm(x)*size[0]+nm(y)*size[1] <= room && y <= limit[1]; y++ {
				for z := 0; nm(x)*size[0]+nm(y)*size[1]+nm(z)*size[2] <= room && z <= limit[2]; z++ {
					var worth int64
					for i, c := range [3]int{x, y, z} {
						worth += leavesWorth(c, places[i], limit[i], value[i], pass[i])
					}
					if worth > most {
						most, best = worth, [3]int{x, y, z}
					}
				}
			}
		}
		for i, c := range best {
			if c*places[i] > limit[i] {
				over++
			}
		}
		for _, floor := range []int64{0, most - 1, most, most + 1} {
			floor = max(0, floor)
			if got := s.fill(room, floor); got != max(most, floor) {
				t.Fatalf("%d: floor %d: worth %d, want %d: %+v in %d", n, floor, got, most, s.list, room)
			}
			if most <= floor {
				continue
			}
			count, worth := [3]int{}, int64(0)
			s.Arena.Trace(int32(len(s.Arena.States)-1), func(item, n int32, _ nm) { count[item] += int(n) })
			for i, c := range count {
				worth += leavesWorth(c, places[i], limit[i], value[i], pass[i])
			}
			if worth != most {
				t.Fatalf("%d: %v are worth %d, not %d: %+v in %d", n, count, worth, most, s.list, room)
			}
		}
	}
	if over < trial.Rounds(3000)/10 {
		t.Errorf("a leaf gives more than is wanted in %d orders only", over)
	}
}
