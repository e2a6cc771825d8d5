package calculator

import (
	"slices"
	"strings"

	"resawd/api/rule"
	"resawd/calc/wood"
)

// The usual cautions of the trade at a running saw. They end by deferring to those who
// know the machine and the place.
//
// Sources: guarding after 29 CFR 1910.213(i) and WAC 296-806-48042 (guard as
// low as practical; no distance is printed there); exposure limits for wood
// dust as OSHA's wood dust page lists them (OSHA 15 mg/m3 total, 5 mg/m3
// respirable; NIOSH 1 mg/m3; ACGIH 1 mg/m3, western red cedar 0.5 mg/m3); the
// rest is common practice.
var (
	resawCautions = []string{
		"Keep the guard and guides as low as the work allows, and your hands out of line with the blade.",
		"No hand past or behind a running blade: a leaf is taken once it has ridden clear with the carriage, or when the blade has stopped.",
		"Never back out of an unfinished cut with the blade running: switch off and wait until it has stopped.",
		"Unplug the saw to change, clean, inspect or measure anything at the blade.",
		"Thin leaves and fresh edges splinter: ease the edges, and wear no gloves near the running blade.",
		"Smoke means heat: stop, find the cause, and look for embers in the dust collector before you leave.",
		"With a power feed, keep its stop within reach.",
	}
	breakdownCautions = []string{
		"Rip narrow strips and crosscut short pieces with push sticks and hold-downs, hands clear of the blade; cut nothing smaller than the machine's manual allows.",
		"Never crosscut against the rip fence: a piece caught between fence and blade is thrown. Set a stop block that the piece has left before it is cut.",
		"Use the riving knife and guard, stand out of line with the cut, and support long boards before and behind the blade.",
		"Unplug a machine before hands come near its blade; wait until it has stopped before you clear offcuts.",
	}
	dividingCautions = []string{
		"Divide a leaf with a sharp knife along a straightedge that is clamped down, in light passes, the fingers behind its edge and never in line with the knife.",
		"On a saw, divide leaves clamped between scrap boards on a carrier, hands clear of the blade: no strip is held by hand, and none smaller than the machine's manual allows.",
	}
	shopCautions = []string{
		"Protect your eyes and ears. Oily rags can catch fire by themselves: spread them out to dry, or keep them in water in a closed metal can.",
		"Wood dust harms the lungs, and some of it causes cancer: collect it at the source and wear a respirator. Limits: OSHA 15 mg/m3 total and 5 mg/m3 respirable; NIOSH and ACGIH 1 mg/m3, western red cedar 0.5 mg/m3.",
	}
)

const manualRules = "The machine's manual, local codes and licensed practice rule over anything said here."

// sawCautions are the cautions of resawing some woods.
func sawCautions(species ...string) []string { return cautions(resawCautions, species) }

// planCautions are the cautions of breaking boards down and resawing them, and of
// dividing leaves if a plan does that.
func planCautions(divided bool, species ...string) []string {
	own := slices.Concat(breakdownCautions, resawCautions)
	if divided {
		own = append(own, dividingCautions...)
	}
	return cautions(own, species)
}

func cautions(own, species []string) []string {
	return append(slices.Concat(own, shopCautions, dustCautions(species)), manualRules)
}

// woodOf is a list of one wood, empty if there is no name.
func woodOf(species *string) []string {
	if species == nil {
		return nil
	}
	return []string{*species}
}

// dustCautions say which woods have dust that is known to sensitise. A wood that the
// table does not have counts as unknown.
func dustCautions(names []string) []string {
	if len(names) == 0 {
		return []string{"Some woods sensitise skin and lungs, western red cedar, oak, mahogany and rosewood among them: stop when you react."}
	}
	var known, genus, unlisted, unknown, sources []string
	for _, name := range names {
		meant := wood.Meant(name)
		dust := sharedDust(meant)
		switch {
		case len(meant) == 0:
			unknown = append(unknown, name)
			continue
		case dust == wood.Sensitises:
			known = append(known, spoken(name, meant))
		case dust == wood.OfItsGenus:
			genus = append(genus, spoken(name, meant))
		default:
			unlisted = append(unlisted, spoken(name, meant))
		}
		for _, s := range meant {
			if s.Dust != wood.Unlisted {
				sources = append(sources, DustSources[s.DustSource])
			}
		}
	}
	slices.Sort(sources)
	from := " (" + strings.Join(slices.Compact(sources), "; ") + ")"
	var lines []string
	add := func(woods []string, before, after string) {
		if len(woods) > 0 {
			lines = append(lines, before+rule.FirstOf(woods)+after)
		}
	}
	add(known, "Known to sensitise skin or lungs: ", from+". Once sensitised, a little dust is enough: stop when you react.")
	add(genus, "Of a genus with woods that sensitise skin or lungs: ", from+". Take it that their dust does too, and stop when you react.")
	add(unknown, "Unknown here, what their dust does: ", ". Take it that it sensitises, and stop when you react.")
	add(unlisted, "In none of the lists of sensitising woods used here: ", ". That does not prove it harmless: stop when you react.")
	return lines
}

// sharedDust is what is published about the dust of all woods that a name may mean. If
// they differ, it is that some of their genus sensitise.
func sharedDust(meant []wood.Species) wood.Dust {
	if len(meant) == 0 {
		return wood.Unlisted
	}
	dust := meant[0].Dust
	for _, s := range meant {
		if s.Dust != dust {
			return wood.OfItsGenus
		}
	}
	return dust
}

// spoken is a wood's name as people say it: "black walnut".
func spoken(asked string, meant []wood.Species) string {
	if len(meant) > 1 {
		return asked
	}
	if noun, kind, both := strings.Cut(meant[0].Name, ", "); both {
		return kind + " " + noun
	}
	return meant[0].Name
}

// DustSources are the publications on dust, by the table's short names.
var DustSources = map[string]string{
	"trgs907":   "TRGS 907, annex 2",
	"woods1976": "Woods and Calnan, 1976",
	"osu":       "Oregon State University Extension",
	"memory":    "from memory",
}
