package sheet_test

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// What the words of a sheet say of the saw, in the order in which they say it.
var (
	unplugs = regexp.MustCompile(`(?i)\bunplug(ged)?\b`)
	plugsIn = regexp.MustCompile(`(?i)\bplug in\b`)
	// touches are what hands do at the blade.
	touches = regexp.MustCompile(`(?i)\b(fit the blade|tension and track|square it|set the guides|close the table insert|mount (scrap|the board)|read the gaps|draw the scrap|correct what is off|tip of a tooth|uncouple the|wipe the blade|look at the teeth)\b`)
	cuts    = regexp.MustCompile(`(?i)\b(run the saw up|make two cuts|start a third cut|and cut\.)`)
	clause  = regexp.MustCompile(`[.;:,]\s`)
)

// power follows whether the saw could run while a sheet is read from its top.
type power struct {
	live    bool
	touched int
}

// read takes the words of a step, clause by clause: within one, unplugging comes
// first and plugging in last, as it is spoken.
func (p *power) read(t *testing.T, text string) {
	t.Helper()
	for _, c := range clause.Split(text, -1) {
		if unplugs.MatchString(c) {
			p.live = false
		}
		if touches.MatchString(c) {
			p.touched++
			if p.live {
				t.Errorf("hands at a saw that could run: %q in %q", c, text)
			}
		}
		if plugsIn.MatchString(c) {
			p.live = true
		}
		if cuts.MatchString(c+". ") && !p.live {
			t.Errorf("a cut with the saw unplugged: %q in %q", c, text)
		}
	}
}

// anyRun is a run of any size, with or without a truing cut, stops and a
// retract.
func anyRun(r *rand.Rand) string {
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	return fmt.Sprintf(`{"units":%q,"board":{"name":"b","species":%q,"thickness":"%d in","width":"%d in","length":"%d in"},"leaf_thickness":"0.05 in","leaf_count":%d,`+
		`"kerf":"0.045 in","skim":%q,"retract":%q,"travel":"0.6 in","lead":"0.1 in","divisions_per_turn":100,"clean_every":%d,"start_reading":%d,"fixing":%q,"kerf_basis":%q}`,
		pick("in", "mm"), pick("koa", "oak", "plywood", "hard maple"), 2+r.IntN(4), 3+r.IntN(7), 12+r.IntN(24), 1+r.IntN(12),
		pick("0", "0.03 in"), pick("0", "0.02 in", "0.1 in"), 1+r.IntN(6), r.IntN(100), pick("tape", "glue"), pick("nominal", "measured"))
}

// TestNoHandAtALiveBlade: from switching off to the last leaf, whoever follows
// a sheet has the saw unplugged whenever a hand is at the blade, and plugged in
// whenever it cuts.
func TestNoHandAtALiveBlade(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	for range 60 {
		body := anyRun(r)
		root := parsed(t, shown(t, "POST", "/v1/run?format=html", body))
		saw := power{live: true}
		for _, step := range texts(elements(section(t, root, "set-up"), "li", "")) {
			saw.read(t, step)
		}
		if saw.touched < 8 || !saw.live {
			t.Errorf("set-up touches the blade %d times and ends with the saw live: %v", saw.touched, saw.live)
		}
		for _, row := range elements(elements(root, "tbody", "")[0], "tr", "") {
			if attribute(row, "class") == "stop" {
				saw.read(t, words(row))
			}
			if attribute(row, "class") == "cut" && !saw.live {
				t.Errorf("a cut stands behind a stop that leaves the saw unplugged: %q", words(row))
			}
		}
		if t.Failed() {
			t.Fatal(body)
		}
	}
}

// TestReach: wherever the routine takes a leaf or passes the blade on the way
// back, the same step says what keeps the hands away from it.
func TestReach(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 20 {
		body := anyRun(r)
		root := parsed(t, shown(t, "POST", "/v1/run?format=html", body))
		routine := texts(elements(section(t, root, "per-cut"), "li", ""))
		reach := regexp.MustCompile(`(?i)\b(take|taken|catch|clear (it|the leaf) away|way back)\b`)
		safe := regexp.MustCompile(`blade has stopped|clear of the blade`)
		found := 0
		for _, step := range routine {
			if reach.MatchString(step) {
				found++
				if !safe.MatchString(step) {
					t.Errorf("%q", step)
				}
			}
		}
		if all := strings.Join(routine, " "); found < 2 || !strings.Contains(all, "none past it or behind it while it runs") {
			t.Errorf("the routine takes and returns in %d steps: %q", found, all)
		}
	}
}

