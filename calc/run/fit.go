package run

import (
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/yield"
)

// task is one pass and what it is for.
type task struct {
	dial.Pass
	entry int // index into Input.Leaves; -1 for the truing pass
	inSet int // place in its set, from 1; 0 where there is no matched set
}

// tasks gives the passes of a run, with so many leaves of the entry that has no
// count.
func (in Input) tasks(fill int) []task {
	var all []task
	if in.Skim > 0 {
		all = append(all, task{Pass: dial.Pass{Purpose: dial.Skim, Thickness: in.Skim}, entry: -1})
	}
	for i, e := range in.Leaves {
		count := e.Count
		if count == 0 {
			count = fill
		}
		for n := range count {
			t := task{Pass: dial.Pass{Purpose: dial.Leaf, Thickness: e.Thickness}, entry: i}
			if e.set() > 1 {
				t.inSet = n%e.Matched + 1
				t.Together = e.Matched - n%e.Matched
			}
			all = append(all, t)
		}
	}
	return all
}

func passes(tasks []task) []dial.Pass {
	all := make([]dial.Pass, len(tasks))
	for i, t := range tasks {
		all[i] = t.Pass
	}
	return all
}

// fitting gives the tasks of a run that fits its board.
func (in Input) fitting() ([]task, error) {
	tasks := in.tasks(0)
	most, err := in.mostFill(tasks)
	if err != nil {
		return nil, err
	}
	listed := len(tasks)
	tasks = in.tasks(most)
	fit, err := in.count(tasks)
	if err != nil {
		return nil, err
	}
	fit -= max(0, fit-listed) % in.Leaves[len(in.Leaves)-1].set()
	if fit < listed || !hasLeaf(tasks[:fit]) {
		return nil, in.misfit(tasks, listed)
	}
	return tasks[:fit], nil
}

func hasLeaf(tasks []task) bool {
	return len(tasks) > 0 && tasks[len(tasks)-1].entry >= 0
}

// mostFill gives a number of leaves of the entry without a count that is at
// least what the board gives: rounded to whole divisions, no advance is less than
// two thirds of what it was (1.5 divisions are 2), or else it is none at all.
// That is half as many again as asked, and one for what the truing cut's
// rounding leaves. It is never less than a set, so that a board for none can be
// told by how much.
func (in Input) mostFill(listed []task) (most int, err error) {
	last := in.Leaves[len(in.Leaves)-1]
	if last.Count > 0 {
		return most, nil
	}
	advance := int64(last.Thickness + in.Kerf)
	room := int64(in.Board.Thickness - in.HoldBack - in.asked(listed))
	leaves := in.leafCount(listed)
	if asked := room / advance; asked > int64(MaxLeaves-leaves) {
		return 0, fault.Within("leaf count", leaves+int(asked), 1, MaxLeaves)
	}
	most = max(int(room*3/(2*advance))+1, last.set())
	return min(most, MaxLeaves-leaves), nil
}

func (in Input) leafCount(tasks []task) int {
	if in.Skim > 0 {
		return len(tasks) - 1
	}
	return len(tasks)
}

// asked gives the thickness that passes use up when the dial sets them exactly.
func (in Input) asked(tasks []task) length.Length {
	used := yield.SkimLoss(in.Skim, in.Kerf)
	for _, t := range tasks {
		if t.Purpose == dial.Leaf {
			used += t.Thickness + in.Kerf
		}
	}
	return used
}

// count gives how many of the tasks fit, from the first.
func (in Input) count(tasks []task) (int, error) {
	steps, err := in.positions(tasks)
	if err != nil {
		return 0, err
	}
	asked := length.Length(0)
	for i, step := range steps {
		asked += tasks[i].Thickness + in.Kerf
		if !in.fits(asked, step.Position) {
			return i, nil
		}
	}
	return len(steps), nil
}

// positions gives the steps of tasks on a screw of any travel.
func (in Input) positions(tasks []task) ([]dial.Step, error) {
	endless := in.Setting
	endless.Travel = 0
	return dial.Steps(endless, passes(tasks))
}

// fits tells whether a cut may stand at a position, asked and as set.
func (in Input) fits(asked, set length.Length) bool {
	room := in.Board.Thickness - in.HoldBack
	return set <= room || asked <= room && set <= room+in.halfDivision()
}

// halfDivision is the nearest that the dial can be counted on to set.
func (in Input) halfDivision() length.Length {
	return in.Lead.Scale(1, 2*int64(in.DivisionsPerTurn))
}

// misfit says by how much the listed tasks are too much, or, when no leaf is
// listed, the first set of the entry without a count. What is needed is the
// least that fits.
func (in Input) misfit(tasks []task, listed int) error {
	why := "for the leaves that are listed"
	if !hasLeaf(tasks[:listed]) {
		listed += in.Leaves[len(in.Leaves)-1].set()
		why = "for the first leaves"
	}
	steps, err := in.positions(tasks[:listed])
	if err != nil {
		return err
	}
	set := steps[listed-1].Position
	needed := min(set, max(in.asked(tasks[:listed]), set-in.halfDivision()))
	return &fault.NoSolution{
		Quantity: "board thickness", Value: in.Board.Thickness, Needed: needed + in.HoldBack, Why: why,
	}
}
