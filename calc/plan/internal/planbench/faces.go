package main

import (
	"encoding/json"
	"os"
	"slices"

	"resawd/calc/length"
	"resawd/calc/plan"
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

// readFaces reads the orders of a file.
func readFaces(file string, factor int64) ([]truth, error) {
	raw, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var all []face
	if err := json.Unmarshal(raw, &all); err != nil {
		return nil, err
	}
	var out []truth
	for i := range all {
		in := &all[i]
		out = append(out, truth{in.Family, in.Name, in.order(factor), int64(in.Optimum*float64(factor) + 0.5)})
	}
	return out, nil
}
