package calculator

import (
	"fmt"

	"resawd/api/endpoint"
	"resawd/api/shop"
	"resawd/calc/align"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/run"
)

// bench is what the words of a run's set-up and routine depend on.
type bench struct {
	*RunRequest
	backlash length.Length // of the saw's screw
	blade    *align.Blade  // in its kerf; nil if the shop does not know its body
	measured string        // when the shop measured that kerf; empty for a kerf of the request
	foot     length.Length // 12 in or 300 mm
	show     func(length.Length) string
	rounded  func(length.Length) string // to what can be read at the saw
}

// protect is the step before the saw is plugged in. setup refers to it by its number,
// because cuts in scrap are repeated from there.
const protect = "Close the wheel covers and start the dust collection. Protect eyes, ears and lungs, and have everybody stand clear. Plug in, run the saw up briefly and check from outside that the blade tracks."

// setup lists what to do before the first cut, in order. The saw is unplugged whenever
// hands are at the blade. A run that goes on has been set up already.
//
// Source: common practice.
func (b bench) setup(done []run.Cut) []string {
	if len(done) > 0 {
		return b.goOn(done[len(done)-1])
	}
	steps := []string{
		"Switch the saw off and unplug it.",
		"Fit the blade, clean and sharp. Tension and track it by hand as the saw's manual says, and square it to the table.",
		"Lower the guide post and the guard to the board's width, " + b.show(*b.Board.Width) + "; only then set the guides and thrust bearings, above and below the table, as the manual says.",
		"Close the table insert around the blade, so that no thin leaf drops in. Check the rail and its supports: the carriage must run freely from end to end.",
		"Mount scrap of the same species and height: " + b.scrap() + ".",
		protect,
		"Make two cuts in the scrap: the first trues it, the second gives the kerf, which is the advance less the leaf. Switch off and wait for the blade to stop before you take the leaf. " + b.kerfWords(),
		"Start a third cut and stop halfway. Switch off, wait until the blade has stopped, and unplug. Read the gaps left and right behind the blade, as it stands in the kerf; then draw the scrap off it." + b.gapWords(),
	}
	again := "Correct what is off with the saw unplugged, and repeat the cuts from step %d. Print this sheet again with what was measured."
	return append(steps, fmt.Sprintf(again, stepOf(steps, protect)),
		"Still unplugged: mount the board on the fence along its whole length and height. Draw a slanting line across its top edge, so that the leaves can be put back in order."+b.bowWords(),
		b.zeroWords(),
		"Lock the cross-slide, and bring the carriage back until the board is clear of the blade.",
		"Protection on and everybody clear again: plug in, and cut.",
	)
}

// stepOf is the number of a step, from 1.
func stepOf(steps []string, step string) int {
	for i, s := range steps {
		if s == step {
			return i + 1
		}
	}
	return 0
}

// scrap is what the scrap must be like.
func (b bench) scrap() string {
	if b.Board.Species == nil {
		return b.show(*b.Board.Width)
	}
	return *b.Board.Species + ", " + b.show(*b.Board.Width)
}

// kerfWords says which kerf the sheet counts on, and how far to trust it.
func (b bench) kerfWords() string {
	kerf := "This sheet counts on a kerf of " + b.show(*b.Kerf)
	if *b.KerfBasis == "nominal" {
		return kerf + ", which is nominal: as the blade is sold, not as it cuts here."
	}
	return kerf + ", as measured" + b.measured + "; a blade that was changed or sharpened is measured again."
}

// measuredWords says when a blade's kerf was measured, and how much it had sawn by
// then.
func measuredWords(c *endpoint.Call, blade *shop.Blade) string {
	words := " on " + blade.MeasuredOn
	if blade.MeasuredAfterArea != nil {
		words += ", when the blade had sawn " + shopArea(c, blade.MeasuredAfterArea).Tell(c.Unit) + "; it shrinks as the set wears"
	}
	return words
}

