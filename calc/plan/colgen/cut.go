package colgen

import (
	"cmp"
	"slices"
)

// cut is a subset-row inequality: of three items, a board that holds two or
// three pieces counts once, one that holds four or five twice, and so on; all
// boards together count at most half of what is demanded of the three, rounded
// down. Whole plans satisfy it, mixtures of patterns may not.
//
// Source: Jepsen, Petersen, Spoorendonk and Pisinger, Operations Research 56
// (2008) 497-511 (from memory): Chvatal-Gomory cuts of three rows with
// multipliers of one half.
type cut [3]int

// times is how often a pattern counts in the cut.
func (c cut) times(rows, counts []uint16) int {
	sum := 0
	for x, r := range rows {
		if i := int(r); i == c[0] || i == c[1] || i == c[2] {
			sum += int(counts[x])
		}
	}
	return sum / 2
}

// limit is how often all patterns together may count.
func (c cut) limit(demand []int) int {
	return (demand[c[0]] + demand[c[1]] + demand[c[2]]) / 2
}

// weighted is a pattern of a point with its value.
type weighted struct {
	rows, counts []uint16
	value        float64
}

const (
	leastExcess = 0.02 // a cut exceeded by less is no help
	mostCuts    = 30   // added at once
	cutsAnItem  = 6    // of them
)

// exceeded lists cuts that a point exceeds, the worst first.
func exceeded(demand []int, point []weighted) []cut {
	holding := make([][]int32, len(demand)) // patterns of each row
	for p, w := range point {
		for _, r := range w.rows {
			holding[r] = append(holding[r], int32(p))
		}
	}
	seen, over := map[cut]float64{}, []cut(nil)
	for _, w := range point {
		for x, i := range w.rows {
			for _, j := range w.rows[:x] {
				for _, p := range slices.Concat(holding[i], holding[j]) {
					for _, k := range point[p].rows {
						c := sortedCut(int(i), int(j), int(k))
						if _, ok := seen[c]; ok || k == i || k == j {
							continue
						}
						seen[c] = c.excess(demand, point, holding)
						if seen[c] > leastExcess {
							over = append(over, c)
						}
					}
				}
			}
		}
	}
	slices.SortFunc(over, func(a, b cut) int {
		return cmp.Or(cmp.Compare(seen[b], seen[a]), slices.Compare(a[:], b[:]))
	})
	return spread(over, len(demand))
}

func sortedCut(i, j, k int) cut {
	c := cut{i, j, k}
	slices.Sort(c[:])
	return c
}

// excess is how far a point exceeds a cut.
func (c cut) excess(demand []int, point []weighted, holding [][]int32) float64 {
	if (demand[c[0]]+demand[c[1]]+demand[c[2]])%2 == 0 {
		return 0 // half of the three rows says the same
	}
	sum := -float64(c.limit(demand))
	for x, i := range c {
		for _, p := range holding[i] {
			if w := &point[p]; !holdsAny(w.rows, c[:x]) {
				sum += float64(c.times(w.rows, w.counts)) * w.value
			}
		}
	}
	return sum
}

// holdsAny reports whether one of the items is among the rows.
func holdsAny(rows []uint16, items []int) bool {
	for _, i := range items {
		if slices.Contains(rows, uint16(i)) {
			return true
		}
	}
	return false
}

// spread takes the first cuts, but not too many with the same item.
func spread(over []cut, items int) []cut {
	var out []cut
	used := make([]int, items)
	for _, c := range over {
		if len(out) == mostCuts {
			break
		}
		if max(used[c[0]], used[c[1]], used[c[2]]) < cutsAnItem {
			out = append(out, c)
			for _, i := range c {
				used[i]++
			}
		}
	}
	return out
}
