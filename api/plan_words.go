package api

import (
	"fmt"
	"math"
	"strconv"

	"resawd/calc/length"
	"resawd/calc/plan"
)

// headline tells what is cut and what it costs.
func (a *PlanAnswer) headline() string {
	head := count(a.Stats.LeafCount, "leaf") + " from " + count(a.Stats.BoardCount, "board")
	if a.priced() {
		head += " for " + a.cash(a.Cost)
	}
	return head
}

// verdict says in a few words how good a plan is.
func (a *PlanAnswer) verdict() string {
	switch {
	case len(a.Taken) == 0:
		return "Nothing to cut."
	case a.Status == string(plan.Infeasible):
		return "The boards do not give every part."
	case a.Status == string(plan.Optimal):
		return "Proven: nobody can do it cheaper."
	}
	return "At most " + percentUp(a.Gap) + " from the best."
}

// remarks say what the verdict rests on.
func (a *PlanAnswer) remarks() (lines []string) {
	if len(a.Unmet) > 0 {
		lines = append(lines, a.unmetWords())
	}
	switch {
	case len(a.Taken) == 0:
		return lines
	case a.Gap == 0 && len(a.Unmet) > 0:
		lines = append(lines, "What is delivered, nobody can cut cheaper: that is proven.")
	case a.Gap > 0:
		lines = append(lines, fmt.Sprintf("Nobody can cut the same leaves for less than %s: that is proven. This plan costs %s, at most %s more than it must.",
			a.cash(a.LowerBound), a.cash(a.Cost), a.cash(a.Cost-a.LowerBound)))
	}
	return append(lines, a.stopWords()...)
}

func (a *PlanAnswer) unmetWords() string {
	if a.UnmetProven {
		return "That no plan leaves less unmet, by the order of the parts, is proven."
	}
	return "Whether another plan leaves less unmet is not known."
}

// stopWords say what ended a search that proved nothing.
func (a *PlanAnswer) stopWords() []string {
	const more = "; more of it may find a cheaper plan, or prove this one"
	switch plan.Stop(a.StoppedBy) {
	case plan.ByTime:
		return []string{"The search ended at its time limit of " + strconv.FormatFloat(*a.Used.TimeLimitSeconds, 'f', -1, 64) + " s" + more + "."}
	case plan.ByWork:
		return []string{"The search ended at its work limit" + more + "."}
	case plan.ByProof:
	}
	return nil
}

// percentUp tells a fraction as a percentage that is no smaller, to a hundredth.
func percentUp(fraction float64) string {
	return strconv.FormatFloat(math.Ceil(fraction*1e4-1e-6)/100, 'f', -1, 64) + " %"
}

// priced tells whether the boards have prices of their own; without any each
// costs 1, and the cost is a number of boards.
func (a *PlanAnswer) priced() bool {
	for i := range a.Used.Boards {
		if *a.Used.Boards[i].Price != Money(moneyUnit) {
			return true
		}
	}
	return false
}

// cash tells an amount as people write it.
func (a *PlanAnswer) cash(m Money) string {
	amount := length.Length(m)
	switch {
	case !a.priced() && amount%moneyUnit == 0:
		return count(int(amount/moneyUnit), "board")
	case amount%100 != 0:
		return amount.Decimal(moneyUnit) + " " + a.Currency
	}
	return amount.Fixed(moneyUnit, 2) + " " + a.Currency
}

// planFigures are the figures of the summary.
func planFigures(a *PlanAnswer) []figure {
	return []figure{
		{"Cost", a.cash(a.Cost)},
		{"Bound: nobody below", a.cash(a.LowerBound)},
		{"Gap", percentUp(a.Gap)},
		{"Boards", strconv.Itoa(a.Stats.BoardCount)},
		{"Billets", strconv.Itoa(a.Stats.BilletCount)},
		{"Leaves", strconv.Itoa(a.Stats.LeafCount)},
		{"Set-ups", strconv.Itoa(a.Stats.SetupCount)},
	}
}

