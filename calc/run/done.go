package run

import (
	"sort"

	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Done is what was sawn of a run that goes on.
type Done struct {
	Cuts     int           // that were made, the truing cut among them
	Position length.Length // where the dial stood at the last of them; 0: where the sheet has it
	Kerf     length.Length // as measured since; 0: as before
}

// made is what the cuts done made.
type made struct {
	cuts, leaves, sets int
	sinceClean         int   // cuts since the last stop to clean
	counts             []int // leaves of each entry
}

// leavesOf gives how many leaves of an entry are done.
func (m made) leavesOf(entry int) int {
	if m.cuts == 0 {
		return 0
	}
	return m.counts[entry]
}

// goOn gives the sheet of the cuts that remain: it counts on from the cuts done,
// from where the dial stands and with the kerf as measured. A cut made at a wrong
// position is kept.
func (in Input) goOn() (Sheet, error) {
	whole := in
	whole.Done = Done{}
	sheet, err := whole.compose()
	if err != nil {
		return Sheet{}, err
	}
	if err := in.checkDone(sheet); err != nil {
		return Sheet{}, err
	}
	done := whole.take(sheet.Cuts, in.Done)
	rest, err := whole.compose()
	if err != nil {
		return Sheet{}, fault.First(whole.kerfTooWide(in.Done.Kerf), whole.tooFar(in.before(sheet.Cuts, in.Done.Cuts)), err)
	}
	rest.Done = done
	if lost := sheet.Summary.LeafCount - whole.made.leaves - rest.Summary.LeafCount; lost > 0 {
		rest.Warnings = append(rest.Warnings, Warning{LeavesLost, -1, lost, sheet.Summary.LeafCount})
	}
	return rest, nil
}

// checkDone wants cuts of a sheet, the last of them where it takes something off.
func (in Input) checkDone(sheet Sheet) error {
	d := in.Done
	if err := fault.First(
		fault.Because(fault.Within("done cuts", d.Cuts, 1, sheet.Summary.CutCount-1), "so that a cut remains"),
		fault.Within("done kerf", d.Kerf, 0, maxAdvance),
	); err != nil || d.Position == 0 {
		return err
	}
	return fault.Because(
		fault.Above("done position", d.Position, in.before(sheet.Cuts, d.Cuts), in.Board.Thickness),
		"between the cut before and the fence",
	)
}

// before gives the position that a cut must lie beyond to take anything off: that of the
// cut before it, and for a leaf the kerf beside it.
func (in Input) before(rows []Cut, cut int) length.Length {
	var at length.Length
	for _, c := range rows {
		switch {
		case c.Cut == cut && c.Purpose == dial.Leaf:
			return at + in.Kerf
		case c.Cut == cut:
			return at
		}
		at = c.Position
	}
	return at
}

// kerfTooWide says how wide a kerf that was measured may be, in whole divisions, where
// nothing comes off what is left because of it.
func (in Input) kerfTooWide(kerf length.Length) error {
	most, found := in.most(1, func(in *Input, l length.Length) { in.Kerf = l })
	if kerf == 0 || !found {
		return nil
	}
	return fault.Because(fault.Above("done kerf", kerf, 0, most), "so that a leaf comes off what is left")
}

// tooFar says where the last cut may have been made, in whole divisions, where nothing
// comes off what is left because of it.
func (in Input) tooFar(before length.Length) error {
	made := in.From
	most, found := in.most(in.Divisions(before)+1, func(in *Input, l length.Length) { in.From = l })
	if !found {
		return nil
	}
	return fault.Because(fault.Above("done position", made, before, most), "so that a leaf comes off what is left")
}

// most gives the most that something may be, in whole divisions from the first one on,
// for a leaf to come off.
func (in Input) most(first int64, set func(*Input, length.Length)) (l length.Length, found bool) {
	n := sort.Search(int(in.Divisions(in.Board.Thickness)-first), func(n int) bool {
		set(&in, in.Distance(first+int64(n)))
		_, err := in.compose()
		return err != nil
	})
	if n == 0 {
		return l, false
	}
	return in.Distance(first + int64(n) - 1), true
}

// take counts what was done off a run, and gives the rows of it.
func (in *Input) take(rows []Cut, d Done) []Cut {
	in.made = made{cuts: d.Cuts, counts: make([]int, len(in.Leaves))}
	var done []Cut
	for _, c := range rows {
		if c.Purpose == dial.Rezero {
			in.WoundTurns -= c.WholeTurns
			done = append(done, c)
			continue
		}
		in.made.add(c)
		done = append(done, c)
		if c.Cut == d.Cuts {
			break
		}
	}
	last := &done[len(done)-1]
	if d.Position != 0 {
		last.Thickness = max(0, last.Thickness+d.Position-last.Position)
		last.Advance += d.Position - last.Position
		last.Position, last.BoardLeft = d.Position, in.Board.Thickness-d.Position
	}
	in.From = last.Position
	if d.Kerf != 0 {
		in.Kerf, in.KerfMargin = d.Kerf, 0
	}
	return done
}

// add counts a cut that was made.
func (m *made) add(c Cut) {
	m.sinceClean++
	for _, stop := range c.Stops {
		if stop == Clean {
			m.sinceClean = 1
		}
	}
	m.sets = max(m.sets, c.Mark.Set)
	if c.Leaf > 0 {
		m.leaves = c.Leaf
		m.counts[c.Entry]++
	}
}

// whatFits gives as many of the tasks as come off in whole sets, where not all that
// were listed fit any more.
func (in Input) whatFits(tasks []task) ([]task, error) {
	fit := len(tasks)
	for fit > 0 && tasks[fit-1].Together > 1 {
		fit--
	}
	if fit == 0 || len(in.sawn(tasks[:fit])) == 0 {
		all := in.tasks(0)
		return nil, in.misfit(all, len(all))
	}
	return tasks[:fit], nil
}
