package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"slices"
	"time"

	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/plan/solver"
)

// face is an order with its least cost; sizes in mm.
type face struct {
	Family, Name string
	Kinds        [][]*float64 // length, width, thickness, price, quantity
	Parts        [][]float64  // length, width, thickness, quantity, matched
	Cuts         []float64    // kerf, skim, hold-back, rip kerf, crosscut kerf, end trim
	Optimum      float64
}

const mm = 1_000_000

func size(x float64) length.Length { return length.Length(x*mm + 0.5) }

// order returns an instance as an order.
func (in *face) order(factor int64) plan.Order {
	c := slices.Concat(in.Cuts, make([]float64, 6))
	o := plan.Order{Kerf: size(c[0]), Skim: size(c[1]), HoldBack: size(c[2]), RipKerf: size(c[3]), CrosscutKerf: size(c[4]), EndTrim: size(c[5])}
	for _, k := range in.Kinds {
		b := plan.Board{Length: length.Length(*k[0] * mm), Width: length.Length(*k[1] * mm), Thickness: length.Length(*k[2] * mm), Price: int64(*k[3]*float64(factor) + 0.5), Quantity: plan.Unlimited}
		if k[4] != nil {
			b.Quantity = int(*k[4])
		}
		o.Boards = append(o.Boards, b)
	}
	for _, p := range in.Parts {
		o.Parts = append(o.Parts, plan.Part{Length: length.Length(p[0] * mm), Width: length.Length(p[1] * mm), Thickness: length.Length(p[2] * mm), Quantity: int(p[3]), Matched: int(p[4])})
	}
	return o
}

// runFaces runs the planner over the orders of a file and prints, for each family,
// how many were proven, how many of the least cost were found, and how many answers
// were wrong.
func runFaces(file, only string, limit time.Duration, each bool, factor int64) error {
	pattern, err := regexp.Compile(only)
	if err != nil {
		return err
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	var all []face
	if err := json.Unmarshal(raw, &all); err != nil {
		return err
	}
	families := map[string]*family{}
	var names []string
	for i := range all {
		if !pattern.MatchString(all[i].Family + "/" + all[i].Name) {
			continue
		}
		f := families[all[i].Family]
		if f == nil {
			f = &family{}
			families[all[i].Family] = f
			names = append(names, all[i].Family)
		}
		if err := f.solve(&all[i], limit, each, factor); err != nil {
			return fmt.Errorf("%s: %w", all[i].Name, err)
		}
	}
	for _, name := range names {
		families[name].show(name)
	}
	return nil
}

// family is what a family of orders came to.
type family struct {
	orders, proven, found, wrong int
	over                         float64 // the largest part by which a plan is too dear
	seconds                      []float64
}

// solve solves an order.
func (f *family) solve(in *face, limit time.Duration, each bool, factor int64) error {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	begin := processor()
	go until(ctx, cancel, begin+limit.Seconds())
	p, err := solver.Solve(ctx, in.order(factor), solver.Options{})
	if err != nil {
		return err
	}
	seconds, least := processor()-begin, int64(in.Optimum*float64(factor)+0.5)
	wrong := p.LowerBound > least || p.Cost < least || len(p.Unmet) > 0
	f.orders++
	f.seconds = append(f.seconds, seconds)
	f.over = max(f.over, float64(p.Cost-least)/float64(least))
	if wrong {
		f.wrong++
	}
	if p.Cost == least {
		f.found++
		if p.LowerBound == least {
			f.proven++
		}
	}
	if each || wrong {
		fmt.Printf("%s %s: %s by %s, cost %d, bound %d, least %d, %d unmet, %.2f s\n", in.Family, in.Name,
			p.Status, p.StoppedBy, p.Cost/factor, p.LowerBound/factor, least/factor, len(p.Unmet), seconds)
	}
	return nil
}

// show prints a line.
func (f *family) show(name string) {
	slices.Sort(f.seconds)
	fmt.Printf("%-14s proven %d/%d found %d wrong %d over %.2f %% median %.3f s longest %.2f s\n", name,
		f.proven, f.orders, f.found, f.wrong, 100*f.over, f.seconds[len(f.seconds)/2], f.seconds[len(f.seconds)-1])
}
