package upkeep

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"resawd/calc/fault"
)

// TestEveryCauseHasARemedy, and a check, and stands where its cost puts it, once.
func TestEveryCauseHasARemedy(t *testing.T) {
	count := 0
	for _, symptom := range Symptoms() {
		seen := map[string]bool{}
		last := 1
		for _, c := range Causes(symptom) {
			count++
			if symptom == "" || c.Cause == "" || c.Check == "" || c.Remedy == "" {
				t.Errorf("%q has an empty cell: %+v", symptom, c)
			}
			if c.Cost < last || c.Cost > 3 {
				t.Errorf("%q: %q costs %d after %d", symptom, c.Cause, c.Cost, last)
			}
			if seen[c.Cause] {
				t.Errorf("%q has %q twice", symptom, c.Cause)
			}
			seen[c.Cause], last = true, c.Cost
		}
		if len(seen) < 2 {
			t.Errorf("%q has %d causes", symptom, len(seen))
		}
	}
	sorted := slices.Sorted(slices.Values(Symptoms()))
	if len(slices.Compact(sorted)) != len(Symptoms()) || len(Symptoms()) < 10 || count < 30 {
		t.Errorf("%d symptoms, %d causes", len(Symptoms()), count)
	}
}

// TestUnplugged: whoever looks closely at what moves on the saw, or reaches for it,
// unplugs the saw first.
func TestUnplugged(t *testing.T) {
	seen := 0
	for symptom, list := range causes {
		for _, c := range list {
			for _, near := range []string{"turn the wheel", "tooth", "gullets", "tyres", "guides", "weld", "along the blade", "behind the blade", "fence by hand"} {
				if strings.Contains(c.Check, near) {
					if seen++; !strings.Contains(c.Check, "unplug") {
						t.Errorf("%s: %s", symptom, c.Check)
					}
				}
			}
		}
	}
	if seen < 15 {
		t.Errorf("only %d checks at the blade", seen)
	}
}

// TestCosts: what each remedy costs, typed in a second time.
func TestCosts(t *testing.T) {
	want := map[string]int{
		"clean the blade with a solvent for pitch": 1, "brush wheels and rail": 1, "feed slower": 1, "feed faster": 1,
		"set the tension as the blade's maker says": 1, "lower the upper guides and set them again": 1, "clean the faces and fix the board again": 1,
		"set them square and tighten them": 1, "take another truing cut": 1, "go back a turn and come forward again": 1,
		"lock it and tighten what gives": 1, "track it again and clean the tyres": 1, "clean the tyres": 1, "track the blade again": 1,
		"set the rail parallel": 2, "set the guides again": 2,
		"change the blade": 3, "grease or change the wheel": 3, "mount a coarser blade": 3, "dress or change the tyres": 3, "change the blade and never run a cracked one": 3,
	}
	for _, list := range causes {
		for _, c := range list {
			if want[c.Remedy] != c.Cost {
				t.Errorf("%q costs %d, want %d", c.Remedy, c.Cost, want[c.Remedy])
			}
		}
	}
}

// TestTheRules: what practice says of the commonest symptoms.
func TestTheRules(t *testing.T) {
	for symptom, remedy := range map[string]string{
		"the board is hard to feed":        "clean the blade with a solvent for pitch",
		"the dust is darker than the wood": "change the blade",
		"smoke or burnt faces":             "clean the blade with a solvent for pitch",
		"the carriage jerks":               "brush wheels and rail",
		"the blade rubs behind the teeth":  "set the rail parallel",
		"the cut is barrelled":             "set the tension as the blade's maker says",
		"the cut drifts to one side":       "feed slower",
	} {
		if !slices.ContainsFunc(Causes(symptom), func(c Cause) bool { return c.Remedy == remedy }) {
			t.Errorf("%q has no %q", symptom, remedy)
		}
	}
	if got := Causes("none of these"); len(got) != 0 {
		t.Errorf("a symptom that is not there: %v", got)
	}
	Symptoms()[0], Causes("the carriage jerks")[0].Cause = "changed", "changed"
	if Symptoms()[0] == "changed" || Causes("the carriage jerks")[0].Cause == "changed" {
		t.Error("the table can be changed from outside")
	}
}

func TestReadSymptoms(t *testing.T) {
	const head = "symptom,cause,check,remedy,cost\n"
	for table, want := range map[string]string{
		head + "a,b,c,d,dear\n": "a has the cost dear",
		head + "a,b,c,d\n":      "wrong number of fields",
	} {
		func() {
			defer func() {
				if got := fmt.Sprint(recover()); !strings.Contains(got, want) {
					t.Errorf("%q: %s, want %q", table, got, want)
				}
			}()
			readSymptoms(table)
		}()
	}
}

