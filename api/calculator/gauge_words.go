package calculator

import (
	"fmt"
	"strings"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/dial"
	"resawd/calc/gauge"
	"resawd/calc/length"
)

// findingWords says what a finding means.
func findingWords(c *endpoint.Call, f gauge.Shaped) string {
	by, along := rounded(c, max(f.By, -f.By)), "from top to bottom"
	if f.Finding == gauge.Taper {
		along = "from end to end"
	}
	switch {
	case f.Finding == gauge.Barrel:
		return fmt.Sprintf("leaf %d differs by %s in the middle: the blade bows; feed slower, or look at its tension, teeth and guides", f.Leaf, by)
	case f.Pair:
		return fmt.Sprintf("leaves %d and %d differ %s, the opposite way and by %s or so: the one cut between them strayed; look at that cut, not at the dial", f.Leaf, f.Leaf+1, along, by)
	}
	return fmt.Sprintf("leaf %d differs %s by %s: something changed between two cuts, since what repeats cancels; look for a slide that was not locked, a board that lifts, a blade that wanders, dust behind the board", f.Leaf, along, by)
}

// adviceOf turns the advice on the dial into its answer.
func adviceOf(c *endpoint.Call, q *GaugeRequest, k gauge.Advice) *GaugeAdvice {
	a := &GaugeAdvice{
		Move: k.Move, Change: k.Change, Bias: GaugeInterval(k.Bias), Confidence: k.Confidence,
		Reason: adviceReasons[k.Reason], Words: adviceWords(c, q, k),
	}
	if len(q.Advances) > 0 {
		a.Advance = &k.Advance
	}
	return a
}

// adviceWords says what to do with the dial, and why.
func adviceWords(c *endpoint.Call, q *GaugeRequest, k gauge.Advice) string {
	side := "thick"
	if k.Bias.Estimate < 0 {
		side = "thin"
	}
	sure := strings.TrimSuffix(fmt.Sprintf("%.1f", 100*k.Confidence), ".0") + " %"
	bias := fmt.Sprintf("leaves come out %s too %s, between %s and %s with a confidence of %g %%",
		finely(c, max(k.Bias.Estimate, -k.Bias.Estimate)), side, signed(c, k.Bias.Low), signed(c, k.Bias.High), 100**q.Confidence)
	switch k.Reason {
	case gauge.Noise:
		return "Leave the dial: " + bias + ", which may be noise, and correcting noise makes it worse."
	case gauge.BelowDivision:
		return "Leave the dial: " + bias + ", but no whole division brings them nearer."
	default:
	}
	move := "less"
	if k.Change > 0 {
		move = "more"
	}
	change := max(k.Change, -k.Change)
	words := fmt.Sprintf("Turn %s (%s) %s at every cut", divisionWords(dial.Screw{Lead: *q.Lead, DivisionsPerTurn: *q.DivisionsPerTurn}.Divisions(change)), rounded(c, change), move)
	if len(q.Advances) > 0 {
		words += ", an advance of " + rounded(c, k.Advance)
	}
	return words + ": " + bias + "; that they are too " + side + " at all is " + sure + " sure."
}

func divisionWords(n int64) string {
	if n == 1 {
		return "1 division"
	}
	return fmt.Sprintf("%d divisions", n)
}

// finely writes a length with a digit more than a caliper shows, for what many readings
// give.
func finely(c *endpoint.Call, l length.Length) string {
	return l.Fixed(c.Unit, rule.Decimals(c.Unit)+1) + " " + rule.UnitName(c.Unit)
}

// signed writes a length finely and with its sign.
func signed(c *endpoint.Call, l length.Length) string {
	if l > 0 {
		return "+" + finely(c, l)
	}
	return finely(c, l)
}