// zeroWords says how to bring the board to the blade so that the dial stands at the
// start.
func (b bench) zeroWords() string {
	return fmt.Sprintf("Still unplugged: turn the dial back a turn or more, then forward to %d. Uncouple the cross-slide from the screw, slide it until the board's high spot "+
		"touches the tip of a tooth set toward the fence, and couple it. If it does not uncouple, come up to that tooth by the screw, the last motion forward, "+
		"and print this sheet again with the mark where the dial then stands as its start reading.", *b.StartReading)
}

// gapWords says which gaps this blade leaves when it stands parallel to the travel, and
// how far askew it rubs.
func (b bench) gapWords() string {
	if b.blade == nil {
		return ""
	}
	gap, err := b.blade.Clearance()
	degrees, err2 := b.blade.RubAngle()
	astray, err3 := b.blade.RubSlope(b.foot)
	if fault.First(err, err2, err3) != nil { // the kerf is that of another blade
		return ""
	}
	return fmt.Sprintf(" This blade leaves %s on each side where it runs parallel, and rubs from %.1f degrees askew: %s over %s.", b.rounded(gap), degrees, b.rounded(astray), b.show(b.foot))
}

// perCut lists the routine of every cut, in order.
//
// Source: common practice.
func (b bench) perCut() []string {
	return []string{
		"Carriage back, the board clear of the blade. Unlock the cross-slide, turn the dial forward by the move, lock, and read the dial again.",
		"Past the mark, and not cut yet? Turn back one whole turn, or two where one does not clear the overshoot and the backlash of " + b.show(b.backlash) + "; then forward to the mark.",
		"Cut at an even feed. No hand in line with the blade, and none past it or behind it while it runs.",
		"The leaf rides clear of the blade with the carriage before it is taken. Where it does not, switch off and wait until the blade has stopped.",
		b.wayBack(),
		"Write the leaf's number and mark on it, ease its edges, and measure it at both ends: top, middle and bottom.",
		"Cut at a wrong mark? Keep it. Write down what the dial read, and follow the moves from there: every reading after it shifts by as much.",
		"Lost count? As many cuts are made as pieces came off. To check, unplug and measure what is left on the fence: with the \"at\" of the last cut it makes up " + b.show(*b.Board.Thickness) + ".",
	}
}

// wayBack says how the carriage returns past the blade.
func (b bench) wayBack() string {
	if *b.Retract == 0 {
		return "Way back: switch off and wait until the blade has stopped, then bring the carriage back. The fresh face lies right at the teeth."
	}
	return "Way back: the board clear of the blade, unlock, turn the dial back by the retract, " + b.retractWords() + ", lock, and return. The next move takes it up again."
}

// retractWords writes the retract as a length and as the dial counts it.
func (b bench) retractWords() string {
	screw := b.Screw()
	turns, divisions := screw.Split(screw.DivisionsUp(*b.Retract))
	return fmt.Sprintf("%s (turns + divisions: %d + %d)", b.show(*b.Retract), turns, divisions)
}

// benchOf is what the words of a run depend on.
func benchOf(c *endpoint.Call, q *RunRequest) bench {
	saw, _ := c.Shop.Saw(*q.Saw) // the saw that filled in the request
	b := bench{
		RunRequest: q, backlash: endpoint.ValueOr(q.Backlash, *saw.Backlash), foot: inUnits(c, length.Foot, 300*length.Millimetre),
		show: c.Show, rounded: func(l length.Length) string { return rounded(c, l) },
	}
	if q.Blade != nil {
		if own, ok := c.Shop.Blade(*q.Blade); ok {
			b.blade = &align.Blade{Width: *own.Width, Body: *own.BodyThickness, Kerf: *q.Kerf}
			if q.Kerf == own.Kerf && own.MeasuredOn != "" {
				b.measured = measuredWords(c, own)
			}
		}
	}
	return b
}
