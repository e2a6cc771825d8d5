package dial_test

import (
	"errors"
	"math/rand"
	"testing"

	. "resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
)

func TestApproach(t *testing.T) {
	for _, c := range []struct {
		name               string
		from, to, backlash length.Length
		want               []Move
	}{
		{"ahead", 0, 95, 4, []Move{{false, 95 * thou, 95, 45}}},
		{"there", 95, 95, 4, []Move{}},
		{"just behind", 102, 100, 4, []Move{{true, 50 * thou, 50, 2}, {false, 48 * thou, 48, 0}}},
		{"behind by a turn", 148, 100, 4, []Move{{true, 100 * thou, 100, 48}, {false, 52 * thou, 52, 0}}},
		{"a turn does not exceed 0.046 + 0.004", 146, 100, 4, []Move{{true, 100 * thou, 100, 46}, {false, 54 * thou, 54, 0}}},
		{"a turn exceeds 0.045 + 0.004", 145, 100, 4, []Move{{true, 50 * thou, 50, 45}, {false, 5 * thou, 5, 0}}},
		{"no backlash", 102, 100, 0, []Move{{true, 50 * thou, 50, 2}, {false, 48 * thou, 48, 0}}},
	} {
		got, err := Approach(inchScrew, Span{c.from * thou, c.to * thou}, c.backlash*thou)
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%s: %v, %v", c.name, got, err)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: move %d is %+v, want %+v", c.name, i, got[i], c.want[i])
			}
		}
	}
	for name, args := range map[string][3]length.Length{
		"from": {-1, 0, 0}, "from ": {length.Max + 1, 0, 0}, "to": {0, -1, 0}, "to ": {0, length.Max + 1, 0},
		"backlash": {0, 0, -1}, "backlash ": {0, 0, length.Metre + 1},
	} {
		_, err := Approach(inchScrew, Span{args[0], args[1]}, args[2])
		var out *fault.OutOfRange
		if !errors.As(err, &out) || out.Quantity != trim(name) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	if _, err := Approach(Screw{}, Span{0, 1}, 0); err == nil {
		t.Error("no screw: no error")
	}
}

// slide is a carriage on a screw with backlash: turned forward, the screw pushes
// the nut once the play is taken up; turned back, it pulls it after as much.
type slide struct {
	backlash, screw, nut length.Length
	board                length.Length
	held                 bool // held fast, the screw uncoupled
}

func (s *slide) turn(by length.Length) {
	s.screw += by
	was := s.nut
	s.nut = min(max(s.nut, s.screw), s.screw+s.backlash)
	if !s.held {
		s.board += s.nut - was
	}
}

// travel is that of divisions either way.
func travel(s Screw, divisions int64) length.Length {
	if divisions < 0 {
		return -s.Distance(-divisions)
	}
	return s.Distance(divisions)
}

// FuzzApproach turns a slide with just the backlash that is told as the moves say: the
// board ends where the dial sets the target, wherever between two divisions the
// positions lie, and a turn less would not do.
func FuzzApproach(f *testing.F) {
	f.Add(int64(95_500), int64(0), int64(4_400), int64(100_000), uint16(100)) // 95.5 is set as 96: 4 divisions forward in a turn do not take up 4.4
	f.Add(int64(99_500), int64(0), int64(0), int64(100_000), uint16(100))     // set as 100, a turn: nothing would be left to come forward
	f.Add(int64(202_000), int64(200_000), int64(0), int64(50_000), uint16(50))
	f.Fuzz(func(t *testing.T, from, to, backlash, lead int64, divisions uint16) {
		screw := Screw{length.Length(lead), int(divisions)}
		moves, err := Approach(screw, Span{length.Length(from), length.Length(to)}, length.Length(backlash))
		if err != nil {
			return
		}
		start, target := screw.Divisions(length.Length(from)), screw.Divisions(length.Length(to))
		turned := start
		s := slide{backlash: length.Length(backlash), screw: screw.Distance(start), nut: screw.Distance(start)}
		for i, m := range moves {
			if m.Back != (i+1 < len(moves)) || m.Distance <= 0 || m.Divisions < int64(len(moves)-1) {
				t.Fatalf("%+v", moves)
			}
			if m.Back {
				turned -= m.Divisions
			} else {
				turned += m.Divisions
			}
			s.turn(travel(screw, turned) - s.screw)
		}
		if from != to && (turned != target || s.board != screw.Distance(target)-screw.Distance(start)) {
			t.Fatalf("from %d to %d, %+v: the board moves by %v, not %v", from, to, moves, s.board, screw.Distance(target)-screw.Distance(start))
		}
		if turn := length.Length(lead); len(moves) == 2 && moves[0].Distance-turn > max(length.Length(from-to), screw.Distance(start-target))+length.Length(backlash) {
			t.Fatalf("from %d to %d: a turn too many in %+v", from, to, moves)
		}
	})
}

