package dial_test

import (
	"errors"
	"slices"
	"testing"

	. "resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
)

const thou = length.Thou

// inchScrew is the dial of common practice: 0.050 in a turn, 0.001 in a division.
var inchScrew = Screw{Lead: 50 * thou, DivisionsPerTurn: 50}

func job(change func(*Job)) Job {
	j := Job{Setting: Setting{Screw: inchScrew, Kerf: 45 * thou}, LeafThickness: 50 * thou, LeafCount: 3}
	change(&j)
	return j
}

// row is a step in thousandths of an inch and divisions.
type row struct {
	cut       int
	purpose   Purpose
	position  length.Length
	divisions int64
	reading   int
	thickness length.Length
}

// Expected rows are worked by hand: an advance is 0.045 + 0.050 = 0.095 in, 95
// divisions of 0.001 in, 1 turn and 45 divisions of a dial of 50.
func TestSchedule(t *testing.T) {
	for _, c := range []struct {
		name string
		job  Job
		want []row
	}{
		{"leaves alike", job(func(*Job) {}), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 95, 40, 50}, {3, Leaf, 285, 95, 35, 50},
		}},
		{"a truing pass and a starting mark", job(func(j *Job) { j.Skim, j.StartReading = 20*thou, 49 }), []row{
			{1, Skim, 65, 65, 14, 20}, {2, Leaf, 160, 95, 9, 50}, {3, Leaf, 255, 95, 4, 50}, {4, Leaf, 350, 95, 49, 50},
		}},
		{"half a division rounds up", job(func(j *Job) { j.LeafThickness = 50*thou + thou/2 }), []row{
			{1, Leaf, 96, 96, 46, 51}, {2, Leaf, 192, 96, 42, 51}, {3, Leaf, 288, 96, 38, 51},
		}},
		{"by position", job(func(j *Job) { j.LeafThickness, j.Rounding = 50*thou+thou/2, ByPosition }), []row{
			{1, Leaf, 96, 96, 46, 51}, {2, Leaf, 191, 95, 41, 50}, {3, Leaf, 287, 96, 37, 51},
		}},
		{"up to a division", job(func(j *Job) { j.LeafThickness, j.RoundUp = 50*thou+1, ToDivision }), []row{
			{1, Leaf, 96, 96, 46, 51}, {2, Leaf, 192, 96, 42, 51}, {3, Leaf, 288, 96, 38, 51},
		}},
		{"up to a division, already one", job(func(j *Job) { j.LeafCount, j.RoundUp = 1, ToDivision }), []row{
			{1, Leaf, 95, 95, 45, 50},
		}},
		{"up to half a turn", job(func(j *Job) { j.LeafThickness, j.LeafCount, j.RoundUp = 56*thou, 2, ToHalfTurn }), []row{
			{1, Leaf, 125, 125, 25, 80}, {2, Leaf, 250, 125, 0, 80},
		}},
		{"up to a turn, the truing pass not", job(func(j *Job) { j.Skim, j.LeafCount, j.RoundUp = 10*thou, 2, ToTurn }), []row{
			{1, Skim, 55, 55, 5, 10}, {2, Leaf, 155, 100, 5, 55}, {3, Leaf, 255, 100, 5, 55},
		}},
		// Backed off by 10 divisions before each return, so the next move is 105.
		{"retract", job(func(j *Job) { j.Retract = 10 * thou }), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 105, 40, 50}, {3, Leaf, 285, 105, 35, 50},
		}},
		{"retract, up to a whole division", job(func(j *Job) { j.Retract, j.LeafCount = 9*thou+1, 2 }), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 105, 40, 50},
		}},
		{"retract, up to an odd division", job(func(j *Job) { j.Retract, j.LeafCount = 10*thou+1, 2 }), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 106, 40, 50},
		}},
		{"by position, a nanometre below half", job(func(j *Job) {
			j.LeafThickness, j.LeafCount, j.Rounding = 50*thou+thou/2-1, 1, ByPosition
		}), []row{
			{1, Leaf, 95, 95, 45, 50},
		}},
		// At 190 it goes back two turns of 95 and forward one.
		{"a dial of one mark, wound back by it", job(func(j *Job) {
			j.Lead, j.DivisionsPerTurn, j.Travel, j.LeafCount = 95*thou, 1, 190*thou, 3
		}), []row{
			{1, Leaf, 95, 1, 0, 50}, {2, Leaf, 190, 1, 0, 50}, {0, Rezero, 190, -1, 0, 0}, {3, Leaf, 285, 1, 0, 50},
		}},
		// After two cuts the screw is at 190 of 200; three turns back, to 40, and one
		// forward leave it at 90, and 90 + 95 fits.
		{"travel runs out", job(func(j *Job) { j.Travel = 200 * thou }), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 95, 40, 50}, {0, Rezero, 190, -100, 40, 0}, {3, Leaf, 285, 95, 35, 50},
		}},
		// From 102 on a screw that was wound back a turn, to 52: 242 is its end.
		{"goes on", job(func(j *Job) { j.From, j.WoundTurns, j.Travel, j.LeafCount = 102*thou, 1, 242*thou, 2 }), []row{
			{1, Leaf, 197, 95, 47, 50}, {2, Leaf, 292, 95, 42, 50},
		}},
		{"travel just enough", job(func(j *Job) { j.Travel = 285 * thou }), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 95, 40, 50}, {3, Leaf, 285, 95, 35, 50},
		}},
		// Backed off to 150 of 200: forward to 190 again before it is wound back.
		{"travel runs out while backed off", job(func(j *Job) { j.Travel, j.Retract = 200*thou, 40*thou }), []row{
			{1, Leaf, 95, 95, 45, 50}, {2, Leaf, 190, 135, 40, 50}, {0, Rezero, 190, -100, 40, 0}, {3, Leaf, 285, 95, 35, 50},
		}},
		// A third of a division beside a kerf of 45 would be 45: 46 takes one off.
		{"a truing pass finer than the dial", job(func(j *Job) { j.Skim, j.LeafCount = thou/3, 1 }), []row{
			{1, Skim, 46, 46, 46, 1}, {2, Leaf, 141, 95, 41, 50},
		}},
		// The leaf's own position stays: 45.333 + 95 is 140.
		{"a truing pass finer than the dial, by position", job(func(j *Job) {
			j.Skim, j.LeafCount, j.Rounding = thou/3, 1, ByPosition
		}), []row{
			{1, Skim, 46, 46, 46, 1}, {2, Leaf, 140, 94, 40, 49},
		}},
	} {
		table, err := Schedule(c.job)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if len(table.Steps) != len(c.want) {
			t.Errorf("%s: %d steps, want %d", c.name, len(table.Steps), len(c.want))
			continue
		}
		for i, s := range table.Steps {
			got := row{s.Cut, s.Purpose, s.Position / thou, s.Divisions, s.Reading, s.Thickness / thou}
			if got != c.want[i] {
				t.Errorf("%s: step %d is %+v, want %+v", c.name, i, got, c.want[i])
			}
		}
	}
}

