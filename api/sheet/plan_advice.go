package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// unmetWords say what is missing, kits with their parts, and whether it must be.
func (a planned) unmetWords() string {
	var missing []string
	for i := range a.Unmet {
		if u := &a.Unmet[i]; u.Reason != "kit" { // what the kit says already
			missing = append(missing, a.missing(u))
		}
	}
	text := "Missing: " + rule.FirstOf(missing) + ". "
	if a.UnmetProven {
		return text + "Proven: these boards give no more than this plan, where kits come before other parts and each in its order."
	}
	return text + "Another plan may leave less unmet: that none does is not proven."
}

// missing says how many of a part or a kit are unmet.
func (a planned) missing(u *calculator.PlanUnmet) string {
	text := strconv.Itoa(u.Quantity) + " x " + u.Kit + u.Part
	for i := range a.Used.Kits {
		if k := &a.Used.Kits[i]; *k.Name == u.Kit {
			return text + " (each " + kitParts(k) + ")"
		}
	}
	return text
}

// maxWhy is how many reasons are given; the JSON has them all.
const maxWhy = 20

// reasonsUnmet are the words for why something is unmet.
var reasonsUnmet = map[string]string{
	"species": "no board is of its species", "sawn": "no board of its species is sawn so",
	"too_long": "no board is long enough", "too_wide": "no board is wide enough", "too_thick": "no board is thick enough, with skim and hold-back",
	"saw": "the saw does not take a billet of its size", "defect": "no stretch between defects is long enough",
	"stock_used": "the boards that it fits are used up",
}

// whyUnmet says why something is unmet and what would help. For a part whose kit is
// unmet, the kit says it.
func (a planned) whyUnmet(unit length.Length) (lines []string) {
	for i := range a.Unmet {
		u := &a.Unmet[i]
		why, known := reasonsUnmet[u.Reason]
		if !known || len(lines) == maxWhy {
			continue
		}
		lines = append(lines, fmt.Sprintf("%d x %s: %s. %s", u.Quantity, u.Kit+u.Part, why, a.help(u, unit)))
	}
	return lines
}

// help says what to do about what is unmet.
func (a planned) help(u *calculator.PlanUnmet, unit length.Length) string {
	switch {
	case len(u.Cure) > 0:
	case u.Reason == "saw":
		return "Make it smaller, or plan for a larger saw."
	default:
		return "No larger board would help: the saw does not take a billet of that size."
	}
	ways := make([]string, len(u.Cure))
	for i := range u.Cure {
		ways[i] = a.cureWords(&u.Cure[i], u, unit)
	}
	return "What would help: " + strings.Join(ways, ", or ") + "."
}

// cureWords say what to have more of, or the least board to buy, and for how much.
func (a planned) cureWords(c *calculator.PlanCure, u *calculator.PlanUnmet, unit length.Length) string {
	if c.Board != "" {
		text := strconv.Itoa(c.Quantity) + " more of " + c.Board
		if c.Price > 0 {
			text += ", for " + a.cash(c.Price)
		}
		return text
	}
	size, gives := sizeWords(unit, &c.Thickness, &c.Width, &c.Length)+" "+rule.UnitName(unit), "one"
	wood, matched := a.woodOf(u)
	if matched > 1 {
		gives = "a matched set of " + strconv.Itoa(matched)
	}
	text := "to buy a board of at least " + size + wood + ", which gives " + gives
	if c.Price > 0 {
		text += ", for about " + a.cash((c.Price+50)/100*100) + " by volume"
	}
	return text
}

// woodOf says which wood something must be of, and how many leaves of it stay together.
func (a planned) woodOf(u *calculator.PlanUnmet) (wood string, matched int) {
	inKit := map[string]bool{}
	for i := range a.Used.Kits {
		if k := &a.Used.Kits[i]; *k.Name == u.Kit {
			for _, p := range k.Parts {
				inKit[*p.Part] = true
			}
		}
	}
	for i := range a.Used.Parts {
		p := &a.Used.Parts[i]
		if *p.Name == u.Part {
			return woodWords(p.Species, p.Sawn), *p.Matched
		}
		if w := woodWords(p.Species, p.Sawn); inKit[*p.Name] && len(w) > len(wood) {
			wood = w
		}
	}
	return wood, 1
}

// woodWords are a species and how it is sawn, after a comma each.
func woodWords(species, sawn *string) (text string) {
	if s := endpoint.ValueOr(species, ""); s != "" {
		text += ", " + s
	}
	if s := endpoint.ValueOr(sawn, ""); s != "" {
		text += ", " + s + " sawn"
	}
	return text
}

// stopWords say what ended a search that proved nothing, and what to do about it.
func (a planned) stopWords() []string {
	why, do := "", ""
	switch plan.Stop(a.StoppedBy) {
	case plan.ByTime:
		why, do = "The search ended at its time limit of "+strconv.FormatFloat(*a.Used.TimeLimitSeconds, 'f', -1, 64)+" s.", "Ask again with a longer one"
		if a.TimeIsLongest() {
			why, do = "The search ended at its time limit, the longest there is.", "Ask for fewer parts or boards at once"
		}
	case plan.ByWork:
		why, do = "The search ended at its work limit.", "Ask again with a larger one"
	case plan.ByShutdown:
		why, do = "The search ended because the service was stopping.", "Ask again"
	case plan.ByProof:
		return nil
	}
	if a.Stats.MemoryFull {
		return []string{why + " It had filled the memory that a plan may use, so that more time may not help. Ask for fewer parts or boards at once: that may give a cheaper plan, or prove this one."}
	}
	return []string{why + " " + do + ": that may give a cheaper plan, or prove this one."}
}

// leastSaving is the least saving that is mentioned: half a hundredth.
const leastSaving endpoint.Money = 50

// whatIfWords say what each estimate is about.
func whatIfWords(a planned, unit length.Length) (lines []string) {
	for i := range a.WhatIf {
		if w := &a.WhatIf[i]; w.SavingEstimate >= leastSaving {
			lines = append(lines, a.changeWords(w, unit)+": the same leaves for "+a.about(w.SavingEstimate)+" less")
		}
	}
	return lines
}

// changeWords describe a change of the order, and what has the new value.
func (a planned) changeWords(w *calculator.PlanWhatIf, unit length.Length) string {
	switch {
	case w.Kerf != nil:
		return "a kerf of " + fixed(*w.Kerf, unit) + " in place of " + fixed(*a.Used.Kerf, unit) + named("blade", w.Blade)
	case w.HoldBack != nil:
		return "a hold-back of " + fixed(*w.HoldBack, unit) + " in place of " + fixed(*a.Used.HoldBack, unit) + named("fixing", w.Fixing)
	}
	return "one more " + w.Board + " to choose from"
}

// named names what has a value; it is empty if nothing in the shop has it.
func named(what, name string) string {
	if name == "" {
		return ""
	}
	return " (" + what + " " + name + ")"
}

// about writes an estimate to a hundredth.
func (a planned) about(m endpoint.Money) string { return "about " + a.cash((m+50)/100*100) }