// TestBacklashStaysOut turns the screw as schedules say, on slides with backlash
// of less than a turn, and saws: whatever backlash, retract and travel, every
// leaf is as the schedule says, and the schedule is that of an endless screw
// without retract.
func TestBacklashStaysOut(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	rezeros := 0
	for range 2_000 {
		n := 1 + random.Intn(120)
		j := Job{
			Setting: Setting{
				Screw: Screw{length.Length(n) * thou, n}, Kerf: length.Length(random.Intn(60)) * thou,
				Travel: length.Length(1+random.Intn(1500)) * thou, Retract: length.Length(random.Intn(n)) * thou,
				Rounding: Rounding(random.Intn(2)),
			},
			LeafThickness: length.Length(1+random.Intn(100_000)) * thou / 1000, LeafCount: 1 + random.Intn(20),
			Skim: length.Length(random.Intn(2)*random.Intn(50_000)) * thou / 1000,
		}
		table, err := Schedule(j)
		var none *fault.NoSolution
		if errors.As(err, &none) && none.Quantity == "travel" {
			j.Travel, _ = none.Needed.(length.Length)
			table, err = Schedule(j)
		}
		if errors.As(err, &none) && none.Quantity == "leaf thickness" {
			continue // finer than the dial
		}
		if err != nil {
			t.Fatalf("%+v: %v", j, err)
		}
		s := slide{backlash: length.Length(random.Intn(n)) * thou}
		s.turn(-j.Lead)
		s.turn(j.Lead) // the zero, come to forward
		s.board = 0
		retract := j.Distance(int64((j.Retract + j.Distance(1) - 1) / j.Distance(1)))
		last := length.Length(0)
		for i, step := range table.Steps {
			if step.Purpose == Rezero {
				rezeros++
				s.turn(retract)
				s.held = true
				s.turn(j.Distance(-step.Divisions) * -1)
				s.turn(-j.Lead)
				if s.screw < 0 {
					t.Fatalf("%+v: wound back beyond the end of the screw, to %v", j, s.screw)
				}
				s.turn(j.Lead)
				s.held = false
				continue
			}
			s.turn(j.Distance(step.Divisions))
			if s.screw > j.Travel {
				t.Fatalf("%+v: the screw is at %v of %v", j, s.screw, j.Travel)
			}
			if got := s.board - last - j.Kerf; got != step.Thickness || s.board != step.Position {
				t.Fatalf("%+v, backlash %v: step %d gives a leaf of %v, not %v", j, s.backlash, i, got, step.Thickness)
			}
			last = s.board
			if i < len(table.Steps)-1 {
				s.turn(-retract)
			}
		}
		endless := j
		endless.Travel, endless.Retract = 0, 0
		plain, err := Schedule(endless)
		if err != nil || plain.LeafDeviation != table.LeafDeviation || plain.PositionDeviation != table.PositionDeviation {
			t.Fatalf("%+v: deviations change with travel and retract: %v", j, err)
		}
	}
	if rezeros < 1000 {
		t.Errorf("only %d re-zeros were tried", rezeros)
	}
}
