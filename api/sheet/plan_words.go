package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/plan"
)

// planned is a plan to put into words.
type planned struct{ *calculator.PlanAnswer }

// headline says what is cut and what it costs.
func (a planned) headline() string {
	head := count(a.Stats.LeafCount, "leaf") + " from " + count(a.Stats.BoardCount, "board")
	if a.Priced() {
		head += " for " + a.cash(a.Cost)
	}
	return head
}

// verdict says in a few words how good a plan is.
func (a planned) verdict() string {
	switch {
	case len(a.Taken) == 0:
		return "Nothing to cut."
	case a.Status == string(plan.Infeasible):
		return "The boards do not give every part."
	case a.Status == string(plan.Optimal):
		return "Proven: no cheaper plan exists with these boards and these cuts."
	}
	return "At most " + percentUp(a.Gap) + " of the cost could be saved."
}

// remarks say what the verdict rests on.
func (a planned) remarks(unit length.Length) (lines []string) {
	if len(a.Unmet) > 0 {
		lines = append(lines, a.unmetWords())
		lines = append(lines, a.whyUnmet(unit)...)
	}
	switch {
	case len(a.Taken) == 0:
		return lines
	case a.Gap == 0 && len(a.Unmet) > 0:
		lines = append(lines, "Proven for what is delivered: no cheaper plan exists with these boards and these cuts.")
	case a.Gap > 0:
		lines = append(lines, fmt.Sprintf("Proven: with these boards and these cuts no plan for the same leaves costs less than %s. This one costs %s, at most %s more.",
			a.cash(a.LowerBound), a.cash(a.Cost), a.cash(a.Cost-a.LowerBound)))
	}
	return append(lines, a.stopWords()...)
}

// percentUp writes a fraction as a percentage that is not smaller, to a hundredth.
func percentUp(fraction float64) string {
	return strconv.FormatFloat(max(0, math.Ceil(fraction*1e4-1e-6))/100, 'f', -1, 64) + " %"
}

// Priced reports whether boards or the work have prices of their own. Without any, each
// board costs 1, and the cost is a number of boards.
func (a planned) Priced() bool {
	if a.worked() {
		return true
	}
	for i := range a.Used.Boards {
		if a.Used.Boards[i].Price != nil {
			return true
		}
	}
	return false
}

// worked reports whether passes or mounted billets have prices.
func (a planned) worked() bool {
	q := a.Used
	return endpoint.ValueOr(q.PassPrice, 0)+endpoint.ValueOr(q.PassLengthPrice, 0)+endpoint.ValueOr(q.BilletPrice, 0) > 0
}

// forBoards is the part of the cost that is for boards; the rest is for the work.
func (a planned) forBoards() (sum endpoint.Money) {
	price := make(map[string]endpoint.Money, len(a.Used.Boards))
	for i := range a.Used.Boards {
		price[*a.Used.Boards[i].Name] = a.Used.Boards[i].Cost()
	}
	for _, t := range a.Taken {
		sum += endpoint.Money(t.Copies) * price[t.Board]
	}
	return sum
}

// cash writes an amount as people do.
func (a planned) cash(m endpoint.Money) string {
	amount := length.Length(m)
	switch {
	case !a.Priced() && amount == endpoint.MoneyUnit:
		return "1 board"
	case !a.Priced():
		return amount.Decimal(endpoint.MoneyUnit) + " boards"
	case amount%100 != 0:
		return amount.Decimal(endpoint.MoneyUnit) + " " + a.Currency
	}
	return amount.Fixed(endpoint.MoneyUnit, 2) + " " + a.Currency
}

// planFigures are the figures of the summary.
func planFigures(a planned) []figure {
	list := []figure{{"Cost", a.cash(a.Cost)}}
	if a.worked() {
		list = append(list, figure{"For boards", a.cash(a.forBoards())}, figure{"For passes and mounting", a.cash(a.Cost - a.forBoards())})
	}
	return append(list, []figure{
		{"Lower bound", a.cash(a.LowerBound)},
		{"Gap", percentUp(a.Gap)},
		{"Boards", strconv.Itoa(a.Stats.BoardCount)},
		{"Billets", strconv.Itoa(a.Stats.BilletCount)},
		{"Leaves", strconv.Itoa(a.Stats.LeafCount)},
		{"Passes", strconv.Itoa(a.Stats.PassCount)},
		{"Set-ups", strconv.Itoa(a.Stats.SetupCount)},
	}...)
}