// whatIfWords tell the estimates.
func whatIfWords(a *PlanAnswer, unit length.Length) []string {
	lines := make([]string, len(a.WhatIf))
	for i, w := range a.WhatIf {
		lines[i] = w.change(unit) + ": " + a.savingWords(w.SavingEstimate)
	}
	return lines
}

func (w *PlanWhatIf) change(unit length.Length) string {
	switch {
	case w.Kerf != nil && w.Blade != "":
		return "A kerf of " + fixed(*w.Kerf, unit) + " (blade " + w.Blade + ")"
	case w.Kerf != nil:
		return "A kerf of " + fixed(*w.Kerf, unit)
	case w.HoldBack != nil && w.Fixing != "":
		return "A hold-back of " + fixed(*w.HoldBack, unit) + " (fixing " + w.Fixing + ")"
	case w.HoldBack != nil:
		return "A hold-back of " + fixed(*w.HoldBack, unit)
	}
	return "One more " + w.Board
}

func (a *PlanAnswer) savingWords(m Money) string {
	switch {
	case m > 0:
		return "about " + a.cash(m) + " less"
	case m < 0:
		return "about " + a.cash(-m) + " more"
	}
	return "no change"
}

// cutSteps tell how a board is broken down, in order: crosscuts, then rips.
func (b *breakdown) cutSteps(unit length.Length) (steps []string) {
	for _, c := range b.cross {
		steps = append(steps, b.crosscutWords(c, unit))
	}
	if n := len(b.lengths); b.crosscut() && n > 0 && b.lengths[n-1].To == b.long {
		steps = append(steps, "What is left is "+b.lengthWords(&b.lengths[n-1], unit)+".")
	}
	for i := range b.lengths {
		steps = append(steps, b.ripSteps(&b.lengths[i], unit)...)
	}
	return steps
}

// crosscutWords tell a crosscut.
func (b *breakdown) crosscutWords(c plan.Line, unit length.Length) string {
	at := fixed(c.At, unit)
	switch {
	case c.Before && c.Piece == 0 && c.At == *b.used.EndTrim:
		return "Trim the end: crosscut at " + at + ", the kerf before the line."
	case c.Before:
		return "Crosscut at " + at + ", the kerf before the line: what comes off is offcut."
	case c.At == b.long-*b.used.EndTrim:
		return "Trim the other end: crosscut at " + at + ", the kerf behind the line. That leaves " + b.lengthWords(&b.lengths[c.Piece], unit) + "."
	}
	return "Crosscut at " + at + ", the kerf behind the line. That gives " + b.lengthWords(&b.lengths[c.Piece], unit) + "."
}

// lengthWords tell a length and whose it is.
func (b *breakdown) lengthWords(l *cutLength, unit length.Length) string {
	size := fixed(l.To-l.From, unit)
	if len(l.rips) == 0 && len(l.billets) == 1 {
		return "billet " + b.short(l.billets[0]) + ", " + size + " long: write it on"
	}
	return "the length for " + b.shorts(l.billets) + ", " + size + " long"
}

// ripSteps tell the rips of a length, measured from one edge.
func (b *breakdown) ripSteps(l *cutLength, unit length.Length) (steps []string) {
	whose := ""
	if len(b.lengths) > 1 {
		whose = "the length for " + b.shorts(l.billets) + " "
	}
	for _, r := range l.rips {
		bl := l.billets[r.Piece]
		if r.Before {
			steps = append(steps, "Rip "+whose+"at "+fixed(r.At, unit)+", the kerf before the line: what comes off is offcut.")
			continue
		}
		steps = append(steps, fmt.Sprintf("Rip %sat %s, the kerf behind the line. That gives billet %s, %s wide: write it on.", whose, fixed(r.At, unit), b.short(bl), b.wideWords(bl, unit)))
	}
	if n := len(l.billets); len(l.rips) > 0 && b.across(l.billets[n-1]).To == b.wide {
		last := l.billets[n-1]
		steps = append(steps, fmt.Sprintf("What is left is billet %s, %s wide: write it on.", b.short(last), b.wideWords(last, unit)))
	}
	return steps
}

func (b *breakdown) wideWords(bl *PlanBillet, unit length.Length) string {
	s := b.across(bl)
	return fixed(s.To-s.From, unit)
}