func TestRemaining(t *testing.T) {
	for name, c := range map[string]struct {
		interval, done Count
		want           Left
	}{
		"new":              {Count{Cuts: 10}, Count{}, Left{Fine, Count{Cuts: 10}, 0}},
		"fine":             {Count{Cuts: 100}, Count{Cuts: 79}, Left{Fine, Count{Cuts: 21}, .79}},
		"soon":             {Count{Cuts: 100}, Count{Cuts: 80}, Left{Soon, Count{Cuts: 20}, .8}},
		"nearly due":       {Count{Cuts: 100}, Count{Cuts: 99}, Left{Soon, Count{Cuts: 1}, .99}},
		"due":              {Count{Cuts: 100}, Count{Cuts: 100}, Left{Due, Count{}, 1}},
		"still due":        {Count{Cuts: 100}, Count{Cuts: 124}, Left{Due, Count{}, 1.24}},
		"overdue":          {Count{Cuts: 100}, Count{Cuts: 125}, Left{Overdue, Count{}, 1.25}},
		"by area":          {Count{AreaMM2: 1000}, Count{AreaMM2: 900, Cuts: 5, Hours: 3}, Left{Soon, Count{AreaMM2: 100}, .9}},
		"by hours":         {Count{Hours: 40}, Count{Hours: 40}, Left{Due, Count{}, 1}},
		"area comes first": {Count{Cuts: 8, AreaMM2: 1000}, Count{Cuts: 4, AreaMM2: 1300}, Left{Overdue, Count{Cuts: 4}, 1.3}},
		"cuts come first":  {Count{Cuts: 8, AreaMM2: 1000, Hours: 10}, Count{Cuts: 8, AreaMM2: 100, Hours: 1}, Left{Due, Count{AreaMM2: 900, Hours: 9}, 1}},
		"hours come first": {Count{Cuts: 8, AreaMM2: 1000, Hours: 10}, Count{Cuts: 1, AreaMM2: 100, Hours: 9}, Left{Soon, Count{Cuts: 7, AreaMM2: 900, Hours: 1}, .9}},
	} {
		if got, err := Remaining(c.interval, c.done); err != nil || got != c.want {
			t.Errorf("%s: %+v, %v; want %+v", name, got, err, c.want)
		}
	}
}

func TestLimits(t *testing.T) {
	nan := math.NaN()
	some := Count{1, 1, 1}
	var none *fault.OutOfRange
	if _, err := Remaining(Count{}, some); !errors.As(err, &none) || none.Value != 0 || none.Low != 0 {
		t.Errorf("no interval: %v", err)
	}
	for name, c := range map[string]struct {
		interval, done Count
		want           string
	}{
		"no interval":     {Count{}, some, "interval"},
		"cuts below":      {Count{-1, 1, 1}, some, "interval cuts"},
		"cuts at most":    {Count{1e9, 0, 0}, some, ""},
		"cuts beyond":     {Count{1e9 + 1, 1, 1}, some, "interval cuts"},
		"area below":      {Count{1, -.1, 1}, some, "interval area"},
		"area at most":    {Count{0, 1e15, 0}, some, ""},
		"area beyond":     {Count{1, 1.01e15, 1}, some, "interval area"},
		"area NaN":        {Count{1, nan, 1}, some, "interval area"},
		"hours below":     {Count{1, 1, -.1}, some, "interval hours"},
		"hours at most":   {Count{0, 0, 1e6}, some, ""},
		"hours beyond":    {Count{1, 1, 1.01e6}, some, "interval hours"},
		"done below":      {some, Count{-1, 0, 0}, "done cuts"},
		"nothing done":    {some, Count{}, ""},
		"done at most":    {some, Count{1e9, 1e15, 1e6}, ""},
		"done beyond":     {some, Count{0, 0, 1.01e6}, "done hours"},
		"done area NaN":   {some, Count{0, nan, 0}, "done area"},
		"a tiny interval": {Count{0, math.SmallestNonzeroFloat64, 0}, some, ""},
	} {
		got, err := Remaining(c.interval, c.done)
		var out *fault.OutOfRange
		if (err == nil) != (c.want == "") || err != nil && (!errors.As(err, &out) || out.Quantity != c.want || got != Left{}) {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
		if math.IsInf(got.Share, 0) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestSinceMeasured(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		sawn, measured, want float64
		wrong                string
	}{
		"new":            {0, 0, 0, ""},
		"as measured":    {5, 5, 0, ""},
		"since":          {1e15, 1, 1e15 - 1, ""},
		"sawn below":     {-.1, 0, 0, "blade area"},
		"sawn beyond":    {1.01e15, 0, 0, "blade area"},
		"sawn NaN":       {nan, 0, 0, "blade area"},
		"measured below": {5, -.1, 0, "area when measured"},
		"measured later": {5, 5.1, 0, "area when measured"},
		"measured NaN":   {5, nan, 0, "area when measured"},
	} {
		got, err := SinceMeasured(c.sawn, c.measured)
		var out *fault.OutOfRange
		if got != c.want || (err == nil) != (c.wrong == "") || err != nil && (!errors.As(err, &out) || out.Quantity != c.wrong) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

// FuzzRemaining: more work never makes a thing less due, and what is left and what is
// done make the interval.
func FuzzRemaining(f *testing.F) {
	f.Add(8, 1000.0, 40.0, 3, 500.0, 1.0, 2)
	f.Fuzz(func(t *testing.T, cuts int, area, hours float64, done int, doneArea, doneHours float64, more int) {
		interval, c := Count{cuts, area, hours}, Count{done, doneArea, doneHours}
		left, err := Remaining(interval, c)
		if err != nil {
			return
		}
		if done <= cuts && left.Cuts+done != cuts {
			t.Fatalf("%+v of %+v: %+v", c, interval, left)
		}
		if later, err := Remaining(interval, c.Plus(Count{Cuts: more & 0xffff})); err == nil && (later.State < left.State || later.Share < left.Share) {
			t.Fatalf("%+v, then %+v", left, later)
		}
	})
}
