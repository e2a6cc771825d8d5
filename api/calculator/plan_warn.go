package calculator

import (
	"fmt"
	"slices"
	"strings"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/plan"
	"resawd/calc/wood"
)

// warnPlan warns of what in a plan is worth a look.
func warnPlan(c *endpoint.Call, q *PlanRequest, a *PlanAnswer) {
	if marks := a.tight(); len(marks) > 0 {
		c.Warn(fmt.Sprintf("%s, these billets give fewer leaves; saw them first, and measure as you go: %s", q.margins(c), rule.FirstOf(marks)))
	}
	if species := q.unknownSpecies(); len(species) > 0 {
		c.Warn("not among the woods known here, so only their names are compared: " + rule.FirstOf(species))
	}
	if names := q.unpriced(); len(names) > 0 && len(names) < len(q.Boards) {
		c.Warn("without a price each of these counts as 1 in the cost, beside boards that have prices: " + rule.FirstOf(names))
	}
	if a.Status == string(plan.Infeasible) {
		c.Warn("the boards do not give every part; what is missing is listed")
	}
	if a.Stats.MemoryFull && a.StoppedBy != string(plan.ByProof) {
		c.Warn("the search ran out of the memory that a plan may use, and some ways of cutting were not weighed: there may be a cheaper plan that more time will not find; an order of fewer parts or boards may be proven")
	}
	if *q.HoldBack == 0 {
		c.Warn("nothing is held back: the last cut runs along the fence itself, and the fixing must allow that")
	}
}

// unpriced lists the boards that have no price.
func (q *PlanRequest) unpriced() (names []string) {
	for i := range q.Boards {
		if q.Boards[i].Price == nil {
			names = append(names, *q.Boards[i].Name)
		}
	}
	return names
}

// smallCautions warns of billets that may be smaller than the shop thinks safe.
func (q *PlanRequest) smallCautions(c *endpoint.Call) []string {
	asked, own := q.SmallestBillet, c.Shop.SmallestBillet
	if *asked.Length >= *own.Length && *asked.Width >= *own.Width {
		return nil
	}
	return []string{fmt.Sprintf("This plan may have billets down to %s long and %s wide. This shop thinks nothing safe to rip and resaw that is shorter than %s or narrower than %s: the hands come too near the blade.",
		c.Show(*asked.Length), c.Show(*asked.Width), c.Show(*own.Length), c.Show(*own.Width))}
}

// margins says how far off boards and kerfs may be.
func (q *PlanRequest) margins(c *endpoint.Call) string {
	var off []string
	if *q.ThicknessMargin > 0 {
		off = append(off, "boards "+c.Show(*q.ThicknessMargin)+" thinner")
	}
	if *q.KerfMargin > 0 {
		off = append(off, "kerfs "+c.Show(*q.KerfMargin)+" wider")
	}
	return "with " + strings.Join(off, " and ")
}

// tight lists the marks of the tight billets.
func (a *PlanAnswer) tight() (marks []string) {
	for _, t := range a.Taken {
		for _, b := range t.Billets {
			if b.Tight {
				marks = append(marks, b.Mark)
			}
		}
	}
	return marks
}

// takenSpecies lists the woods of the boards that a plan takes, each once.
func (q *PlanRequest) takenSpecies(p *plan.Plan) (names []string) {
	for _, t := range p.Taken {
		name := q.Boards[t.Board].Species
		if name != nil && !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, *name) }) {
			names = append(names, *name)
		}
	}
	return names
}

// unknownSpecies lists the species that the table does not have.
func (q *PlanRequest) unknownSpecies() (names []string) {
	seen := map[string]bool{}
	note := func(name *string) {
		if name == nil || seen[strings.ToLower(*name)] {
			return
		}
		seen[strings.ToLower(*name)] = true
		if len(wood.Meant(*name)) == 0 {
			names = append(names, *name)
		}
	}
	for i := range q.Boards {
		note(q.Boards[i].Species)
	}
	for i := range q.Parts {
		note(q.Parts[i].Species)
	}
	return names
}
