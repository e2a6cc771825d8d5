package feed

import (
	"math"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	in = length.Inch
	mm = length.Millimetre
	m  = length.Metre
)

// attempt is a call whose one argument is at fault or just inside its limits.
type attempt struct {
	name     string
	quantity string // "" where the call is fine
	err      error
}

func checkRefusals(t *testing.T, rows []attempt) {
	t.Helper()
	for _, c := range rows {
		if refusal.Of(c.err) != c.quantity {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

func TestSpeedLimits(t *testing.T) {
	nan := math.NaN()
	speed := func(d length.Length, rpm float64) error { return refusal.Only(RimSpeed(d, rpm)) }
	tooth := func(f Speed, v BladeSpeed, tpi float64) error { return refusal.Only(PerTooth(f, v, tpi)) }
	teeth := func(h length.Length, tpi float64) error { return refusal.Only(TeethInCut(h, tpi)) }
	gfi := func(b float64, h length.Length, a float64) error { return refusal.Only(GulletFeedIndex(b, h, a)) }
	area := func(f Speed, h length.Length) error { return refusal.Only(SawnAreaPerMinute(f, h)) }
	const f, v = Speed(10 * in), BladeSpeed(3000 * length.Foot)
	checkRefusals(t, []attempt{
		{"no wheel", "wheel diameter", speed(0, 1000)},
		{"a speck of a wheel", "blade speed", speed(1, 100)},
		{"wheel at its largest", "", speed(10*m, 100)},
		{"wheel beyond", "wheel diameter", speed(10*m+1, 100)},
		{"no turns", "rpm", speed(in, 0)},
		{"half a turn", "", speed(m, 0.5)},
		{"rpm NaN", "rpm", speed(in, nan)},
		{"rpm at its most", "", speed(10*mm, 100_000)},
		{"rpm beyond", "rpm", speed(10*mm, 100_000.1)},
		// pi * 0.1 m * 3 is 0.94 m/min, * 3.2 is 1.005; pi * 1 m * 1909 is 5997, * 1910 is 6000.4.
		{"slow", "blade speed", speed(100*mm, 3)},
		{"just fast enough", "", speed(100*mm, 3.2)},
		{"just slow enough", "", speed(m, 1909)},
		{"fast", "blade speed", speed(m, 1910)},

		{"no feed", "feed", tooth(0, v, 3)},
		{"the least feed", "", tooth(1, v, 3)},
		{"the most feed", "", tooth(Speed(100*m), v, 3)},
		{"feed beyond", "feed", tooth(Speed(100*m)+1, v, 3)},
		{"blade below", "blade speed", tooth(f, BladeSpeed(m)-1, 3)},
		{"blade at its slowest", "", tooth(f, BladeSpeed(m), 3)},
		{"blade at its fastest", "", tooth(f, BladeSpeed(6000*m), 3)},
		{"blade beyond", "blade speed", tooth(f, BladeSpeed(6000*m)+1, 3)},
		{"tpi below", "tpi", tooth(f, v, 0.0999)},
		{"tpi at its least", "", tooth(f, v, 0.1)},
		{"tpi at its most", "", tooth(f, v, 100)},
		{"tpi beyond", "tpi", tooth(f, v, 100.1)},
		{"tpi NaN", "tpi", tooth(f, v, nan)},
		{"the largest feed per tooth", "", tooth(Speed(100*m), BladeSpeed(m), 0.1)},

		{"teeth in no height", "stock height", teeth(0, 3)},
		{"teeth in the least height", "", teeth(1, 3)},
		{"teeth in the most", "", teeth(length.Max, 3)},
		{"teeth beyond", "stock height", teeth(length.Max+1, 3)},
		{"teeth, tpi", "tpi", teeth(in, 0)},

		{"index, feed per tooth below", "feed per tooth", gfi(-1, in, 6)},
		{"index, none", "", gfi(0, in, 6)},
		{"index, most", "", gfi(100_000, in, 6)},
		{"index, beyond", "feed per tooth", gfi(100_000.1, in, 6)},
		{"index, feed per tooth NaN", "feed per tooth", gfi(nan, in, 6)},
		{"index, height", "stock height", gfi(1, 0, 6)},
		{"index, no area", "gullet area", gfi(1, in, 0)},
		{"index, half a square millimetre", "", gfi(1, in, 0.5)},
		{"index, area NaN", "gullet area", gfi(1, in, nan)},
		{"index, most area", "", gfi(1, in, 100_000)},
		{"index, area beyond", "gullet area", gfi(1, in, 100_000.01)},

		{"area, no feed", "feed", area(0, in)},
		{"area, no height", "stock height", area(f, 0)},
	})
}

// TestTimeLimits changes one field of a good job in every row.
func TestTimeLimits(t *testing.T) {
	ok := Job{Pass: Pass{CutLength: in, Feed: Speed(in)}, CutCount: 10_001}
	with := func(change func(*Job)) error {
		job := ok
		change(&job)
		return refusal.Only(RunTime(job))
	}
	const day, nan = 86_400.0, "NaN"
	rows := []attempt{
		{"no cut length", "cut length", with(func(j *Job) { j.CutLength = 0 })},
		{"least cut length", "", with(func(j *Job) { j.CutLength = 1 })},
		{"most cut length", "", with(func(j *Job) { j.CutLength = length.Max })},
		{"cut length beyond", "cut length", with(func(j *Job) { j.CutLength = length.Max + 1 })},
		{"run-in below", "run in", with(func(j *Job) { j.RunIn = -1 })},
		{"most run-in", "", with(func(j *Job) { j.RunIn = length.Max })},
		{"run-in beyond", "run in", with(func(j *Job) { j.RunIn = length.Max + 1 })},
		{"run-out below", "run out", with(func(j *Job) { j.RunOut = -1 })},
		{"most run-out", "", with(func(j *Job) { j.RunOut = length.Max })},
		{"run-out beyond", "run out", with(func(j *Job) { j.RunOut = length.Max + 1 })},
		{"feed", "feed", with(func(j *Job) { j.Feed = 0 })},
		{"return feed below", "return feed", with(func(j *Job) { j.ReturnFeed = -1 })},
		{"most return feed", "", with(func(j *Job) { j.ReturnFeed = Speed(100 * m) })},
		{"return feed beyond", "return feed", with(func(j *Job) { j.ReturnFeed = Speed(100*m) + 1 })},
		{"no cuts", "cut count", with(func(j *Job) { j.CutCount = 0 })},
		{"one cut", "", with(func(j *Job) { j.CutCount = 1 })},
		{"cuts beyond", "cut count", with(func(j *Job) { j.CutCount = 10_002 })},
		{"cleaning below", "clean count", with(func(j *Job) { j.CleanCount = -1 })},
		{"cleaning after every cut", "", with(func(j *Job) { j.CleanCount = 10_001 })},
		{"cleaning beyond", "clean count", with(func(j *Job) { j.CleanCount = 10_002 })},
	}
	for name, field := range map[string]func(*Job) *float64{
		"handle seconds": func(j *Job) *float64 { return &j.HandleSeconds },
		"index seconds":  func(j *Job) *float64 { return &j.IndexSeconds },
		"setup seconds":  func(j *Job) *float64 { return &j.SetupSeconds },
		"clean seconds":  func(j *Job) *float64 { return &j.CleanSeconds },
	} {
		set := func(x float64) error { return with(func(j *Job) { *field(j) = x }) }
		rows = append(rows,
			attempt{name + " below", name, set(-0.001)}, attempt{name + " a day", "", set(day)},
			attempt{name + " beyond", name, set(day + 0.001)}, attempt{name + " " + nan, name, set(math.NaN())})
	}
	rows = append(rows, attempt{"a pass without feed", "feed", refusal.Only(CutSeconds(Pass{CutLength: in}))})
	for _, c := range []struct {
		quantity    string
		cuts, every int
	}{
		{"cut count", 0, 1}, {"", 1, 1}, {"", 10_001, 1}, {"cut count", 10_002, 1},
		{"clean every", 1, -1}, {"", 1, 0}, {"", 1, 10_001}, {"clean every", 1, 10_002},
	} {
		rows = append(rows, attempt{"clean count", c.quantity, refusal.Only(CleanCount(c.cuts, c.every))})
	}
	checkRefusals(t, rows)
}

// TestReturn: back at the feed takes as long as the cut, 36 in at 1 nm/min as
// many minutes as there are nanometres; without a feed it is not counted.
func TestReturn(t *testing.T) {
	for back, want := range map[Speed]float64{0: 0, 1: 36 * 25_400_000 * 60, Speed(10 * in): 216} {
		b, err := RunTime(Job{Pass: Pass{CutLength: 36 * in, Feed: Speed(10 * in)}, CutCount: 1, ReturnFeed: back})
		if err != nil || b.ReturningSeconds != want || b.CuttingSeconds != 216 {
			t.Errorf("back at %d: %+v, %v", back, b, err)
		}
	}
}

// TestCleanCount walks the cuts and stops before each one that is due.
func TestCleanCount(t *testing.T) {
	for cuts := 1; cuts < 40; cuts++ {
		for every := range 45 {
			stops, since := 0, 0
			for range cuts {
				if every > 0 && since == every {
					stops, since = stops+1, 0
				}
				since++
			}
			if got, err := CleanCount(cuts, every); err != nil || got != stops {
				t.Errorf("CleanCount(%d, %d) = %d, %v; want %d", cuts, every, got, err, stops)
			}
		}
	}
}

// FuzzFeed: results are finite; twice the feed halves the time and doubles the
// feed per tooth; in the time of a cut, as many teeth pass as take the cut
// length at that feed per tooth.
func FuzzFeed(f *testing.F) {
	f.Add(int64(36*in), int64(10*in), int64(3000*length.Foot), 3.0)
	f.Add(int64(1), int64(50*m), int64(m), 0.1)
	f.Fuzz(func(t *testing.T, cut, fd, blade int64, tpi float64) {
		pass := Pass{CutLength: length.Length(cut), Feed: Speed(fd)}
		s, err := CutSeconds(pass)
		b, err2 := PerTooth(pass.Feed, BladeSpeed(blade), tpi)
		pass.Feed *= 2
		s2, err3 := CutSeconds(pass)
		b2, err4 := PerTooth(pass.Feed, BladeSpeed(blade), tpi)
		if err := fault.First(err, err2, err3, err4); err != nil {
			return
		}
		if math.Abs(s-2*s2) > 1e-9*s || math.Abs(b2-2*b) > 1e-9*b {
			t.Fatalf("feed %d: %v s, %v mm; twice that: %v s, %v mm", fd, s, b, s2, b2)
		}
		teeth := float64(blade) * (s / 60) * tpi / float64(in)
		if off := math.Abs(teeth*b*float64(mm) - float64(cut)); off > 1e-9*float64(cut) {
			t.Fatalf("%v teeth of %v mm make %v mm, not %d nm", teeth, b, teeth*b, cut)
		}
	})
}
