package calculator

import (
	"fmt"

	"resawd/api/endpoint"
	"resawd/calc/dial"
	"resawd/calc/gauge"
	"resawd/calc/length"
	"resawd/calc/run"
)

// RunDone is what was sawn of a run that goes on.
type RunDone struct {
	// Number of cuts that were made, the truing pass included
	Cuts *int `json:"cuts,omitzero" query:"done_cuts" validate:"omitempty,gte=1,lte=10000"`
	// Where the dial stood at the last cut, counted from its zero; where the sheet has it by default. Lost count? It is
	// the thickness of the board as mounted, less what is left on the fence
	Position *length.Length `json:"position,omitzero" query:"done_position" validate:"omitempty,gt=0,within=..10m"`
	// Kerf as measured since; the kerf of the request by default
	Kerf *length.Length `json:"kerf,omitzero" query:"done_kerf" validate:"omitempty,gt=0,within=..1m"`
	// Caliper readings of the leaves that came off, a list for each leaf in their order
	Readings [][]length.Length `json:"readings,omitzero" query:"done_readings" validate:"omitempty,max=10000,dive,max=10,dive,gt=0,within=..1m"`
}

// RunCutDone is a cut that was made before the run went on.
type RunCutDone struct {
	// Ordinal of the cut
	Cut int `json:"cut"`
	// What the cut was for
	Purpose string `json:"purpose" enums:"skim,leaf"`
	// Ordinal of the leaf that came off
	Leaf int `json:"leaf,omitzero"`
	// What the leaf is for
	Name string `json:"name,omitzero"`
	// What is written on it
	Mark string `json:"mark,omitzero"`
	// Thickness that comes off beside the kerf, by the positions of the dial
	Thickness length.Length `json:"thickness"`
	// Where the dial stood, from its zero
	Position length.Length `json:"position"`
	// The least of the readings
	Minimum *length.Length `json:"minimum,omitzero"`
	// The greatest of the readings
	Maximum *length.Length `json:"maximum,omitzero"`
	// Verdict by the worst reading, from the thickness asked for and the tolerance
	Verdict string `json:"verdict,omitzero" enums:"in,thin,thick"`
}

// done passes on what has been sawn.
func (d *RunDone) done(c *endpoint.Call) run.Done {
	if d.Cuts == nil && (d.Position != nil || d.Kerf != nil || d.Readings != nil) {
		c.Refuse("done.cuts", "required", "is missing: say how many cuts were made")
	}
	return run.Done{Cuts: endpoint.ValueOr(d.Cuts, 0), Position: endpoint.ValueOr(d.Position, 0), Kerf: endpoint.ValueOr(d.Kerf, 0)}
}

// begun is the request that the run was begun with, whose ID the board keeps.
func (q *RunRequest) begun() *RunRequest {
	whole := *q
	whole.Done = RunDone{}
	return &whole
}

// cutsDone lists the cuts made before, with the measures of their leaves.
func cutsDone(c *endpoint.Call, q *RunRequest, rows []run.Cut) ([]RunCutDone, error) {
	done := []RunCutDone{}
	for i := range rows {
		row := &rows[i]
		if row.Purpose == dial.Rezero {
			continue
		}
		d := RunCutDone{
			Cut: row.Cut, Purpose: purposes[row.Purpose], Leaf: row.Leaf, Name: row.Name, Mark: q.markOf(row),
			Thickness: row.Thickness, Position: row.Position,
		}
		if err := d.measure(q, row.Entry); err != nil {
			return nil, err
		}
		done = append(done, d)
	}
	if n := leavesAmong(done); len(q.Done.Readings) > n {
		c.Refuse("done.readings", "conflict", fmt.Sprintf("must have at most an entry for each leaf that came off in the cuts that were made, %d; it has %d", n, len(q.Done.Readings)))
	}
	return done, nil
}

func leavesAmong(done []RunCutDone) (n int) {
	for i := range done {
		n = max(n, done[i].Leaf)
	}
	return n
}

// measure judges a leaf by its readings, if it has any.
func (d *RunCutDone) measure(q *RunRequest, entry int) error {
	if d.Leaf == 0 || d.Leaf > len(q.Done.Readings) || len(q.Done.Readings[d.Leaf-1]) == 0 {
		return nil
	}
	leaf, err := gauge.Measure(q.Done.Readings[d.Leaf-1])
	if err != nil {
		return endpoint.At(fmt.Sprintf("done.readings.%d.", d.Leaf-1), err)
	}
	asked := endpoint.ValueOr(q.LeafThickness, 0)
	if q.LeafThickness == nil {
		asked = *q.Leaves[entry].Thickness
	}
	d.Minimum, d.Maximum = &leaf.Minimum, &leaf.Maximum
	d.Verdict = verdicts[leaf.Verdict(gauge.Around(asked, *q.Tolerance))]
	return nil
}

// goOn lists what to do before a run goes on, the saw unplugged.
//
// Source: common practice.
func (b bench) goOn(last run.Cut) []string {
	screw := b.Screw()
	return []string{
		"Switch the saw off and unplug it. The board stays on its fence as it is.",
		"Guides, guard and insert as before; check that the carriage runs freely.",
		fmt.Sprintf("Turn the dial back a turn or more, then forward to %d: the position of the last cut, %s.",
			screw.Reading(*b.StartReading, screw.Divisions(last.Position)), b.show(last.Position)),
		"Not sure of the turns? Measure what is left on the fence: the position is " + b.show(*b.Board.Thickness) + " less that. If it is another than " + b.show(last.Position) + ", ask for this sheet again with it.",
		"Lock the cross-slide, and bring the carriage back until the board is clear of the blade.",
		"Close the wheel covers and start the dust collection. Protect eyes, ears and lungs, and have everybody stand clear: plug in, and go on.",
	}
}
