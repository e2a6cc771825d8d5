package run

import (
	"fmt"

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
	if in.truing() > 0 {
		all = append(all, task{Pass: dial.Pass{Purpose: dial.Skim, Thickness: in.truing()}, entry: -1})
	}
	for i, e := range in.Leaves {
		first := in.made.leavesOf(i)
		past := e.Count
		if past == 0 {
			past = first + fill
		}
		for n := first; n < past; n++ {
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

// sawn gives the tasks that take a cut: all, but for the last leaf where that is
// the rest.
func (in Input) sawn(tasks []task) []task {
	if in.rest() {
		return tasks[:len(tasks)-1]
	}
	return tasks
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
	fit -= in.odd(max(0, fit-listed))
	if in.made.cuts > 0 && fit < listed {
		return in.whatFits(tasks[:fit])
	}
	if fit < listed || !hasLeaf(tasks[:fit]) {
		return nil, in.misfit(tasks, listed)
	}
	if len(in.sawn(tasks[:fit])) == 0 {
		return nil, in.uncut()
	}
	return tasks[:fit], nil
}

// odd gives how many of the leaves beyond those listed make no whole set, with
// those that are done.
func (in Input) odd(more int) int {
	last := len(in.Leaves) - 1
	return min(more, (more+in.made.leavesOf(last))%in.Leaves[last].set())
}

// uncut says what would make a cut of a board that is its own last leaf.
func (in Input) uncut() error {
	only := in.Leaves[0]
	if only.Count > 0 {
		return inLeaves(0, &fault.NoSolution{
			Quantity: "count", Value: only.Count, Needed: only.Count + 1, Why: "for a cut: the rest is the last leaf",
		})
	}
	return &fault.NoSolution{
		Quantity: "board thickness", Value: in.Board.Thickness, Needed: 2*only.Thickness + in.Kerf,
		Why: "for a cut: the rest is the last leaf",
	}
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
	if in.rest() {
		room += int64(in.Kerf)
	}
	leaves := in.leafCount(listed)
	if asked := room / advance; asked > int64(MaxLeaves-leaves) {
		return 0, fault.Within("leaf count", leaves+int(asked), 1, MaxLeaves)
	}
	most = max(int(room*3/(2*advance))+1, last.set())
	return min(most, MaxLeaves-leaves), nil
}

func (in Input) leafCount(tasks []task) int {
	if in.truing() > 0 {
		return len(tasks) - 1
	}
	return len(tasks)
}

// asked gives the thickness that passes use up when the dial sets them exactly.
func (in Input) asked(tasks []task) length.Length {
	used := in.From + yield.SkimLoss(in.truing(), in.Kerf)
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
	asked, set := in.From, in.From
	for i, step := range steps {
		t := tasks[i].Thickness
		if !in.fits(in.reach(asked, asked+t+in.Kerf, t), in.reach(set, step.Position, t)) {
			return i, nil
		}
		asked, set = asked+t+in.Kerf, step.Position
	}
	return len(steps), nil
}

// reach gives what a run uses up whose last leaf, of thickness t, is sawn off from
// one position to another, or is the rest and needs no kerf.
func (in Input) reach(from, to, t length.Length) length.Length {
	if in.rest() {
		return from + t
	}
	return to
}

// least gives how many leaves of the tasks come off in whole sets where every
// kerf is wider by its margin.
func (in Input) least(tasks []task) int {
	in.Kerf += in.KerfMargin
	return in.fitInSets(tasks)
}

// fitInSets gives how many leaves of the tasks come off in whole sets.
func (in Input) fitInSets(tasks []task) int {
	n, err := in.count(tasks)
	if err != nil {
		return 0 // the dial is too coarse to leave anything beside such a kerf
	}
	for n > 0 && tasks[n-1].Together > 1 {
		n--
	}
	return max(0, in.leafCount(tasks[:n]))
}

// positions gives the steps of tasks on a screw of any travel.
func (in Input) positions(tasks []task) ([]dial.Step, error) {
	endless := in.Setting
	endless.Travel = 0
	return dial.Steps(endless, passes(tasks))
}

// fits reports whether a cut may stand at a position, asked and as set. The dial's
// half division is no leave to cut into metal.
func (in Input) fits(asked, set length.Length) bool {
	room := in.Board.Thickness - in.HoldBack
	if set <= room {
		return true
	}
	return asked <= room && set <= room+in.halfDivision() && (in.Metal == 0 || set <= in.Board.Thickness-in.Metal)
}

// halfDivision is the nearest that the dial can be counted on to set.
func (in Input) halfDivision() length.Length {
	return in.Lead.Scale(1, 2*int64(in.DivisionsPerTurn))
}

// misfit says by how much the listed tasks are too much, or, when no leaf is
// listed, the first set of the entry without a count. What is needed is the
// least that fits.
func (in Input) misfit(tasks []task, listed int) error {
	why := "for the leaf that is listed"
	if n := in.leafCount(tasks[:listed]); n > 1 {
		why = fmt.Sprintf("for the %d leaves that are listed (the board gives %d)", n, in.fitInSets(tasks[:listed]))
	}
	if !hasLeaf(tasks[:listed]) {
		listed += in.Leaves[len(in.Leaves)-1].set()
		why = "for the first leaves"
	}
	steps, err := in.positions(tasks[:listed])
	if err != nil {
		return err
	}
	last := tasks[listed-1].Thickness
	before := in.From
	if listed > 1 {
		before = steps[listed-2].Position
	}
	asked := in.asked(tasks[:listed])
	asked, set := in.reach(asked-last-in.Kerf, asked, last), in.reach(before, steps[listed-1].Position, last)
	return &fault.NoSolution{
		Quantity: "board thickness", Value: in.Board.Thickness, Needed: in.needed(asked, set), Why: why,
	}
}

// needed gives the thinnest board on which a cut may stand at a position, asked
// and as set.
func (in Input) needed(asked, set length.Length) length.Length {
	rounded := max(asked, set-in.halfDivision()) + in.HoldBack
	if in.Metal > 0 {
		rounded = max(rounded, set+in.Metal)
	}
	return min(set+in.HoldBack, rounded)
}

// checkMetal wants the last cut to leave the metal of the fixing alone.
func (in Input) checkMetal(steps []dial.Step) error {
	if left := in.Board.Thickness - steps[len(steps)-1].Position; in.Metal == 0 || left >= in.Metal {
		return nil
	}
	return &fault.NoSolution{
		Quantity: "hold back", Value: in.HoldBack, Needed: in.Metal, Why: "so that no cut reaches the metal of the fixing",
	}
}
