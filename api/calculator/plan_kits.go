package calculator

import (
	"fmt"
	"slices"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/plan"
)

// kits makes the kits of an order. It refuses a name that no part has, a part that
// stands twice in a kit, part of a matched set, and woods that no board has together.
func (q *PlanRequest) kits(c *endpoint.Call, parts []plan.Part) []plan.Kit {
	if len(q.Kits) == 0 {
		return nil
	}
	index, names := make(map[string]int, len(q.Parts)), make([]string, len(q.Parts))
	for i := range q.Parts {
		names[i] = *q.Parts[i].Name
		index[names[i]] = i
	}
	known := rule.FirstOf(names)
	var list []plan.Kit
	for i := range q.Kits {
		k := &q.Kits[i]
		kit := plan.Kit{Name: *k.Name, Quantity: *k.Quantity}
		for j := range k.Parts {
			at := fmt.Sprintf("kits.%d.parts.%d.", i, j)
			part, ok := index[*k.Parts[j].Part]
			if !ok {
				c.Refuse(at+"part", "unknown_name", fmt.Sprintf("must be the name of a part of the order: %s; %q was given", known, *k.Parts[j].Part))
				continue
			}
			q.checkKitPart(c, at, part, &k.Parts[j], kit.Parts)
			kit.Parts = append(kit.Parts, plan.KitPart{Part: part, Quantity: *k.Parts[j].Quantity})
		}
		if j := kit.Apart(parts); j >= 0 {
			c.Refuse(fmt.Sprintf("kits.%d.parts", i), "conflict", fmt.Sprintf("cannot come from one board, as a kit does: %q wants another species, or a board sawn otherwise, than those before it", names[kit.Parts[j].Part]))
		}
		list = append(list, kit)
	}
	return list
}

// checkKitPart refuses a part that the kit has already, and part of a matched set.
func (q *PlanRequest) checkKitPart(c *endpoint.Call, at string, part int, p *PlanKitPart, before []plan.KitPart) {
	if slices.ContainsFunc(before, func(b plan.KitPart) bool { return b.Part == part }) {
		c.Refuse(at+"part", "conflict", fmt.Sprintf("is %q again: a part must stand only once in a kit, with its quantity", *p.Part))
	}
	if matched := *q.Parts[part].Matched; *p.Quantity%matched != 0 {
		c.Refuse(at+"quantity", "conflict", fmt.Sprintf("does not fit the others: %d is no whole number of matched sets of %d", *p.Quantity, matched))
	}
}

// kitCounts lists the kits that a board gives.
func (q *PlanRequest) kitCounts(counts []plan.KitCount) (list []PlanKitCount) {
	for _, k := range counts {
		list = append(list, PlanKitCount{*q.Kits[k.Kit].Name, k.Count})
	}
	return list
}
