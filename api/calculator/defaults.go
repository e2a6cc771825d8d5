// Package calculator holds the calculators: for each the wire types of its request and
// its answer, and one short function that fills in what the shop supplies, calls calc
// and returns the answer. The comments of wire types and their fields are published.
// What an absent field counts as, according to its tags, is common practice unless its
// comment says otherwise.
package calculator

import (
	"fmt"
	"math"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/api/shop"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// Settings is what every calculator takes beside its own fields.
type Settings struct {
	// Unit of the request's lengths that have none of their own, and of every length in the answer
	Units *string `json:"units,omitzero" validate:"omitempty,oneof=in mm" absent:"in"`
	// Name of a saw in the shop file
	Saw *string `json:"saw,omitzero" validate:"omitempty,max=60"`
	// Name of a blade in the shop file
	Blade *string `json:"blade,omitzero" validate:"omitempty,max=60"`
}

// owner has values that stand in for what a request leaves out: a saw, a blade or a
// fixing, or the shop itself.
type owner struct {
	field **string // of the request, which names it; nil for the shop
	name  *string
}

// theShop has what belongs to no saw, blade or fixing.
var theShop owner

// usedSaw is the saw of a request.
type usedSaw struct {
	*shop.Saw
	owner
}

// usedBlade is the blade of a request.
type usedBlade struct {
	*shop.Blade
	owner
}

// machine finds the saw and the blade of a request: those it names, or else the shop's
// saw and that saw's blade. If the shop does not have a name, that is a fault, and the
// default stands in so that the rest can be checked.
func machine(c *endpoint.Call, s *Settings) (usedSaw, usedBlade) {
	saw := named(c, "saw", s.Saw, c.Shop.DefaultSaw, c.Shop.Saw, c.Shop.Saws, func(w shop.Saw) string { return w.Name })
	blade := named(c, "blade", s.Blade, saw.DefaultBlade, c.Shop.Blade, c.Shop.Blades, func(b shop.Blade) string { return b.Name })
	return usedSaw{saw, owner{&s.Saw, &saw.Name}}, usedBlade{blade, owner{&s.Blade, &blade.Name}}
}

// CheckNames refuses a saw or a blade that the shop does not know.
func (s *Settings) CheckNames(c *endpoint.Call) { machine(c, s) }

// named finds a thing of the shop by the name asked for, or else by its usual name.
func named[T any](c *endpoint.Call, field string, asked *string, usual string, find func(string) (*T, bool), all []T, nameOf func(T) string) *T {
	if asked != nil {
		if thing, ok := find(*asked); ok {
			return thing
		}
		names := make([]string, len(all))
		for i, t := range all {
			names[i] = nameOf(t)
		}
		c.Refuse(field, "unknown_name", fmt.Sprintf("is %q, which the shop file does not have; it has %s", *asked, rule.Alternatives(names)))
	}
	thing, _ := find(usual) // a shop file is refused unless its usual names exist
	return thing
}

// fill sets an absent field to its value in the shop, and notes where that comes from.
// The answer then repeats the name of the owner.
func fill[T any](c *endpoint.Call, field string, dst **T, value *T, of owner) {
	if *dst != nil || value == nil {
		return
	}
	*dst = value // shared with the shop: nobody writes through a request's pointers
	if of.field != nil {
		*of.field = of.name
	}
	c.FromShop(field, of.name)
}

// orDefault sets an absent field to a value.
func orDefault[T any](dst **T, value T) {
	if *dst == nil {
		*dst = &value
	}
}

// findFixing finds the fixing that a request names, or else the shop's.
func findFixing(c *endpoint.Call, asked *string) *shop.Fixing {
	return named(c, "fixing", asked, c.Shop.DefaultFixing, c.Shop.Fixing, c.Shop.Fixings, func(f shop.Fixing) string { return f.Name })
}

// CheckNames refuses a saw, a blade or a fixing that the shop does not know.
func (q *YieldRequest) CheckNames(c *endpoint.Call) { q.checkWith(c, q.Fixing) }

// CheckNames refuses a saw, a blade or a fixing that the shop does not know.
func (q *FlattenRequest) CheckNames(c *endpoint.Call) { q.checkWith(c, q.Fixing) }

// CheckNames refuses a saw, a blade or a fixing that the shop does not know.
func (q *RunRequest) CheckNames(c *endpoint.Call) { q.checkWith(c, q.Fixing) }

// CheckNames refuses a saw, a blade or a fixing that the shop does not know.
func (q *PlanRequest) CheckNames(c *endpoint.Call) { q.checkWith(c, q.Fixing) }

// checkWith refuses unknown names of settings and of a fixing.
func (s *Settings) checkWith(c *endpoint.Call, fixing *string) {
	s.CheckNames(c)
	findFixing(c, fixing)
}

// fillKerf sets an absent kerf to the blade's, and an absent basis to that of the blade
// if the kerf is the blade's, or else to nominal.
func fillKerf(c *endpoint.Call, blade usedBlade, kerf **length.Length, basis **string) {
	if *kerf == nil {
		orDefault(basis, blade.KerfBasis)
	}
	orDefault(basis, "nominal")
	fill(c, "kerf", kerf, blade.Kerf, blade.owner)
}

// fillKerfMargin sets how much wider the kerf may come, which depends on its basis.
func fillKerfMargin(c *endpoint.Call, basis *string, margin **length.Length) {
	if *basis == "measured" {
		orDefault(margin, 0)
	}
	orDefault(margin, inUnits(c, yield.NominalKerfMargin, 130*length.Micrometre))
}

// inUnits chooses a default by the units of the request.
func inUnits[T any](c *endpoint.Call, inch, mm T) T {
	if c.Unit == length.Millimetre {
		return mm
	}
	return inch
}

// fillHoldBack sets an absent hold-back to that of the fixing which the request names,
// or else of the shop's.
func fillHoldBack(c *endpoint.Call, name **string, holdBack **length.Length) *shop.Fixing {
	fixing := findFixing(c, *name)
	*name = &fixing.Name
	fill(c, "hold_back", holdBack, fixing.HoldBack, owner{name, &fixing.Name})
	return fixing
}

// cleanArea is the sawn area after which the shop cleans, nil if it goes by cuts alone.
func cleanArea(c *endpoint.Call) *endpoint.Area {
	own := c.Shop.Care.CleanArea
	if own == nil {
		return nil
	}
	return shopArea(c, own)
}

// shopArea is an area of the shop file, which is in square units of the file.
func shopArea(c *endpoint.Call, own *float64) *endpoint.Area {
	side := c.Shop.Unit().In(length.Millimetre)
	return new(endpoint.Area(*own * side * side))
}

// defaultFeed is the slow feed of a powered carriage.
//
// Source: common practice.
func defaultFeed(c *endpoint.Call) endpoint.Feed {
	return endpoint.Feed(inUnits(c, 10*length.Inch, 250*length.Millimetre))
}

// fillSpeed sets the blade speed, or the wheel and its rpm, whichever the saw has,
// unless the request gives one or the other. Both together are refused.
func fillSpeed(c *endpoint.Call, saw usedSaw, speed **endpoint.BladeSpeed, wheel **length.Length, rpm **float64) {
	if *speed != nil {
		if *wheel != nil || *rpm != nil {
			c.Refuse("blade_speed", "conflict", "cannot be given together with wheel_diameter and rpm: they say the same thing")
		}
		return
	}
	if *wheel == nil && *rpm == nil && saw.BladeSpeed != nil {
		own := endpoint.BladeSpeed(math.Round(*saw.BladeSpeed * float64(endpoint.BladeSpeedUnit(c.Shop.Unit()))))
		fill(c, "blade_speed", speed, &own, saw.owner)
		return
	}
	fill(c, "wheel_diameter", wheel, saw.WheelDiameter, saw.owner)
	fill(c, "rpm", rpm, saw.RPM, saw.owner)
	if *wheel == nil {
		c.Refuse("wheel_diameter", "required", bothOrNeither)
	}
	if *rpm == nil {
		c.Refuse("rpm", "required", bothOrNeither)
	}
}

const bothOrNeither = "is missing: the shop file gives this saw a blade speed instead, so give wheel_diameter and rpm both or neither"

// bladeSpeed is the speed given, or else that of the wheel's rim.
func bladeSpeed(given *endpoint.BladeSpeed, wheel *length.Length, rpm *float64) (feed.BladeSpeed, error) {
	if given != nil {
		return feed.BladeSpeed(*given), nil
	}
	return feed.RimSpeed(*wheel, *rpm)
}

// rounded writes a length as people read it at the saw: to 0.001 in or 0.01 mm.
func rounded(c *endpoint.Call, l length.Length) string {
	return l.Fixed(c.Unit, rule.Decimals(c.Unit)) + " " + rule.UnitName(c.Unit)
}