// TestNanometres: a screw of a nanometre a turn can set one nanometre, and 8 nm
// on a screw of 7 nm are two turns when rounded up.
func TestNanometres(t *testing.T) {
	for _, c := range []struct {
		name string
		job  Job
		want []Step
	}{
		{"the least of everything", Job{Setting: Setting{Screw: Screw{1, 1}}, LeafThickness: 1, LeafCount: 1, Skim: 1}, []Step{
			{Cut: 1, Purpose: Skim, Position: 1, Divisions: 1, Tally: 1, Thickness: 1},
			{Cut: 2, Purpose: Leaf, Position: 2, Divisions: 1, Tally: 2, Thickness: 1},
		}},
		{"a nanometre above a division", Job{
			Setting: Setting{Screw: Screw{7, 1}, RoundUp: ToDivision}, LeafThickness: 8, LeafCount: 1,
		}, []Step{
			{Cut: 1, Purpose: Leaf, Position: 14, Divisions: 2, Tally: 2, Thickness: 14, Deviation: 6},
		}},
	} {
		if table, err := Schedule(c.job); err != nil || !slices.Equal(table.Steps, c.want) {
			t.Errorf("%s: %+v, %v, want %+v", c.name, table.Steps, err, c.want)
		}
	}
}

// The worked values: 0.0783 in is 78.3 divisions; thirty of 78 fall 9 divisions
// behind, and positions set one by one stay within half a division.
func TestRoundingOverThirtyLeaves(t *testing.T) {
	thirty := job(func(j *Job) { j.LeafThickness, j.LeafCount = 333*thou/10, 30 })
	step, err := Schedule(thirty)
	if err != nil {
		t.Fatal(err)
	}
	if whole, rest := inchScrew.Split(step.Divisions); whole != 1 || rest != 28 {
		t.Errorf("the step is %d turns %d divisions, want 1 and 28", whole, rest)
	}
	for _, s := range step.Steps {
		if s.Thickness != 33*thou || s.Deviation != -3*thou/10 {
			t.Errorf("cut %d: leaf %v, off by %v", s.Cut, s.Thickness, s.Deviation)
		}
	}
	if step.PositionDeviation != 9*thou || step.LeafDeviation != 3*thou/10 {
		t.Errorf("drift %v, leaf off by %v", step.PositionDeviation, step.LeafDeviation)
	}
	thirty.Rounding = ByPosition
	position, err := Schedule(thirty)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range position.Steps {
		if off := s.Position - length.Length(i+1)*783*thou/10; max(off, -off) > thou/2 {
			t.Errorf("cut %d is off by %v", s.Cut, off)
		}
		if s.Thickness != 33*thou && s.Thickness != 34*thou {
			t.Errorf("cut %d: leaf %v", s.Cut, s.Thickness)
		}
	}
	// 30 leaves by 0.3: the worst position is off by 0.5 (at 5 x 0.3 = 1.5), the worst leaf by 0.7.
	if position.PositionDeviation != thou/2 || position.LeafDeviation != 7*thou/10 {
		t.Errorf("positions off by %v, leaves by %v", position.PositionDeviation, position.LeafDeviation)
	}
}

