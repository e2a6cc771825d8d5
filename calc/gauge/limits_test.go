package gauge

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

// attempt is a call whose one argument is at fault or just inside its limits.
type attempt struct {
	name     string
	quantity string // "" where the call is fine
	err      error
}

func checkRefusals(t *testing.T, rows []attempt) {
	t.Helper()
	for _, c := range rows {
		if strings.TrimPrefix(refusal.Of(c.err), "no ") != c.quantity {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

func TestRefusals(t *testing.T) {
	const m = length.Metre
	leaf := func(n int, l length.Length) []length.Length { return slices.Repeat([]length.Length{l}, n) }
	leaves := func(n int) Readings { return slices.Repeat(Readings{{mm, mm + 1}}, n) }
	series := func(change func(*Series)) error {
		s := Series{Leaves: leaf(3, mm), Advances: []length.Length{mm, mm, mm}, Confidence: 0.95}
		change(&s)
		return refusal.Only(Faces(s))
	}
	process := func(change func(*Process)) error {
		p := Process{Mean: mm, SD: 1000, Limits: Limits{0, 2 * mm}, Count: 5, Degrees: 4, Confidence: 0.95}
		change(&p)
		return refusal.Only(NewCapability(p))
	}
	shape := func(r Readings, allowed length.Length, of ...Place) error {
		return refusal.Only(Shape(r, places(of...), allowed))
	}
	ended := func(e End) error { return refusal.Only(Shape(leaves(1), []Spot{{}, {End: e}}, 0)) }
	next := func(target length.Length) error {
		f, err := Faces(Series{Leaves: leaf(3, mm), Confidence: 0.95})
		if err != nil {
			return err
		}
		return refusal.Only(f.Next(target, dial.Screw{}))
	}
	components := func(r Readings) error { _, _, err := Components(r); return err }
	checkRefusals(t, []attempt{
		{"no reading", "readings", refusal.Only(Measure(nil))},
		{"the most readings", "", refusal.Only(Measure(leaf(10, mm)))},
		{"readings beyond", "readings", refusal.Only(Measure(leaf(11, mm)))},
		{"a reading of nothing", "reading", refusal.Only(Measure(leaf(1, 0)))},
		{"the thinnest reading", "", refusal.Only(Measure(leaf(1, 1)))},
		{"the thickest reading", "", refusal.Only(Measure(leaf(1, m)))},
		{"a reading beyond", "reading", refusal.Only(Measure(leaf(1, m+1)))},

		{"no leaves", "leaf count", refusal.Only(Readings{}.Leaves())},
		{"one leaf", "", refusal.Only(leaves(1).Leaves())},
		{"the most leaves", "", refusal.Only(leaves(10_000).Leaves())},
		{"leaves beyond", "leaf count", refusal.Only(leaves(10_001).Leaves())},
		{"a reading missing", "readings", refusal.Only(Readings{{1, 2}, {1}}.Leaves())},
		{"a reading of nothing in a leaf", "reading", refusal.Only(Readings{{1, 2}, {1, 0}}.Leaves())},
		{"mean of none", "leaf count", refusal.Only(Readings{}.Mean())},
		{"mean of one", "", refusal.Only(leaves(1).Mean())},
		{"Brown of one leaf", "leaf count", refusal.Only(Brown(leaves(1)))},
		{"Brown of two", "", refusal.Only(Brown(leaves(2)))},
		{"Brown with one reading", "", refusal.Only(Brown(Readings{{1}, {2}}))},
		{"components of one leaf", "leaf count", components(leaves(1))},
		{"components of two", "", components(leaves(2))},
		{"components with one reading", "readings", components(Readings{{1}, {2}})},
		{"components with the most readings", "", components(Readings{leaf(10, 1), leaf(10, 2)})},
		{"chart of one leaf", "leaf count", refusal.Only(NewChart(leaves(1)))},
		{"chart of two", "", refusal.Only(NewChart(leaves(2)))},

		{"one leaf sawn", "leaf count", series(func(s *Series) { s.Leaves, s.Advances = s.Leaves[:1], nil })},
		{"two leaves sawn", "", series(func(s *Series) { s.Leaves, s.Advances = s.Leaves[:2], nil })},
		{"too many sawn", "leaf count", series(func(s *Series) { s.Leaves, s.Advances = leaf(10_001, mm), nil })},
		{"a leaf of nothing", "leaf thickness", series(func(s *Series) { s.Leaves[2] = 0 })},
		{"the thinnest leaf", "", series(func(s *Series) { s.Leaves[2] = 1 })},
		{"the thickest leaf", "", series(func(s *Series) { s.Leaves[2], s.Advances[2] = m, m })},
		{"a leaf beyond", "leaf thickness", series(func(s *Series) { s.Leaves[2] = m + 1 })},
		{"an advance missing", "advances", series(func(s *Series) { s.Advances = s.Advances[:2] })},
		{"no advances", "", series(func(s *Series) { s.Advances = nil })},
		{"an advance of nothing", "advance", series(func(s *Series) { s.Advances[0] = 0 })},
		{"the least advance", "", series(func(s *Series) { s.Leaves[0], s.Advances[0] = 1, 1 })},
		{"the largest advance", "", series(func(s *Series) { s.Advances[0] = m })},
		{"a leaf as thick as its advance", "", series(func(s *Series) { s.Advances[2] = mm })},
		{"a leaf above its advance", "leaf thickness", series(func(s *Series) { s.Advances[2] = mm - 1 })},
		{"an advance beyond", "advance", series(func(s *Series) { s.Advances[0] = m + 1 })},
		{"a step below", "step", series(func(s *Series) { s.Step = -1 })},
		{"the largest step", "", series(func(s *Series) { s.Step = m })},
		{"a step beyond", "step", series(func(s *Series) { s.Step = m + 1 })},
		{"unsure", "confidence", series(func(s *Series) { s.Confidence = 0.4999 })},
		{"a coin", "", series(func(s *Series) { s.Confidence = 0.5 })},
		{"as sure as can be", "", series(func(s *Series) { s.Confidence = 0.9999 })},
		{"surer", "confidence", series(func(s *Series) { s.Confidence = 0.99991 })},
		{"confidence NaN", "confidence", series(func(s *Series) { s.Confidence = math.NaN() })},

		{"no target", "target", next(0)},
		{"the thinnest target", "", next(1)},
		{"the thickest target", "", next(m)},
		{"a target beyond", "target", next(m + 1)},

		{"lower below", "lower", process(func(p *Process) { p.Limits.Lower = -1 })},
		{"the largest lower", "upper", process(func(p *Process) { p.Limits = Limits{m, m} })},
		{"lower beyond", "lower", process(func(p *Process) { p.Limits = Limits{m + 1, m + 2} })},
		{"upper at lower", "upper", process(func(p *Process) { p.Limits.Lower = 2 * mm })},
		{"upper just above", "", process(func(p *Process) { p.Limits.Lower = 2*mm - 1 })},
		{"the largest upper", "", process(func(p *Process) { p.Limits.Upper = m })},
		{"upper beyond", "upper", process(func(p *Process) { p.Limits.Upper = m + 1 })},
		{"a mean below", "mean", process(func(p *Process) { p.Mean = -1 })},
		{"a mean of nothing", "", process(func(p *Process) { p.Mean = 0 })},
		{"the largest mean", "", process(func(p *Process) { p.Mean = m })},
		{"a mean beyond", "mean", process(func(p *Process) { p.Mean = m + 1 })},
		{"no deviation", "standard deviation", process(func(p *Process) { p.SD = 0 })},
		{"the least deviation", "", process(func(p *Process) { p.SD = 1 })},
		{"the largest deviation", "", process(func(p *Process) { p.SD = m })},
		{"a deviation beyond", "standard deviation", process(func(p *Process) { p.SD = m + 1 })},
		{"one value", "count", process(func(p *Process) { p.Count = 1 })},
		{"two values", "", process(func(p *Process) { p.Count = 2 })},
		{"the most values", "", process(func(p *Process) { p.Count = 100_000 })},
		{"values beyond", "count", process(func(p *Process) { p.Count = 100_001 })},
		{"no freedom", "degrees of freedom", process(func(p *Process) { p.Degrees = 0 })},
		{"little freedom", "", process(func(p *Process) { p.Degrees = 0.5 })},
		{"the most freedom", "", process(func(p *Process) { p.Degrees = 100_000 })},
		{"freedom beyond", "degrees of freedom", process(func(p *Process) { p.Degrees = 100_000.1 })},
		{"capability, confidence", "confidence", process(func(p *Process) { p.Confidence = 1 })},

		{"a shape of no leaves", "leaf count", shape(Readings{}, 0, Top)},
		{"allowed below", "allowed", shape(leaves(1), -1, Top, Bottom)},
		{"the most allowed", "", shape(leaves(1), m, Top, Bottom)},
		{"allowed beyond", "allowed", shape(leaves(1), m+1, Top, Bottom)},
		{"a spot missing", "spots", shape(leaves(1), 0, Top)},
		{"a place twice", "", shape(leaves(1), 0, Top, Top)},
		{"a place below", "place", shape(leaves(1), 0, Top, -1)},
		{"a place beyond", "place", shape(leaves(1), 0, Top, 4)},
		{"an end below", "end", ended(-1)},
		{"an end beyond", "end", ended(3)},
	})
	var which *fault.Entry
	if err := refusal.Only(Readings{{1, 2}, {3}}.Leaves()); !errors.As(err, &which) || which.Index != 1 {
		t.Errorf("%v", err)
	}
}
