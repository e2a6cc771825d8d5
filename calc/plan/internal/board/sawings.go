package board

import (
	"maps"
	"math"
	"slices"
)

// LeastPasses returns what the leaves of a need cost at least.
func (p *Problem) LeastPasses(need []int) int64 {
	if p.labour == nil {
		return 0
	}
	var sum int64
	for i, n := range need {
		sum += p.labour.leaves[i].least(n, p.labour.least[i])
	}
	return sum
}

// sawing is a matched set of leaves: the sets that it gives and its price.
type sawing struct {
	places int
	price  int64
}

// sawings are the ways to saw an item, the fewest places first. No other has as many
// places for no higher price.
type sawings []sawing

// maxLeast is the work allowed to find the least price for an item.
const maxLeast = 500_000

// least returns the least price of leaves that give a number of sets, or a bound on it
// by the least for one of them where there are too many.
func (x sawings) least(sets int, one float64) int64 {
	if sets <= 0 || len(x) == 0 {
		return 0
	}
	if sets > maxLeast/len(x) {
		return int64(math.Ceil(one * float64(sets) * (1 - 1e-12)))
	}
	least := make([]int64, sets+1)
	for n := 1; n <= sets; n++ {
		least[n] = math.MaxInt64
		for _, y := range x {
			least[n] = min(least[n], y.price+least[max(0, n-y.places)])
		}
	}
	return least[sets]
}

// sawings returns the ways to saw an item.
func (p *Problem) sawings(i int) sawings {
	price := map[int]int64{}
	for k, kd := range p.Kinds {
		w := p.Highest() - 1 // the widest class that may be cut
		for w >= 0 && p.Rips() && p.Wids[w]+p.Order.RipKerf > kd.Rip {
			w--
		}
		for l := range p.Lens {
			if w < 0 {
				break
			}
			n := p.Places(i, l, w)
			if n == 0 || p.Items[i].Size > p.Groups[kd.Group].Room[l] {
				continue
			}
			x := int64(p.Order.Parts[i].SetSize()) * p.wholePass(p.shortest(k, l))
			if least, ok := price[n]; !ok || x < least {
				price[n] = x
			}
		}
	}
	var all sawings
	for _, n := range slices.Backward(slices.Sorted(maps.Keys(price))) {
		if len(all) == 0 || price[n] < all[len(all)-1].price {
			all = append(all, sawing{n, price[n]})
		}
	}
	slices.Reverse(all)
	return all
}

// LeastPass returns what the leaves for a set of an item cost at least, divided into as
// many as may be.
func (p *Problem) LeastPass(i int) float64 {
	if p.labour == nil {
		return 0
	}
	return p.labour.least[i]
}

// each returns the least price for one of the sets that leaves give.
func (x sawings) each() float64 {
	least := math.Inf(1)
	for _, y := range x {
		least = min(least, float64(y.price)/float64(y.places))
	}
	if len(x) == 0 {
		return 0
	}
	return least
}
