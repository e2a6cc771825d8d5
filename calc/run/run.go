package run

import (
	"resawd/calc/blade"
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// Cut is one row of the sheet: a cut, or the winding back of the screw.
type Cut struct {
	Cut        int // ordinal; 0 for a re-zero and for the rest
	Purpose    dial.Purpose
	Rest       bool   // the last leaf, which is what remains and needs no cut
	Stops      []Stop // before this cut
	Entry      int    // index into Input.Leaves; -1 where no leaf comes off
	Leaf       int    // ordinal; 0 where no leaf comes off
	Name       string // of the entry
	Mark       Mark
	Thickness  length.Length // that comes off beside the kerf, as the dial sets it
	Advance    length.Length // the same with the kerf
	Turns      float64       // of the dial in this move; negative when wound back
	WholeTurns int           // the same, split
	Divisions  int
	Reading    int // after the move
	TurnTally  int // whole turns from the zero mark, after the move
	Position   length.Length
	CutSeconds float64
	BoardLeft  length.Length // thickness on the fence after the cut
}

// Summary is the run as a whole.
type Summary struct {
	LeafCount         int
	LeafCountLeast    int   // where every kerf is wider by its margin
	Counts            []int // leaves of each entry
	CutCount          int
	CleanCount        int
	RezeroCount       int
	Time              feed.Breakdown
	TotalSeconds      float64
	SkimLoss          length.Length // as asked
	Recovery          float64       // leaf wood out over wood in, as the dial sets it
	KerfShare         float64       // kerfs of all cuts over wood in, 0 to 1
	LastLeafThickness length.Length // where it is the rest; else 0
	LeftOnFence       length.Length
	Remainder         length.Length // LeftOnFence less the hold-back, 0 after a [DialOverrun]
	LeafDeviation     length.Length // the largest of the leaves that are sawn off, whatever its sign
	PositionDeviation length.Length // the largest, whatever its sign
	FeedPerToothMM    float64
	Teeth             blade.Teeth // that suit the board's width
	BladeSuits        bool
	SawnAreaMM2       float64 // of all cuts
}

// Sheet is the run sheet of one billet.
type Sheet struct {
	Summary  Summary
	Done     []Cut // made before, where a run goes on
	Cuts     []Cut
	Warnings []Warning
}

// Compose gives the run sheet of a billet.
//
// Source: definition and common practice (package comment); the formulas of
// packages yield, dial, feed and blade.
// Valid: a board up to the cutting height and, twice with run-in and run-out, the rail
// length; 0 < thicknesses <= 1 m; up to [MaxLeaves] leaves; what the composed
// packages take. Leaves that do not fit and a matched set longer than the travel
// are a *[fault.NoSolution]; a fault of one entry is a *[fault.Entry]. Where cuts
// are done, at least one must remain, and the last of them must have taken something off.
func Compose(in Input) (Sheet, error) {
	if err := in.check(); err != nil {
		return Sheet{}, err
	}
	if in.Done != (Done{}) {
		return in.goOn()
	}
	return in.compose()
}

func (in Input) compose() (Sheet, error) {
	teeth, err := blade.TeethPerInch(in.Board.Width, blade.Resaw, in.Gum, in.Feed)
	judged, err2 := blade.Judge(in.Blade, in.use())
	bite, err3 := feed.PerTooth(in.Feed, in.Saw.BladeSpeed, in.Blade.TPI)
	cutSeconds, err4 := feed.CutSeconds(in.pass())
	if err := fault.First(err, err2, err3, err4); err != nil {
		return Sheet{}, err
	}
	tasks, err := in.fitting()
	if err != nil {
		return Sheet{}, err
	}
	steps, err := in.steps(tasks)
	if err != nil {
		return Sheet{}, err
	}
	s := Sheet{Cuts: in.cuts(tasks, steps, cutSeconds), Summary: in.summary(tasks, steps)}
	s.Summary.FeedPerToothMM, s.Summary.Teeth, s.Summary.BladeSuits = bite, teeth, judged.Suits
	if err := in.addTime(&s); err != nil {
		return Sheet{}, err
	}
	s.Warnings = append(in.warnings(s), bladeWarnings(judged)...)
	return s, nil
}

// steps gives the moves of the dial for the tasks that take a cut.
func (in Input) steps(tasks []task) ([]dial.Step, error) {
	steps, err := dial.Steps(in.Setting, passes(in.sawn(tasks)))
	if err != nil {
		return nil, err
	}
	return steps, in.checkMetal(steps)
}

// cuts gives the rows of the sheet; steps are the tasks with the re-zeros
// between them.
func (in Input) cuts(tasks []task, steps []dial.Step, cutSeconds float64) []Cut {
	cleans := cleanings(in.sawn(tasks), in.Care.everyCuts(in.Board), in.made.sinceClean)
	cuts := make([]Cut, 0, len(steps)+1)
	m, wound := marker{in: in, leaf: in.made.leaves, set: in.made.sets}, false
	for _, step := range steps {
		c := in.row(step)
		if step.Purpose == dial.Rezero {
			cuts, wound = append(cuts, c), true
			continue
		}
		c.Cut += in.made.cuts
		c.Advance, c.CutSeconds = step.Thickness+in.Kerf, cutSeconds
		if cleans[step.Cut-1] {
			c.Stops = append(c.Stops, Clean)
		}
		if wound {
			c.Stops, wound = append(c.Stops, Rezero), false
		}
		m.mark(&c, tasks[step.Cut-1])
		cuts = append(cuts, c)
	}
	if in.rest() {
		last := in.restRow(cuts[len(cuts)-1])
		m.mark(&last, tasks[len(tasks)-1])
		cuts = append(cuts, last)
	}
	return cuts
}

// restRow gives the row of the last leaf where that is what remains: no move and
// no cut.
func (in Input) restRow(before Cut) Cut {
	return Cut{
		Purpose: dial.Leaf, Rest: true, Stops: []Stop{}, Thickness: before.BoardLeft,
		Reading: before.Reading, TurnTally: before.TurnTally, Position: before.Position,
	}
}

// row gives what a cut and a re-zero have alike.
func (in Input) row(step dial.Step) Cut {
	whole, rest := in.Split(step.Divisions)
	return Cut{
		Cut: step.Cut, Purpose: step.Purpose, Stops: []Stop{}, Entry: -1,
		Thickness: step.Thickness,
		Turns:     float64(step.Divisions) / float64(in.DivisionsPerTurn), WholeTurns: whole, Divisions: rest,
		Reading: step.Reading, TurnTally: step.Tally, Position: step.Position,
		BoardLeft: max(0, in.Board.Thickness-step.Position),
	}
}

func (in Input) summary(tasks []task, steps []dial.Step) Summary {
	sawn := len(in.sawn(tasks))
	s := Summary{
		Counts: make([]int, len(in.Leaves)), LeafCount: in.leafCount(tasks), LeafCountLeast: in.least(tasks), CutCount: sawn,
		RezeroCount: len(steps) - sawn,
		SkimLoss:    yield.SkimLoss(in.truing(), in.Kerf),
		LeftOnFence: max(0, in.Board.Thickness-steps[len(steps)-1].Position),
		SawnAreaMM2: float64(sawn) * in.Board.areaMM2(),
	}
	if in.rest() {
		s.LastLeafThickness, s.LeftOnFence = s.LeftOnFence, 0
		s.Counts[tasks[sawn].entry]++
	}
	s.Remainder = max(0, s.LeftOnFence-in.HoldBack)
	wood, off := s.LastLeafThickness, length.Length(0)
	for _, step := range steps {
		off += step.Deviation
		s.PositionDeviation = max(s.PositionDeviation, off, -off)
		if step.Purpose == dial.Leaf {
			s.Counts[tasks[step.Cut-1].entry]++
			s.LeafDeviation = max(s.LeafDeviation, step.Deviation, -step.Deviation)
			wood += step.Thickness
		}
	}
	s.Recovery = wood.In(in.Board.Thickness - in.From)
	s.KerfShare = (length.Length(sawn) * in.Kerf).In(in.Board.Thickness - in.From)
	return s
}

// addTime fills in what depends on the stops to clean.
func (in Input) addTime(s *Sheet) (err error) {
	for _, c := range s.Cuts {
		if len(c.Stops) > 0 && c.Stops[0] == Clean {
			s.Summary.CleanCount++
		}
	}
	s.Summary.Time, err = feed.RunTime(feed.Job{
		Pass: in.pass(), CutCount: s.Summary.CutCount, CleanCount: s.Summary.CleanCount,
		ReturnFeed: in.Times.ReturnFeed, HandleSeconds: in.Times.HandleSeconds, IndexSeconds: in.Times.IndexSeconds,
		SetupSeconds: in.Times.SetupSeconds, CleanSeconds: in.Times.CleanSeconds,
	})
	s.Summary.TotalSeconds = s.Summary.Time.Total()
	return err
}