func TestSteps(t *testing.T) {
	setting := Setting{Screw: inchScrew, Kerf: 50 * thou, Travel: 400 * thou}
	// Three passes of 150 in a travel of 400: the last two must stand together,
	// so the screw is wound back before the second.
	steps, err := Steps(setting, []Pass{
		{Purpose: Leaf, Thickness: 100 * thou}, {Purpose: Leaf, Thickness: 100 * thou, Together: 2}, {Purpose: Leaf, Thickness: 100 * thou},
	})
	if err != nil {
		t.Fatal(err)
	}
	purposes := []Purpose{Leaf, Rezero, Leaf, Leaf}
	for i, s := range steps {
		if s.Purpose != purposes[i] {
			t.Errorf("step %d is %v, want %v", i, s.Purpose, purposes[i])
		}
	}
}

// TestTally: the dial starts at 49 and stands at 144, 239 and 334 of fifty to a
// turn; at 239 it is wound back two turns and goes on from 139. In the last row
// it stands at 55 and 110, is wound back a turn to 60, and goes on to 115.
func TestTally(t *testing.T) {
	for _, c := range []struct {
		change func(*Job)
		want   []int
	}{
		{func(j *Job) { j.StartReading = 49 }, []int{2, 4, 6}},
		{func(j *Job) { j.StartReading, j.Travel = 49, 200*thou }, []int{2, 4, 2, 4}},
		{func(j *Job) {
			j.LeafCount, j.Kerf, j.LeafThickness, j.Travel, j.Retract = 3, 0, 55*thou, 120*thou, 4*thou
		}, []int{1, 2, 1, 2}},
	} {
		table, err := Schedule(job(c.change))
		if err != nil || len(table.Steps) != len(c.want) {
			t.Errorf("%v, %v", table.Steps, err)
			continue
		}
		for i, s := range table.Steps {
			if s.Tally != c.want[i] {
				t.Errorf("step %d: tally %d, want %d", i, s.Tally, c.want[i])
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	for name, change := range map[string]func(*Job){
		"lead":                func(j *Job) { j.Lead = 0 },
		"lead ":               func(j *Job) { j.Lead = length.Metre + 1 },
		"divisions per turn":  func(j *Job) { j.DivisionsPerTurn = 0 },
		"divisions per turn ": func(j *Job) { j.DivisionsPerTurn = 10_001 },
		"kerf":                func(j *Job) { j.Kerf = -1 },
		"kerf ":               func(j *Job) { j.Kerf = length.Metre + 1 },
		"travel":              func(j *Job) { j.Travel = -1 },
		"travel ":             func(j *Job) { j.Travel = length.Max + 1 },
		"retract":             func(j *Job) { j.Retract = -1 },
		"retract ":            func(j *Job) { j.Retract = 50*thou + 1 },
		"start reading":       func(j *Job) { j.StartReading = -1 },
		"start reading ":      func(j *Job) { j.StartReading = 50 },
		"from":                func(j *Job) { j.From = -1 },
		"from ":               func(j *Job) { j.From = length.Max + 1 },
		"wound turns":         func(j *Job) { j.WoundTurns = -1 },
		"wound turns ":        func(j *Job) { j.From, j.WoundTurns = 100*thou-1, 2 },
		"rounding":            func(j *Job) { j.Rounding = -1 },
		"rounding ":           func(j *Job) { j.Rounding = 2 },
		"round up to":         func(j *Job) { j.RoundUp = -1 },
		"round up to ":        func(j *Job) { j.RoundUp = 4 },
		"leaf count":          func(j *Job) { j.LeafCount = 0 },
		"leaf count ":         func(j *Job) { j.LeafCount = 10_001 },
		"skim":                func(j *Job) { j.Skim = -1 },
		"skim ":               func(j *Job) { j.Skim = length.Metre + 1 },
		"leaf thickness":      func(j *Job) { j.LeafThickness = 0 },
		"leaf thickness ":     func(j *Job) { j.LeafThickness = length.Metre + 1 },
	} {
		_, err := Schedule(job(change))
		var out *fault.OutOfRange
		if !errors.As(err, &out) || out.Quantity != trim(name) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	for _, c := range []struct {
		quantity string
		needed   any
		change   func(*Job)
	}{
		{"divisions per turn", 52, func(j *Job) { j.Lead, j.DivisionsPerTurn, j.RoundUp = 51*thou, 51, ToHalfTurn }},
		{"travel", 95 * thou, func(j *Job) { j.Travel, j.LeafCount = 94*thou, 1 }},
		{"travel", 190 * thou, func(j *Job) { j.Travel = 189 * thou }}, // at 95 no turn but the one to spare
		{"travel", 190 * thou, func(j *Job) { j.Travel = 1 }},
		{"leaf thickness", thou, func(j *Job) { j.Kerf, j.LeafThickness = 45*thou, thou/3 }},
	} {
		_, err := Schedule(job(c.change))
		var none *fault.NoSolution
		if !errors.As(err, &none) || none.Quantity != c.quantity || none.Needed != c.needed {
			t.Errorf("%s, %v needed: error %v", c.quantity, c.needed, err)
		}
	}
	if _, err := Steps(Setting{Screw: inchScrew}, nil); err == nil {
		t.Error("no passes: no error")
	}
	for purpose, fine := range map[Purpose]bool{-1: false, Skim: true, Leaf: true, Rezero: false} {
		if _, err := Steps(Setting{Screw: inchScrew}, []Pass{{Purpose: purpose, Thickness: thou}}); (err == nil) != fine {
			t.Errorf("a pass of purpose %d: %v", purpose, err)
		}
	}
	if _, err := Schedule(job(func(j *Job) {
		j.Lead, j.LeafThickness, j.Kerf, j.Skim, j.LeafCount = length.Metre, length.Metre, length.Metre, length.Metre, 10_000
	})); err != nil {
		t.Errorf("at every high limit: %v", err)
	}
}

func trim(name string) string {
	for name[len(name)-1] == ' ' {
		name = name[:len(name)-1]
	}
	return name
}

// FuzzSchedule holds what must be true of any schedule: readings and positions
// follow from the moves, no re-zero leaves the travel, and each way of rounding
// keeps its promise to half a division (and half a nanometre for a division
// that is no whole number of them).
func FuzzSchedule(f *testing.F) {
	f.Add(int64(1_270_000), 50, int64(1_143_000), int64(845_820), int64(0), int64(0), int64(0), 30, 0, 0, 0)
	f.Add(int64(1_500_000), 70, int64(1_143_001), int64(845_821), int64(500_000), int64(9_000_000), int64(40_000), 9, 3, 1, 0)
	f.Add(int64(2_000_000), 80, int64(900_000), int64(700_000), int64(500_000), int64(9_000_000), int64(40_000), 9, 3, 1, 3)
	f.Fuzz(func(t *testing.T, lead int64, divisions int, kerf, leaf, skim, travel, retract int64, count, start, rounding, up int) {
		j := Job{
			Setting: Setting{
				Screw: Screw{length.Length(lead), divisions}, Kerf: length.Length(kerf), Travel: length.Length(travel),
				Retract: length.Length(retract), StartReading: start, Rounding: Rounding(rounding & 1), RoundUp: RoundUp(up & 3),
			},
			LeafThickness: length.Length(leaf), LeafCount: count, Skim: length.Length(skim),
		}
		table, err := Schedule(j)
		if err != nil || count > 500 {
			return
		}
		half := j.Distance(1)/2 + 1
		coarse := length.Length(0) // what a truing pass that the dial cannot set is off by
		if j.Skim > 0 && j.Distance(j.Divisions(j.Skim+j.Kerf)) <= j.Kerf+1 {
			coarse = j.Distance(1) + 1
		}
		n := int64(j.DivisionsPerTurn)
		backed := (int64(j.Retract)*n + int64(j.Lead) - 1) / int64(j.Lead)
		dial, screw, sum := int64(j.StartReading), length.Length(0), length.Length(0)
		for _, s := range table.Steps {
			if s.Purpose == Rezero {
				dial += backed
			}
			dial += s.Divisions
			if want := ((dial % n) + n) % n; int64(s.Reading) != want {
				t.Fatalf("cut %d reads %d, want %d", s.Cut, s.Reading, want)
			}
			if int64(s.Tally)*n+int64(s.Reading) != dial {
				t.Fatalf("cut %d: tally %d and reading %d, the dial is at %d", s.Cut, s.Tally, s.Reading, dial)
			}
			if s.Purpose == Rezero {
				screw += j.Lead * length.Length(s.Divisions/int64(j.DivisionsPerTurn))
				if screw < j.Lead {
					t.Fatalf("wound back to %v: no turn is left to take up the backlash", screw)
				}
				continue
			}
			dial -= backed
			screw += s.Thickness + j.Kerf
			sum += s.Thickness + j.Kerf
			if sum != s.Position || screw < 0 || j.Travel > 0 && screw > j.Travel+1 {
				t.Fatalf("cut %d: position %v, sum %v, screw %v", s.Cut, s.Position, sum, screw)
			}
			if off := max(s.Deviation, -s.Deviation); j.RoundUp == NoRoundUp && off > half*length.Length(1+rounding&1)+coarse {
				t.Fatalf("cut %d: leaf off by %v", s.Cut, s.Deviation)
			}
		}
		if j.RoundUp == NoRoundUp && j.Rounding == ByPosition && table.PositionDeviation > half+coarse {
			t.Fatalf("position off by %v, half a division is %v", table.PositionDeviation, half)
		}
	})
}

// TestFarOff: an advance of 0.064 is set as 0.06 on a dial of ten divisions of 0.01, so
// that leaves of 0.04 are a tenth too thin, and those of a nanometre less by more.
func TestFarOff(t *testing.T) {
	job := Job{
		Setting:       Setting{Screw: Screw{Lead: 100 * length.Thou, DivisionsPerTurn: 10}, Kerf: 24 * length.Thou},
		LeafThickness: 40 * length.Thou, LeafCount: 1,
	}
	for thinner, want := range map[length.Length]bool{0: false, 1: true} {
		job.Kerf, job.LeafThickness = 24*length.Thou+thinner, 40*length.Thou-thinner
		table, err := Schedule(job)
		if err != nil || table.FarOff(job.LeafThickness) != want {
			t.Errorf("%v: %+v, %v", job.LeafThickness, table, err)
		}
	}
}
