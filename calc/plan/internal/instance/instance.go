// Package instance reads published one-dimensional cutting-stock instances, and
// small orders of everything that a plan knows.
package instance

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"resawd/calc/plan/colgen"
)

// Instance is a problem of one dimension.
type Instance struct {
	Kinds    []colgen.Kind
	Capacity []int64
	Size     []int64
	Demand   []int
}

// Problem is the instance as the engine takes it.
func (in Instance) Problem() colgen.Problem {
	return colgen.Problem{Kinds: in.Kinds, Demand: in.Demand, Capacity: in.Capacity, Size: in.Size}
}

// Read reads a file: number of item types, capacity, then size and demand of
// each; in a folder named vscsp_ the capacity is instead a number of kinds and
// for each kind capacity, quantity and cost, before the items.
func Read(file string) (Instance, error) {
	b, err := os.ReadFile(file)
	if err != nil {
		return Instance{}, err
	}
	n, err := numbers(string(b))
	if err != nil {
		return Instance{}, err
	}
	if strings.HasPrefix(filepath.Base(filepath.Dir(file)), "vscsp_") {
		return parseKinds(n)
	}
	if len(n) < 2 {
		return Instance{}, errors.New("too short")
	}
	in := Instance{Kinds: []colgen.Kind{{Cost: 1, Quantity: colgen.Unlimited}}, Capacity: []int64{n[1]}}
	return in.items(n[0], n[2:])
}

func parseKinds(n []int64) (Instance, error) {
	var in Instance
	if len(n) == 0 || int64(len(n)) < 3*n[0]+2 {
		return in, errors.New("too short")
	}
	kinds, n := n[0], n[1:]
	for ; kinds > 0; kinds-- {
		in.Capacity = append(in.Capacity, n[0])
		in.Kinds = append(in.Kinds, colgen.Kind{Quantity: int(n[1]), Cost: n[2]})
		n = n[3:]
	}
	return in.items(n[0], n[1:])
}

func (in Instance) items(count int64, n []int64) (Instance, error) {
	if int64(len(n)) < 2*count {
		return in, errors.New("too few items")
	}
	for x := range count {
		in.Size = append(in.Size, n[2*x])
		in.Demand = append(in.Demand, int(n[2*x+1]))
	}
	return in, nil
}

func numbers(text string) ([]int64, error) {
	var out []int64
	for _, f := range strings.Fields(text) {
		v, err := strconv.ParseInt(f, 10, 64)
		if err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}
