package dial

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// MaxCuts is the most cuts one schedule holds.
const MaxCuts = 10_001

// maxAdvance bounds what one pass may ask of the screw.
const maxAdvance = length.Metre

// Rounding is how advances become whole divisions.
type Rounding int

// The ways to round.
const (
	ByStep     Rounding = iota // the same divisions at every pass
	ByPosition                 // each position as near as the dial can set it
)

// RoundUp is the step that an advance is rounded up to, so that it is easy to
// count.
type RoundUp int

// The steps to round up to.
const (
	NoRoundUp RoundUp = iota
	ToDivision
	ToHalfTurn
	ToTurn
)

// Purpose is what a step of a schedule is for.
type Purpose int

// The purposes of a step.
const (
	Skim   Purpose = iota // the first, truing pass
	Leaf                  // a pass that frees a leaf
	Rezero                // winding the screw back; no cut
)

// Setting is what stays the same over a schedule.
type Setting struct {
	Screw
	Kerf         length.Length
	Travel       length.Length // of the screw before it must be wound back; 0 for no limit
	Retract      length.Length // backed off before the carriage returns
	StartReading int           // the mark the dial stands at in position zero
	From         length.Length // the position that the schedule goes on from
	WoundTurns   int           // turns that the screw was wound back on the way there
	Rounding     Rounding
	RoundUp      RoundUp // of leaves; it rules over Rounding
}

// BackedOff gives how far the board moves when the dial is turned back by a
// retract: what is left of it when the backlash is taken up, or nothing.
//
// Source: definition of backlash.
// Valid: any lengths.
func BackedOff(retract, backlash length.Length) length.Length {
	return max(0, retract-backlash)
}

// Pass is one cut that is asked for: the thickness it takes off beside the kerf.
type Pass struct {
	Purpose   Purpose // Skim or Leaf
	Thickness length.Length
	Together  int // passes from this one on that no re-zero may part; 0 counts as 1
}

// quantity is what a fault calls a pass's thickness.
func (p Pass) quantity() string {
	if p.Purpose == Skim {
		return "skim"
	}
	return "leaf thickness"
}

// Step is one move of the dial. Its divisions are as set, from where the dial
// stands (backed off by the retract, if any) to where it must come. A re-zero
// begins where the retract has been undone.
type Step struct {
	Cut       int // ordinal of the cut; 0 for a re-zero
	Purpose   Purpose
	Position  length.Length // after the move, from the start of the schedule
	Divisions int64         // set in this move; negative when wound back
	Reading   int           // after the move
	Tally     int           // whole turns from the zero mark, after the move; less when wound back
	Thickness length.Length // that the move gives beside the kerf
	Deviation length.Length // Thickness less the one asked
}

// Job is a run of leaves that are all alike.
type Job struct {
	Setting
	LeafThickness length.Length
	LeafCount     int
	Skim          length.Length // 0 for no truing pass
}

// Table is the schedule of a job.
type Table struct {
	Advance           length.Length // asked: kerf + leaf
	AdvanceSet        length.Length // the advance that the dial can do
	Divisions         int64         // of AdvanceSet
	LeafDeviation     length.Length // the largest, whatever its sign
	PositionDeviation length.Length // the largest, whatever its sign
	Steps             []Step
}

// Schedule gives the moves of a job: a truing pass where there is a skim, then
// every leaf. A leaf of thickness t asks for an advance of kerf + t.
//
// Source: definition (package comment).
// Valid: thicknesses above zero and advances up to 1 m, leads up to 1 m, 1 to
// 10 000 divisions and leaves. A travel shorter than an advance is a
// [fault.NoSolution].
func Schedule(job Job) (Table, error) {
	if err := fault.First(
		fault.Within("leaf count", job.LeafCount, 1, MaxCuts-1),
		fault.Within("skim", job.Skim, 0, maxAdvance),
	); err != nil {
		return Table{}, err
	}
	passes := make([]Pass, 0, job.LeafCount+1)
	if job.Skim > 0 {
		passes = append(passes, Pass{Purpose: Skim, Thickness: job.Skim})
	}
	for range job.LeafCount {
		passes = append(passes, Pass{Purpose: Leaf, Thickness: job.LeafThickness})
	}
	steps, err := Steps(job.Setting, passes)
	if err != nil {
		return Table{}, err
	}
	divisions := job.divisions(passes[len(passes)-1], job.Kerf+job.LeafThickness)
	table := Table{
		Advance:    job.Kerf + job.LeafThickness,
		AdvanceSet: job.Distance(divisions),
		Divisions:  divisions,
		Steps:      steps,
	}
	table.deviations(job)
	return table, nil
}

