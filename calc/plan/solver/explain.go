package solver

import (
	"slices"

	"resawd/calc/plan"
)

// thing is a part or a kit that is unmet.
type thing struct {
	kit   bool
	index int
}

// partsOf returns what a thing is to be cut into: a matched set of a part, or a kit.
func (s *solver) partsOf(t thing) []plan.Part {
	of := []plan.KitPart{{Part: t.index}}
	if t.kit {
		of = s.o.Kits[t.index].Parts
	}
	var parts []plan.Part
	for _, kp := range of {
		p := s.o.Parts[kp.Part]
		p.Quantity, p.Spare = max(kp.Quantity, p.SetSize()), 0
		parts = append(parts, p)
	}
	return parts
}

// remedy is why a thing is unmet, and what would help.
type remedy struct {
	reason plan.Reason
	cures  []plan.Cure
}

// explain finds why things are unmet and what would help, before the search begins, for
// which it makes no difference.
func (s *solver) explain() error {
	if !slices.ContainsFunc(s.jobs, (*job).short) {
		return nil
	}
	p := s.plan()
	s.told = map[thing]remedy{}
	a := asker{solver: s, left: askWork}
	var patients []*patient
	look := func(t thing, quantity int) {
		switch r := a.reason(t); r {
		case plan.StockUsed:
			patients = append(patients, &patient{thing: t, quantity: quantity})
		case plan.BeyondSaw:
			s.told[t] = remedy{reason: r}
		default:
			s.told[t] = remedy{r, a.toBuy(s.partsOf(t))}
		}
	}
	for _, u := range p.UnmetKits {
		look(thing{true, u.Kit}, u.Quantity)
	}
	for _, u := range p.Unmet {
		if u.Reason != plan.WithKit {
			look(thing{false, u.Part}, u.Quantity)
		}
	}
	a.treat(patients, p)
	return a.err
}

// tell writes down why things are unmet, and what would help.
func (s *solver) tell(p *plan.Plan) {
	for i, u := range p.UnmetKits {
		r := s.told[thing{true, u.Kit}]
		p.UnmetKits[i].Reason, p.UnmetKits[i].Cures = r.reason, append([]plan.Cure{}, r.cures...)
	}
	for i, u := range p.Unmet {
		r := remedy{reason: plan.WithKit}
		if u.Reason != plan.WithKit {
			r = s.told[thing{false, u.Part}]
		}
		p.Unmet[i].Reason, p.Unmet[i].Cures = r.reason, append([]plan.Cure{}, r.cures...)
	}
}
