package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"time"

	"resawd/calc/plan"
	"resawd/calc/plan/internal/instance"
	"resawd/calc/plan/solver"
)

// truth is an order whose least cost is known.
type truth struct {
	family, name string
	order        plan.Order
	least        int64
}

// readDivided reads the orders of all files of a folder.
func readDivided(folder string) ([]truth, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil {
		return nil, err
	}
	var out []truth
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		all, err := instance.ReadDivided(raw)
		if err != nil {
			return nil, err
		}
		for _, d := range all {
			o, err := d.Order()
			if err != nil {
				return nil, err
			}
			out = append(out, truth{d.Family, d.Name, o, instance.Price(d.Optimum)})
		}
	}
	return out, nil
}

// runTruths runs the planner over orders and prints, for each family, how many were
// proven, how many of the least cost were found, and how many answers were wrong. The
// search has so many seconds of processor time for each.
func runTruths(all []truth, only string, limit time.Duration, each bool) error {
	pattern, err := regexp.Compile(only)
	if err != nil {
		return err
	}
	families := map[string]*family{}
	var names []string
	for _, in := range all {
		if !pattern.MatchString(in.family + "/" + in.name) {
			continue
		}
		f := families[in.family]
		if f == nil {
			f = &family{}
			families[in.family] = f
			names = append(names, in.family)
		}
		if err := f.solve(in, limit, each); err != nil {
			return fmt.Errorf("%s: %w", in.name, err)
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
func (f *family) solve(in truth, limit time.Duration, each bool) error {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	begin := processor()
	go until(ctx, cancel, begin+limit.Seconds())
	p, err := solver.Solve(ctx, in.order, solver.Options{})
	if err != nil {
		return err
	}
	seconds, least := processor()-begin, in.least
	wrong := p.LowerBound > least || p.Cost < least || len(p.Unmet)+len(p.UnmetKits) > 0
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
		fmt.Printf("%s %s: %s by %s, cost %d, bound %d, least %d, %d unmet, %.2f s\n", in.family, in.name,
			p.Status, p.StoppedBy, p.Cost, p.LowerBound, least, len(p.Unmet), seconds)
	}
	return nil
}

// show prints a line.
func (f *family) show(name string) {
	slices.Sort(f.seconds)
	fmt.Printf("%-14s proven %d/%d found %d wrong %d over %.2f %% median %.3f s longest %.2f s\n", name,
		f.proven, f.orders, f.found, f.wrong, 100*f.over, f.seconds[len(f.seconds)/2], f.seconds[len(f.seconds)-1])
}
