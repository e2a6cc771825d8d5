package sheet

import (
	"slices"
	"testing"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// planOf makes an answer of one board whose price is told in ten-thousandths.
func planOf(price, cost, bound endpoint.Money) planned {
	seconds := 10.0
	return planned{&calculator.PlanAnswer{
		Status: "optimal", StoppedBy: "proof", Cost: cost, LowerBound: bound, Gap: float64(cost-bound) / float64(cost), Currency: "USD",
		Taken: []calculator.PlanTaken{{}}, Used: &calculator.PlanRequest{Boards: []calculator.PlanBoard{{Price: &price}}, TimeLimitSeconds: &seconds},
	}}
}

// TestVerdicts: what is proven is told so, and nothing else.
func TestVerdicts(t *testing.T) {
	proven := planOf(50_0000, 100_0000, 100_0000)
	feasible := planOf(50_0000, 100_0000, 99_2000)
	feasible.Status, feasible.StoppedBy = "feasible", "time"
	worked := planOf(50_0000, 100_0000, 99_9999)
	worked.Status, worked.StoppedBy = "feasible", "work"
	short := planOf(50_0000, 100_0000, 100_0000)
	short.Status, short.Unmet, short.UnmetProven = "infeasible", []calculator.PlanUnmet{{Part: "back", Quantity: 2}, {Part: "side", Quantity: 4}}, true
	open := planOf(50_0000, 100_0000, 90_0000)
	open.Status, open.StoppedBy, open.Unmet = "infeasible", "time", []calculator.PlanUnmet{{Part: "back", Quantity: 2}}
	longest := planOf(50_0000, 100_0000, 90_0000)
	longest.Status, longest.StoppedBy, longest.Used.TimeLimitSeconds = "feasible", "time", new(60.0)
	full := planOf(50_0000, 100_0000, 90_0000)
	full.Status, full.StoppedBy, full.Stats.MemoryFull = "feasible", "time", true
	nothing := planOf(50_0000, 0, 0)
	nothing.Taken, nothing.Gap = nil, 0
	for name, row := range map[string]struct {
		plan    planned
		verdict string
		remarks []string
	}{
		"proven": {proven, "Proven: no cheaper plan exists with these boards and these cuts.", nil},
		"ended by the clock": {feasible, "At most 0.8 % of the cost could be saved.", []string{
			"Proven: with these boards and these cuts no plan for the same leaves costs less than 99.20 USD. This one costs 100.00 USD, at most 0.80 USD more.",
			"The search ended at its time limit of 10 s. Ask again with a longer one: that may give a cheaper plan, or prove this one.",
		}},
		"ended by its work, a hair apart": {worked, "At most 0.01 % of the cost could be saved.", []string{
			"Proven: with these boards and these cuts no plan for the same leaves costs less than 99.9999 USD. This one costs 100.00 USD, at most 0.0001 USD more.",
			"The search ended at its work limit. Ask again with a larger one: that may give a cheaper plan, or prove this one.",
		}},
		"too few boards": {short, "The boards do not give every part.", []string{
			"Missing: 2 x back, 4 x side. Proven: these boards give no more than this plan, where kits come before other parts and each in its order.",
			"Proven for what is delivered: no cheaper plan exists with these boards and these cuts.",
		}},
		"too few boards, nothing proven": {open, "The boards do not give every part.", []string{
			"Missing: 2 x back. Another plan may leave less unmet: that none does is not proven.",
			"Proven: with these boards and these cuts no plan for the same leaves costs less than 90.00 USD. This one costs 100.00 USD, at most 10.00 USD more.",
			"The search ended at its time limit of 10 s. Ask again with a longer one: that may give a cheaper plan, or prove this one.",
		}},
		"ended by the clock at its most": {longest, "At most 10 % of the cost could be saved.", []string{
			"Proven: with these boards and these cuts no plan for the same leaves costs less than 90.00 USD. This one costs 100.00 USD, at most 10.00 USD more.",
			"The search ended at its time limit, the longest there is. Ask for fewer parts or boards at once: that may give a cheaper plan, or prove this one.",
		}},
		"out of memory": {full, "At most 10 % of the cost could be saved.", []string{
			"Proven: with these boards and these cuts no plan for the same leaves costs less than 90.00 USD. This one costs 100.00 USD, at most 10.00 USD more.",
			"The search ended at its time limit of 10 s. It had filled the memory that a plan may use, so that more time may not help. Ask for fewer parts or boards at once: that may give a cheaper plan, or prove this one.",
		}},
		"nothing": {nothing, "Nothing to cut.", nil},
	} {
		if got := row.plan.verdict(); got != row.verdict {
			t.Errorf("%s: %q, want %q", name, got, row.verdict)
		}
		if got := row.plan.remarks(length.Inch); !slices.Equal(got, row.remarks) {
			t.Errorf("%s:\n%q\nwant\n%q", name, got, row.remarks)
		}
	}
}

// TestPercentUp: never less than the gap, to a hundredth of a percent.
func TestPercentUp(t *testing.T) {
	for fraction, want := range map[float64]string{0: "0 %", 1e-9: "0.01 %", 0.0001: "0.01 %", 0.00011: "0.02 %", 0.008: "0.8 %", 0.07: "7 %", 0.29: "29 %", 0.57: "57 %", 1: "100 %"} {
		if got := percentUp(fraction); got != want {
			t.Errorf("%g is %s, want %s", fraction, got, want)
		}
	}
}

// TestCash: money with two decimals, four where it has them, and boards where
// none has a price.
func TestCash(t *testing.T) {
	for _, row := range []struct {
		price, amount endpoint.Money // a price below 0 is none
		want          string
	}{
		{64_5000, 129_0000, "129.00 USD"}, {64_5000, 64_5000, "64.50 USD"}, {64_5050, 64_5050, "64.505 USD"}, {1_0001, 1_0001, "1.0001 USD"},
		{-1, 1_0000, "1 board"}, {-1, 3_0000, "3 boards"}, {-1, 2_5000, "2.5 boards"}, {-1, 0, "0 boards"}, {0, 0, "0.00 USD"}, {1_0000, 1_0000, "1.00 USD"},
	} {
		a := planOf(row.price, 1, 1)
		if row.price < 0 {
			a.Used.Boards[0].Price = nil
		}
		if got := a.cash(row.amount); got != row.want {
			t.Errorf("%d is %q, want %q", row.amount, got, row.want)
		}
	}
}

// TestWhatIfWords: each change in words, but for those that save less than half a cent.
func TestWhatIfWords(t *testing.T) {
	kerf, back := 40*length.Thou, length.Inch/16
	a := planOf(50_0000, 100_0000, 100_0000)
	a.WhatIf = []calculator.PlanWhatIf{
		{Change: "extra_board", Board: "oak-1", SavingEstimate: 12_3456},
		{Change: "extra_board", Board: "oak-2", SavingEstimate: 49},
		{Change: "kerf", Kerf: &kerf, Blade: "narrow", SavingEstimate: 5_0000},
		{Change: "kerf", Kerf: &kerf, SavingEstimate: 1_0000},
		{Change: "hold_back", HoldBack: &back, Fixing: "tape", SavingEstimate: 50},
		{Change: "hold_back", HoldBack: &back, SavingEstimate: 2_0000},
	}
	a.Used.Kerf, a.Used.HoldBack = new(45*length.Thou), new(length.Inch/8)
	want := []string{
		"one more oak-1 to choose from: the same leaves for about 12.35 USD less",
		"a kerf of 0.040 in place of 0.045 (blade narrow): the same leaves for about 5.00 USD less",
		"a kerf of 0.040 in place of 0.045: the same leaves for about 1.00 USD less",
		"a hold-back of 0.063 in place of 0.125 (fixing tape): the same leaves for about 0.01 USD less",
		"a hold-back of 0.063 in place of 0.125: the same leaves for about 2.00 USD less",
	}
	if got := whatIfWords(a, length.Inch); !slices.Equal(got, want) {
		t.Errorf("%q\nwant\n%q", got, want)
	}
}
