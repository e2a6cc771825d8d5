package blade

import (
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// Cut is what a blade is wanted for.
type Cut struct {
	StockHeight   length.Length
	LeafThickness length.Length
	Feed          feed.Speed
	Operation     Operation
	Gum           Gum
	Goal          Goal
	WidestBlade   length.Length // that the saw takes; 0: any
}

func (c Cut) check() error {
	return fault.First(
		fault.Above("leaf thickness", c.LeafThickness, 0, length.Max),
		fault.Within("goal", int(c.Goal), int(Finish), int(Speed)),
		fault.Within("widest blade", c.WidestBlade, 0, length.Max),
	)
}

// judge scores one blade. The four parts weigh alike, and whether it suits as
// much as all of them.
func judge(b Blade, cut Cut, teeth Teeth) Ranked {
	teethPart, teethReason := judgeTeeth(b.TPI, teeth, cut.Goal)
	widthPart, widthReason := judgeWidth(b.Width, cut)
	toothPart, toothReasons := judgeTooth(b, cut)
	r := Ranked{
		Blade: b,
		Suits: !teethReason.Kind.Forbids() && !widthReason.Kind.Forbids(),
		Loss:  KerfLoss(b.Kerf, cut.LeafThickness),
	}
	r.Score = (teethPart + widthPart + toothPart + goalPart(b.TPI, r.Loss, cut.Goal, teeth)) / 8
	if r.Suits {
		r.Score += 0.5
	}
	r.Reasons = append([]Reason{teethReason, widthReason}, toothReasons...)
	r.Reasons = append(r.Reasons, Reason{Kind: KerfLost, Value: r.Loss})
	return r
}

// KerfLoss gives the share of the wood of one advance that becomes dust: kerf
// over kerf and leaf.
//
// Source: definition.
// Valid: 0 <= kerf, 0 < leaf.
func KerfLoss(kerf, leaf length.Length) float64 { return kerf.In(kerf + leaf) }

func judgeTeeth(tpi float64, teeth Teeth, goal Goal) (part float64, r Reason) {
	switch {
	case tpi > teeth.High:
		return teeth.High / tpi, Reason{TeethTooFine, tpi, teeth.High}
	case tpi < teeth.Low && goal == Speed:
		return 1, Reason{TeethCoarse, tpi, teeth.Low}
	case tpi < teeth.Low:
		return tpi / teeth.Low, Reason{TeethCoarse, tpi, teeth.Low}
	}
	return 1, Reason{Kind: TeethRight, Value: tpi}
}

// judgeWidth judges the width, first by what the saw takes, then by what keeps straight.
func judgeWidth(w length.Length, cut Cut) (part float64, r Reason) {
	wanted := usualWidth
	if cut.StockHeight > tall {
		wanted = tallWidth
	}
	switch {
	case cut.WidestBlade > 0 && w > cut.WidestBlade:
		return cut.WidestBlade.In(w), Reason{WidthTooLarge, w, cut.WidestBlade}
	case w < wanted:
		return w.In(wanted), Reason{WidthTooSmall, w, wanted}
	}
	return 1, Reason{WidthRight, w, wanted}
}

// judgeTooth judges form and tip; each that is wrong loses half.
func judgeTooth(b Blade, cut Cut) (part float64, reasons []Reason) {
	gummy := cut.Gum == HighGum
	switch {
	case cut.Operation == Crosscut && b.Form != Regular:
		reasons = append(reasons, Reason{Kind: FormRough, Value: b.Form})
	case cut.Operation != Crosscut && gummy && b.Form == Regular:
		reasons = append(reasons, Reason{Kind: FormClogs, Value: b.Form})
	}
	switch {
	case cut.Gum == UnknownGum:
	case b.Carbide && !gummy:
		reasons = append(reasons, Reason{Kind: CarbideRough})
	case !b.Carbide && gummy:
		reasons = append(reasons, Reason{Kind: CarbideWanted})
	}
	return 1 - float64(len(reasons))/2, reasons
}

func goalPart(tpi, loss float64, goal Goal, teeth Teeth) float64 {
	switch goal {
	case Recovery:
		return 1 - loss
	case Speed:
		return min(1, teeth.Low/tpi)
	case Finish:
	}
	return min(1, tpi/teeth.High)
}
