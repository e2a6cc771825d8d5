package main

import (
	"context"
	"fmt"
	"regexp"
	"time"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/trial"
	"resawd/calc/plan/solver"
)

// kitSizes are the sizes of the orders with kits that are made up.
var kitSizes = []trial.KitSize{{Parts: 5, Kinds: 2, Kits: 3}, {Parts: 5, Kinds: 2, Kits: 12}, {Parts: 10, Kinds: 4, Kits: 10},
	{Parts: 20, Kinds: 6, Kits: 10}, {Parts: 20, Kinds: 6, Kits: 30}, {Parts: 40, Kinds: 12, Kits: 30}}

// kitOrders is how many orders there are of a size.
const kitOrders = 6

// runKits runs the planner over made-up orders with kits, size by size, each with three
// stocks that can give all of it: the boards that it was cut from, boards without end,
// and just the boards of the plan found then. It prints of how many something is unmet.
func runKits(only string, limit time.Duration, each bool) error {
	pattern, err := regexp.Compile(only)
	if err != nil {
		return err
	}
	for _, size := range kitSizes {
		name := fmt.Sprintf("%d parts, %d kits of %d kinds", size.Parts, size.Kits, size.Kinds)
		if !pattern.MatchString(name) {
			continue
		}
		built, noEnd, tight := kitTally{each: each}, kitTally{each: each}, kitTally{each: each}
		for seed := range uint64(kitOrders) {
			o, p := trial.KitOrder(seed, size)
			if _, err := built.solve(o, p.Cost, limit); err != nil {
				return err
			}
			for k := range o.Boards {
				o.Boards[k].Quantity = plan.Unlimited
			}
			p, err := noEnd.solve(o, p.Cost, limit)
			if err != nil {
				return err
			}
			for k := range o.Boards {
				o.Boards[k].Quantity = 0
			}
			for _, t := range p.Taken {
				o.Boards[t.Board].Quantity += t.Copies
			}
			if _, err := tight.solve(o, p.Cost, limit); err != nil {
				return err
			}
		}
		built.show(name + ", boards it was cut from")
		noEnd.show(name + ", boards without end")
		tight.show(name + ", boards of that plan")
	}
	return nil
}

// kitTally is what orders with kits came to.
type kitTally struct {
	each                         bool // print every order
	orders, unmet, wrong, proven int
	part, gap                    float64 // sums: of the cost that is known to do; of the cost
	longest                      float64
}

// solve solves an order that some plan delivers at a known cost.
func (t *kitTally) solve(o plan.Order, known int64, limit time.Duration) (*plan.Plan, error) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	begin := processor()
	go until(ctx, cancel, begin+limit.Seconds())
	p, err := solver.Solve(ctx, o, solver.Options{})
	if err != nil {
		return nil, err
	}
	seconds, kits, copies := processor()-begin, 0, 0
	for _, u := range p.UnmetKits {
		kits += u.Quantity
	}
	for _, u := range p.Unmet {
		copies += u.Quantity
	}
	t.orders++
	t.longest = max(t.longest, seconds)
	switch {
	case copies > 0 && p.UnmetProven, copies == 0 && p.LowerBound > known:
		t.wrong++
	case copies > 0:
		t.unmet++
	default:
		t.part, t.gap = t.part+float64(p.Cost)/float64(known), t.gap+p.Gap
		if p.LowerBound == p.Cost {
			t.proven++
		}
	}
	if t.each {
		fmt.Printf("%s by %s, cost %d of %d, bound %d, unmet %d kits and %d copies, %d boards, %.2f s\n",
			p.Status, p.StoppedBy, p.Cost/100, known/100, p.LowerBound/100, kits, copies, p.Stats.Boards, seconds)
	}
	return p, nil
}

// show prints a line.
func (t *kitTally) show(name string) {
	n := max(1, float64(t.orders-t.unmet))
	fmt.Printf("%-60s unmet %d/%d, wrong %d; of the others: of the known cost %.1f %%, gap %.1f %%, proven %d; longest %.1f s\n", name,
		t.unmet, t.orders, t.wrong, 100*t.part/n, 100*t.gap/n, t.proven, t.longest)
}
