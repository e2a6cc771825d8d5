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
}

func (c Cut) check() error {
	return fault.First(
		fault.Above("leaf thickness", c.LeafThickness, 0, length.Max),
		fault.Within("goal", int(c.Goal), int(Finish), int(Speed)),
	)
}

// judge scores one blade. The four parts weigh alike.
func judge(b Blade, cut Cut, teeth Teeth) Ranked {
	teethPart, teethReason := judgeTeeth(b.TPI, teeth)
	widthPart, widthReason := judgeWidth(b.Width, cut.StockHeight)
	toothPart, toothReasons := judgeTooth(b, cut)
	r := Ranked{
		Blade: b,
		Suits: !teethReason.Kind.Against() && !widthReason.Kind.Against(),
		Loss:  KerfLoss(b.Kerf, cut.LeafThickness),
	}
	r.Score = (teethPart + widthPart + toothPart + goalPart(b.TPI, r.Loss, cut.Goal, teeth)) / 4
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

func judgeTeeth(tpi float64, teeth Teeth) (part float64, r Reason) {
	switch {
	case tpi > teeth.High:
		return teeth.High / tpi, Reason{TeethTooFine, tpi, teeth.High}
	case tpi < teeth.Low:
		return tpi / teeth.Low, Reason{TeethTooCoarse, tpi, teeth.Low}
	}
	return 1, Reason{Kind: TeethRight, Value: tpi}
}

func judgeWidth(w, stockHeight length.Length) (part float64, r Reason) {
	wanted := width
	if stockHeight > tall {
		wanted = tallWidth
	}
	if w < wanted {
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