// TestRetractInEveryRow: a board that is backed off has the amount behind every
// cut, the mark it comes to, and nothing that says the dial only turns forward.
func TestRetractInEveryRow(t *testing.T) {
	for retract, back := range map[string]int{"0": 0, "0.02": 20, "0.0195": 20, "0.1": 100} {
		body := `{"board":{"name":"b","thickness":2,"width":6,"length":24},"leaf_thickness":0.05,"leaf_count":9,"kerf":0.045,"skim":0.03,"lead":0.1,"divisions_per_turn":100,"travel":0.6,"retract":` + retract + `}`
		root := parsed(t, shown(t, "POST", "/v1/run?format=html", body))
		rows, backs := elements(root, "tr", "cut"), elements(root, "tr", "back")
		if forwardOnly := strings.Contains(words(root), "forward only"); forwardOnly != (back == 0) {
			t.Errorf("retract %s: forward only stands there: %v", retract, forwardOnly)
		}
		if back == 0 {
			if len(backs) != 0 {
				t.Errorf("%d rows back the board off by nothing", len(backs))
			}
			continue
		}
		if len(backs) != len(rows) {
			t.Fatalf("retract %s: %d cuts, %d rows that back off", retract, len(rows), len(backs))
		}
		for i, row := range backs {
			reads := words(elements(elements(rows[i], "td", "reads")[0], "b", "")[0])
			var at int
			if _, err := fmt.Sscan(reads, &at); err != nil {
				t.Fatal(err)
			}
			want := fmt.Sprintf("Board clear of the blade: unlock, back %d turn%s + %d to %d, lock, return.", back/100, map[bool]string{true: "", false: "s"}[back == 100], back%100, ((at-back)%100+100)%100)
			if got := words(row); !strings.HasSuffix(got, want) {
				t.Errorf("after cut %d: %q, want %q", i+1, got, want)
			}
		}
	}
}

// TestRezeroWords: the screw goes back a turn more than the row says and forward
// again, to where the dial stood after the last cut, retracted or not.
func TestRezeroWords(t *testing.T) {
	for _, retract := range []string{"0", "0.02"} {
		body := `{"board":{"name":"b","thickness":2,"width":6,"length":24},"leaf_thickness":0.05,"leaf_count":9,"kerf":0.045,"lead":0.1,"divisions_per_turn":100,"travel":0.6,"clean_every":50,"retract":` + retract + `}`
		root := parsed(t, shown(t, "POST", "/v1/run?format=html", body))
		var before *html.Node
		stops := 0
		for _, row := range elements(elements(root, "tbody", "")[0], "tr", "") {
			switch attribute(row, "class") {
			case "cut":
				before = row
			case "stop":
				stops++
				reads := words(elements(elements(before, "td", "reads")[0], "b", "")[0])
				text := words(row)
				for _, want := range []string{"uncouple the screw", "forward 1 turn", "the dial stands at " + reads + ", turn"} {
					if !strings.Contains(text, want) {
						t.Errorf("retract %s: %q does not say %q", retract, text, want)
					}
				}
				if takesUp := strings.Contains(text, "turn the dial forward to "+reads+" to take up the retract"); takesUp != (retract != "0") {
					t.Errorf("retract %s: %q", retract, text)
				}
			}
		}
		if stops == 0 {
			t.Error("no re-zero")
		}
	}
}

// TestOneOfSix: each leaf has six boxes for its thickness, each named by the end
// and the height, and a sheet has places for the date, the operator and the
// blade.
func TestOneOfSix(t *testing.T) {
	root := parsed(t, shown(t, "POST", "/v1/run?format=html", matchedRun))
	for i, cell := range elements(root, "td", "measured") {
		names := map[string]bool{}
		for _, in := range elements(cell, "input", "") {
			names[attribute(in, "aria-label")] = true
		}
		for _, end := range []string{"first", "last"} {
			for _, height := range []string{"top", "middle", "bottom"} {
				if want := fmt.Sprintf("Leaf %d, %s end, %s", i+1, end, height); !names[want] || len(names) != 6 {
					t.Errorf("no box for %s among %v", want, names)
				}
			}
		}
	}
	if got := texts(elements(elements(root, "p", "record")[0], "label", "")); strings.Join(got, ", ") != "Date, Operator, Blade" {
		t.Errorf("the record asks for %q", got)
	}
}
