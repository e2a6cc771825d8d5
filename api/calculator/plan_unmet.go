package calculator

import (
	"cmp"
	"strings"

	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// unmet tells what the boards do not give, why, and what would help.
func (q *PlanRequest) unmet(p *plan.Plan) (list []PlanUnmet) {
	for _, u := range p.UnmetKits {
		kit := &q.Kits[u.Kit]
		list = append(list, PlanUnmet{Kit: *kit.Name, Quantity: u.Quantity, Reason: wired.Replace(string(u.Reason)), Cure: q.cures(u.Cures, q.woodOf(kit))})
	}
	for _, u := range p.Unmet {
		part := &q.Parts[u.Part]
		list = append(list, PlanUnmet{Part: *part.Name, Quantity: u.Quantity, Reason: wired.Replace(string(u.Reason)), Cure: q.cures(u.Cures, wanted{part.Species, part.Sawn})})
	}
	return list
}

// wanted is what a board must be of; nil where anything does.
type wanted struct{ species, sawn *string }

// woodOf tells of which wood a kit must be.
func (q *PlanRequest) woodOf(kit *PlanKit) (w wanted) {
	for _, kp := range kit.Parts {
		for i := range q.Parts {
			if p := &q.Parts[i]; *p.Name == *kp.Part {
				w = wanted{cmp.Or(w.species, p.Species), cmp.Or(w.sawn, p.Sawn)}
			}
		}
	}
	return w
}

// suits tells whether a board is of the wood that is wanted.
func (w wanted) suits(b *PlanBoard) bool {
	same := func(want, is *string) bool {
		return want == nil || *want == "" || is != nil && strings.EqualFold(*want, *is)
	}
	return same(w.species, b.Species) && same(w.sawn, b.Sawn)
}

// cures tells what would help: more of a board, or one to buy.
func (q *PlanRequest) cures(cures []plan.Cure, w wanted) []PlanCure {
	list := make([]PlanCure, len(cures))
	for i, c := range cures {
		if c.Board < 0 {
			list[i] = PlanCure{Thickness: c.Thickness, Width: c.Width, Length: c.Length, Price: q.estimate(c.Thickness, c.Width, c.Length, w)}
			continue
		}
		b := &q.Boards[c.Board]
		list[i] = PlanCure{Board: *b.Name, Quantity: c.Quantity}
		if b.Price != nil {
			list[i].Price = endpoint.Money(c.Quantity) * *b.Price
		}
	}
	return list
}

// estimate tells what a board would cost, by volume, at the price of the cheapest board of
// the wood that is wanted; 0 where no such board has a price, or none that a board may have.
func (q *PlanRequest) estimate(thick, wide, long length.Length, w wanted) (least endpoint.Money) {
	for i := range q.Boards {
		b := &q.Boards[i]
		if b.Price == nil || !w.suits(b) {
			continue
		}
		if at := endpoint.Money(b.board().Share(thick, wide, long)); least == 0 || at < least {
			least = at
		}
	}
	if least > plan.MaxPrice {
		return 0
	}
	return least
}