// FarOff reports whether leaves come more than a tenth of their thickness off: thicker
// where their advance is rounded up to a step that is easy to count, either way where
// the dial is coarse.
//
// Source: common practice.
// Valid: a table of [Schedule] for leaves of that thickness.
func (t Table) FarOff(leafThickness length.Length) bool {
	return 10*t.LeafDeviation > leafThickness
}

// deviations finds the largest departures from what was asked.
func (t *Table) deviations(job Job) {
	ideal := length.Length(0)
	for _, step := range t.Steps {
		switch step.Purpose {
		case Rezero:
			continue
		case Skim:
			ideal += job.Skim + job.Kerf
		case Leaf:
			ideal += t.Advance
			t.LeafDeviation = max(t.LeafDeviation, step.Deviation, -step.Deviation)
		}
		off := step.Position - ideal
		t.PositionDeviation = max(t.PositionDeviation, off, -off)
	}
}

// Steps gives the moves for passes of any thicknesses, with the re-zeros that
// the screw's travel makes necessary.
//
// Source: definition (package comment).
// Valid: as [Schedule]; up to [MaxCuts] passes, a truing pass first if there is
// one. Where whole divisions of the dial leave nothing of a leaf, that is a
// [fault.NoSolution].
func Steps(setting Setting, passes []Pass) ([]Step, error) {
	if err := setting.check(passes); err != nil {
		return nil, err
	}
	targets := setting.targets(passes)
	if err := setting.checkTravel(passes, targets); err != nil {
		return nil, err
	}
	w := winder{
		Setting: setting, steps: make([]Step, 0, len(passes)), retract: setting.DivisionsUp(setting.Retract),
		at: setting.Divisions(setting.From), wound: int64(setting.WoundTurns) * int64(setting.DivisionsPerTurn),
	}
	for i, pass := range passes {
		w.makeRoom(targets[lastTogether(passes, i)])
		if err := w.cut(pass, targets[i]); err != nil {
			return nil, err
		}
	}
	return w.steps, nil
}

// lastTogether gives the last pass that no re-zero may part from pass i.
func lastTogether(passes []Pass, i int) int {
	return min(i+max(passes[i].Together, 1), len(passes)) - 1
}

// checkTravel wants a screw that, wound back before a pass as far as may be,
// reaches the last of the passes that stand together from that one on.
func (s Setting) checkTravel(passes []Pass, targets []int64) error {
	if s.Travel == 0 {
		return nil
	}
	var needed length.Length
	at := s.Divisions(s.From)
	for i, target := range targets {
		needed = max(needed, s.Distance(targets[lastTogether(passes, i)]-s.windable(at)))
		at = target
	}
	if needed <= s.Travel {
		return nil
	}
	return &fault.NoSolution{
		Quantity: "travel", Value: s.Travel, Needed: needed,
		Why: "for the passes that must be made without winding the screw back",
	}
}

// windable gives how far the screw can be wound back, in whole turns, from so
// many divisions: all turns but one, which a re-zero winds back and forward
// again to take up the backlash.
func (s Setting) windable(divisions int64) int64 {
	n := int64(s.DivisionsPerTurn)
	return max(0, divisions/n-1) * n
}