// cutSteps say how a board is broken down, in order: crosscuts, then rips.
func (b *breakdown) cutSteps(unit length.Length) (steps []string) {
	for _, c := range b.cross {
		steps = append(steps, b.crosscutWords(c, unit))
	}
	if n := len(b.lengths); b.crosscut() && n > 0 && b.lengths[n-1].To == b.long {
		steps = append(steps, "What is left: "+b.lengthWords(&b.lengths[n-1], unit))
	}
	for i := range b.lengths {
		steps = append(steps, b.ripSteps(&b.lengths[i], unit)...)
	}
	return steps
}

// crosscutWords describe a crosscut.
func (b *breakdown) crosscutWords(c plan.Line, unit length.Length) string {
	at := shopSize(c.At, unit)
	switch {
	case c.Before && c.Piece == 0 && c.At == *b.used.EndTrim:
		return "Trim the end: crosscut at " + at + ", " + kerfBefore
	case c.Before:
		return "Crosscut at " + at + ", " + kerfBefore + ": what comes off is an offcut"
	case c.At == b.long-*b.used.EndTrim:
		return "Trim the other end: crosscut at " + at + ": " + b.lengthWords(&b.lengths[c.Piece], unit)
	}
	return "Crosscut at " + at + ": " + b.lengthWords(&b.lengths[c.Piece], unit)
}

// shopSize tells where to crosscut or rip, beside the decimal also by the marks
// of a tape measure where one of its sixty-fourths is within 0.001 in.
func shopSize(l, unit length.Length) string {
	const mark, near = length.Inch / 64, length.Thou
	text := fixed(l, unit)
	nearest := l.Scale(1, int64(mark)) * mark
	if off := nearest - l; unit != length.Inch || off > near || off < -near || nearest%length.Inch == 0 {
		return text
	}
	fraction, _ := nearest.Fraction()
	return text + " (" + strings.TrimSuffix(fraction, " in") + ")"
}

const kerfBefore = "the kerf before the line"

// lengthWords describe a length and the billets in it.
func (b *breakdown) lengthWords(l *cutLength, unit length.Length) string {
	what := "length for "
	if len(l.rips) == 0 && len(l.billets) == 1 {
		what = "billet "
	}
	return what + b.shorts(l.billets) + ", " + shopSize(l.To-l.From, unit) + " long"
}

// ripSteps list the rips of a length, measured from one edge.
func (b *breakdown) ripSteps(l *cutLength, unit length.Length) (steps []string) {
	start := "Rip at "
	if len(b.lengths) > 1 {
		start = "Rip the length for " + b.shorts(l.billets) + " at "
	}
	for _, r := range l.rips {
		at := start + shopSize(r.At, unit)
		if r.Before {
			steps = append(steps, at+", "+kerfBefore+": what comes off is an offcut")
		} else {
			steps = append(steps, at+": "+b.wideWords(l.billets[r.Piece], unit))
		}
	}
	if last := l.billets[len(l.billets)-1]; len(l.rips) > 0 && b.across(last).To == b.wide {
		steps = append(steps, "What is left: "+b.wideWords(last, unit))
	}
	return steps
}

// ripWords describe the rips of lengths, one line for lengths that are ripped alike.
func (b *breakdown) ripWords(unit length.Length) (lines []string) {
	firsts := map[string][]*calculator.PlanBillet{} // by the rips
	for i := range b.lengths {
		l := &b.lengths[i]
		at := make([]string, len(l.rips))
		for j, r := range l.rips {
			at[j] = fixed(r.At, unit)
		}
		words := strings.Join(at, ", ")
		if firsts[words] = append(firsts[words], l.billets[0]); words != "" && len(firsts[words]) == 1 {
			lines = append(lines, words)
		}
	}
	for i, words := range lines {
		lines[i] = "Rip at " + words + ": " + plural(len(firsts[words]), "the length") + " of " + printable(b.shorts(firsts[words]))
	}
	return lines
}

// wideWords describe a ripped billet.
func (b *breakdown) wideWords(bl *calculator.PlanBillet, unit length.Length) string {
	s := b.across(bl)
	return "billet " + b.short(bl) + ", " + shopSize(s.To-s.From, unit) + " wide"
}
