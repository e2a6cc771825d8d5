package search

import (
	"cmp"
	"slices"

	"resawd/calc/plan/internal/board"
)

// Steps are more often made where the plan loses much: on boards that
// cost more than what they give is worth at the best prices of the dual, and on
// strips that are worth little for their length. A plan as cheap as the bound
// loses nothing anywhere.

// How steps prefer what loses much.
const (
	boardRivals = 3   // boards that one is compared with
	stripRivals = 1   // the same for a strip that is to be resawn
	stripBias   = 0.5 // toward strips that are worth less than the others of a board
)

// lossy picks some boards of a plan, more often those that lose much.
func (x *toolbox) lossy(plan []board.Layout, n int) []int {
	rest := make([]int, len(plan))
	for i := range rest {
		rest[i] = i
	}
	var picked []int
	for range n {
		at := x.tournament(len(rest), boardRivals, func(i int) float64 { return x.loss(plan[rest[i]]) })
		picked = append(picked, rest[at])
		rest = slices.Delete(rest, at, at+1)
	}
	return picked
}

// loss returns what a board costs beyond what it gives is worth.
func (x *toolbox) loss(lay board.Layout) float64 {
	return float64(x.p.LayoutCost(lay)) - x.gives(lay.Strips)
}

// tournament returns which of n has the highest score of some that it picks by chance.
//
// Source: tournament selection, common practice.
func (x *toolbox) tournament(n, rivals int, score func(i int) float64) int {
	at := x.rng.IntN(n)
	highest := score(at)
	for range rivals {
		i := x.rng.IntN(n)
		if x := score(i); x > highest {
			at, highest = i, x
		}
	}
	return at
}

// bias returns how much likelier than others a strip is to be taken out of a
// board whose strips have a mean worth for their length.
func (x *toolbox) bias(st board.Strip, mean float64) float64 {
	return 1 + stripBias*float64(cmp.Compare(mean, x.rate(st)))
}

// rate returns what strips are worth for their length.
func (x *toolbox) rate(strips ...board.Strip) float64 {
	var long nm
	for _, st := range strips {
		long += x.p.Lens[st.L] + x.p.Order.CrosscutKerf
	}
	return x.gives(strips) / float64(max(1, long))
}

// gives returns what strips give is worth at the best prices of the dual.
func (x *toolbox) gives(strips []board.Strip) float64 {
	var sum float64
	for _, st := range strips {
		for _, bl := range st.Billets {
			for _, s := range bl.Stacks {
				sum += float64(s.Sets()) * x.Dual.Best[s.Item]
			}
		}
	}
	return sum
}