func (s Setting) check(passes []Pass) error {
	err := fault.First(
		s.Screw.check(),
		fault.Within("kerf", s.Kerf, 0, maxAdvance),
		fault.Within("travel", s.Travel, 0, length.Max),
		fault.Within("retract", s.Retract, 0, s.Lead),
		fault.Within("start reading", s.StartReading, 0, s.DivisionsPerTurn-1),
		fault.Within("from", s.From, 0, length.Max),
		fault.Within("cut count", len(passes), 1, MaxCuts),
		fault.Within("rounding", int(s.Rounding), int(ByStep), int(ByPosition)),
		fault.Within("round up to", int(s.RoundUp), int(NoRoundUp), int(ToTurn)),
	)
	if err == nil {
		err = fault.Within("wound turns", s.WoundTurns, 0, int(s.From/s.Lead))
	}
	if err == nil && s.RoundUp == ToHalfTurn && s.DivisionsPerTurn%2 == 1 {
		err = &fault.NoSolution{
			Quantity: "divisions per turn", Value: s.DivisionsPerTurn, Needed: s.DivisionsPerTurn + 1,
			Why: "or any even number, for half a turn to be whole divisions",
		}
	}
	for _, pass := range passes {
		err = fault.First(err,
			fault.Within("purpose", int(pass.Purpose), int(Skim), int(Leaf)),
			fault.Above(pass.quantity(), pass.Thickness, 0, maxAdvance))
	}
	return err
}

// targets gives the position of every pass in whole divisions from zero.
func (s Setting) targets(passes []Pass) []int64 {
	targets := make([]int64, len(passes))
	ideal, at := s.From, s.Divisions(s.From)
	for i, pass := range passes {
		advance := s.Kerf + pass.Thickness
		ideal += advance
		at += s.divisions(pass, advance)
		if s.Rounding == ByPosition && s.RoundUp == NoRoundUp && pass.Purpose == Leaf {
			at = s.Divisions(ideal)
		}
		targets[i] = at
	}
	return targets
}

// divisions gives the whole divisions that a pass's advance is set to when it
// is rounded by itself. Only leaves are rounded up to turns: a truing pass is not
// counted over and over. A truing pass that would take nothing beside its kerf is
// one division more, so that however little a board bows, the pass meets it.
func (s Setting) divisions(pass Pass, advance length.Length) int64 {
	switch {
	case pass.Purpose == Skim:
		return max(s.Divisions(advance), s.above(s.Kerf+1, 1))
	case pass.Purpose == Leaf && s.RoundUp == ToDivision:
		return s.above(advance, 1)
	case pass.Purpose == Leaf && s.RoundUp == ToHalfTurn:
		return s.above(advance, s.DivisionsPerTurn/2)
	case pass.Purpose == Leaf && s.RoundUp == ToTurn:
		return s.above(advance, s.DivisionsPerTurn)
	}
	return s.Divisions(advance)
}

// winder follows the screw while the steps are made. Its numbers are divisions.
type winder struct {
	Setting
	steps   []Step
	at      int64 // the position reached, from zero
	wound   int64 // how far the screw was wound back in all
	retract int64 // backed off before the carriage returns
	back    int64 // how far behind the position the dial stands now
	cuts    int
}

// makeRoom winds the screw back, as far as may be, when it does not reach the
// target. The retract is undone first.
func (w *winder) makeRoom(target int64) {
	if w.reaches(target) {
		return
	}
	turned := w.windable(w.at - w.wound)
	w.wound, w.back = w.wound+turned, 0
	w.add(Step{Purpose: Rezero, Divisions: -turned})
}

func (w *winder) reaches(target int64) bool {
	return w.Travel == 0 || w.Distance(target-w.wound) <= w.Travel
}

// cut makes the move to a target and the pass there.
func (w *winder) cut(pass Pass, target int64) error {
	thickness := w.Distance(target) - w.Distance(w.at) - w.Kerf
	if thickness <= 0 {
		return &fault.NoSolution{
			Quantity: pass.quantity(), Value: pass.Thickness, Needed: w.Distance(w.above(pass.Thickness, 1)),
			Why: "for the whole divisions of the dial to leave anything beside the kerf",
		}
	}
	move := target - w.at + w.back
	w.at, w.back = target, w.retract
	w.cuts++
	w.add(Step{
		Cut: w.cuts, Purpose: pass.Purpose, Divisions: move,
		Thickness: thickness, Deviation: thickness - pass.Thickness,
	})
	return nil
}

// add notes a step that leaves the board at the position reached.
func (w *winder) add(step Step) {
	step.Position = w.Distance(w.at)
	step.Reading = w.Reading(w.StartReading, w.at)
	stands := int64(w.StartReading) + w.at - w.wound
	step.Tally = int((stands - int64(step.Reading)) / int64(w.DivisionsPerTurn))
	w.steps = append(w.steps, step)
}
