package calculator

import (
	"fmt"
	"slices"

	"resawd/api/endpoint"
	"resawd/calc/plan"
)

// kits makes the kits of an order, whose parts a request names. A name that no part has,
// a part that stands in a kit twice and half a matched set are noted.
func (q *PlanRequest) kits(c *endpoint.Call) []plan.Kit {
	index := make(map[string]int, len(q.Parts))
	for i := range q.Parts {
		index[*q.Parts[i].Name] = i
	}
	var list []plan.Kit
	for i := range q.Kits {
		k := &q.Kits[i]
		kit := plan.Kit{Name: *k.Name, Quantity: *k.Quantity}
		for j := range k.Parts {
			if p, ok := q.kitPart(c, fmt.Sprintf("kits.%d.parts.%d.", i, j), &k.Parts[j], index, kit.Parts); ok {
				kit.Parts = append(kit.Parts, p)
			}
		}
		list = append(list, kit)
	}
	return list
}

// kitPart is a part of a kit; ok is false where something is wrong with it.
func (q *PlanRequest) kitPart(c *endpoint.Call, at string, p *PlanKitPart, index map[string]int, before []plan.KitPart) (out plan.KitPart, ok bool) {
	part, known := index[*p.Part]
	switch matched := *q.Parts[part].Matched; {
	case !known:
		c.Refuse(at+"part", "unknown_name", fmt.Sprintf("is %q, and no part of the order has that name", *p.Part))
	case slices.ContainsFunc(before, func(b plan.KitPart) bool { return b.Part == part }):
		c.Refuse(at+"part", "conflict", fmt.Sprintf("is %q again: a part stands once in a kit, with its quantity", *p.Part))
	case *p.Quantity%matched != 0:
		c.Refuse(at+"quantity", "conflict", fmt.Sprintf("does not fit the others: %d is no whole number of matched sets of %d", *p.Quantity, matched))
	default:
		return plan.KitPart{Part: part, Quantity: *p.Quantity}, true
	}
	return out, false
}

// kitCounts tells the kits that a board gives.
func (q *PlanRequest) kitCounts(counts []plan.KitCount) (list []PlanKitCount) {
	for _, k := range counts {
		list = append(list, PlanKitCount{*q.Kits[k.Kit].Name, k.Count})
	}
	return list
}
