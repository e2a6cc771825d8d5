package colgen

import (
	"math/rand/v2"
	"testing"
)

// Three items, one piece each, in pairs: halves of the three patterns cover
// all, but no two of them can be whole. The excess is 3/2 - 1.
//
// Source: the example of three rows in Jepsen and others 2008 (from memory).
func TestExceeded(t *testing.T) {
	one := []uint16{1, 1}
	point := []weighted{{[]uint16{0, 1}, one, 0.5}, {[]uint16{0, 2}, one, 0.5}, {[]uint16{1, 2}, one, 0.5}}
	got := exceeded([]int{1, 1, 1}, point)
	if len(got) != 1 || got[0] != (cut{0, 1, 2}) {
		t.Errorf("cuts %v, want that of the three", got)
	}
	if got := exceeded([]int{1, 1, 1}, point[:1]); len(got) != 0 {
		t.Errorf("one pattern exceeds %v", got)
	}
}

// No whole plan exceeds a cut, however the pieces are dealt out to boards.
func TestCutsHoldForPlans(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		demand := make([]int, 3+rng.IntN(4))
		boards := make([][]uint16, 1+rng.IntN(5)) // copies of each item
		for b := range boards {
			boards[b] = make([]uint16, len(demand))
		}
		for i := range demand {
			demand[i] = 1 + rng.IntN(4)
			for range demand[i] {
				boards[rng.IntN(len(boards))][i]++
			}
		}
		rows := []uint16{0, 1, 2, 3, 4, 5, 6}[:len(demand)]
		for k := 2; k < len(demand); k++ {
			c, sum := cut{0, 1, k}, 0
			for _, counts := range boards {
				sum += c.times(rows, counts)
			}
			if sum > c.limit(demand) {
				t.Fatalf("demand %v, boards %v: %d in cut %v of at most %d", demand, boards, sum, c, c.limit(demand))
			}
		}
	}
}
