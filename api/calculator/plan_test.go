package calculator_test

import (
	"bytes"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"resawd/api/apitest"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// planned is what these tests read of a plan.
type planned struct {
	Status    string
	StoppedBy string `json:"stopped_by"`
	Cost      float64
	Currency  string
	Taken     []struct {
		Board   string
		Copies  int
		Kits    []struct{ Count int }
		Billets []struct {
			Mark      string
			Remainder float64
			Leaves    []struct {
				LeafCount int `json:"leaf_count"`
			}
			Run jsontext.Value
		}
	}
	Used struct {
		HoldBack float64 `json:"hold_back"`
	}
	Stats struct {
		LeafCount   int `json:"leaf_count"`
		BoardCount  int `json:"board_count"`
		BilletCount int `json:"billet_count"`
		PassCount   int `json:"pass_count"`
	}
}

// post sends JSON and gives the answer's status and body.
func post(t *testing.T, url, body string) (int, []byte) {
	t.Helper()
	answer, err := http.Post(url, "application/json", strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, text
}

func planOf(t *testing.T, base, body string) (p planned) {
	t.Helper()
	status, text := post(t, base+"/v1/plan", body)
	if err := json.Unmarshal(text, &p, json.MatchCaseInsensitiveNames(true)); err != nil || status != http.StatusOK {
		t.Fatalf("status %d, %v: %s", status, err, text)
	}
	return p
}

func demoOrder(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/orders/plan.json")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestPlanRuns sends the request for the run sheet of every billet as it is:
// the run gives as many leaves as the plan counts on, leaves on the fence what
// the plan leaves, and no mark is given twice.
func TestPlanRuns(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	p := planOf(t, server.URL, demoOrder(t))
	marks := map[string]bool{}
	leaves, boards, billets := 0, 0, 0
	for _, taken := range p.Taken {
		boards += taken.Copies
		for _, b := range taken.Billets {
			billets += taken.Copies
			count := 0
			for _, l := range b.Leaves {
				count += l.LeafCount
			}
			leaves += taken.Copies * count
			if marks[b.Mark] || !strings.HasPrefix(b.Mark, taken.Board+" ") {
				t.Errorf("the mark %s of %s", b.Mark, taken.Board)
			}
			marks[b.Mark] = true
			status, text := post(t, server.URL+"/v1/run", string(b.Run))
			var run struct {
				Summary struct {
					LeafCount         int     `json:"leaf_count"`
					LeftOnFence       float64 `json:"left_on_fence"`
					PositionDeviation float64 `json:"position_deviation"`
				}
				Cuts []struct{ Mark string }
			}
			if err := json.Unmarshal(text, &run, json.MatchCaseInsensitiveNames(true)); err != nil || status != http.StatusOK {
				t.Errorf("%s: status %d, %v: %s", b.Mark, status, err, text)
				continue
			}
			const half = 0.0005 + 1e-9 // division of the demo saw's dial, in
			if off := run.Summary.LeftOnFence - b.Remainder - p.Used.HoldBack; run.Summary.LeafCount != count || off > half || off < -half {
				t.Errorf("%s: %d leaves and %g left; the plan has %d and %g", b.Mark, run.Summary.LeafCount, run.Summary.LeftOnFence, count, b.Remainder+p.Used.HoldBack)
			}
			if last := run.Cuts[len(run.Cuts)-1]; !strings.HasPrefix(last.Mark, b.Mark+" no. ") {
				t.Errorf("%s: the last leaf is marked %s", b.Mark, last.Mark)
			}
		}
	}
	if p.Stats.LeafCount != leaves || p.Stats.BoardCount != boards || p.Stats.BilletCount != billets || leaves == 0 {
		t.Errorf("%+v; counted are %d leaves, %d boards, %d billets", p.Stats, leaves, boards, billets)
	}
}

// TestPlanAgain: the same order gives the same bytes.
func TestPlanAgain(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	status, first := post(t, server.URL+"/v1/plan", demoOrder(t))
	if _, again := post(t, server.URL+"/v1/plan", demoOrder(t)); status != 200 || !bytes.Equal(first, again) {
		t.Errorf("first\n%s\nthen\n%s", first, again)
	}
}

// TestPlanMetamorphic: what does not change an order does not change its cost.
func TestPlanMetamorphic(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	const boards = `{"thickness": 1, "width": 8, "length": 30, "price": 30}, {"thickness": 1.5, "width": 7, "length": 40, "price": 48, "quantity": 2}`
	const parts = `{"thickness": 0.1, "width": 3, "length": 14, "quantity": 12, "matched": 2}, {"thickness": 0.2, "width": 2, "length": 9, "quantity": 7}`
	const cuts = `"kerf": 0.045, "hold_back": 0.125, "skim": 0.03, "time_limit_seconds": 30`
	order := func(boards, parts, cuts string) string {
		return `{"boards": [` + boards + `], "parts": [` + parts + `], ` + cuts + `}`
	}
	base := planOf(t, server.URL, order(boards, parts, cuts))
	if base.Status != "optimal" || base.Cost == 0 {
		t.Fatalf("%+v", base)
	}
	for name, changed := range map[string]string{
		"boards in another order": order(`{"thickness": 1.5, "width": 7, "length": 40, "price": 48, "quantity": 2}, {"thickness": 1, "width": 8, "length": 30, "price": 30}`, parts, cuts),
		"parts in another order":  order(boards, `{"thickness": 0.2, "width": 2, "length": 9, "quantity": 7}, {"thickness": 0.1, "width": 3, "length": 14, "quantity": 12, "matched": 2}`, cuts),
		"a part split in two":     order(boards, `{"thickness": 0.1, "width": 3, "length": 14, "quantity": 12, "matched": 2}, {"thickness": 0.2, "width": 2, "length": 9, "quantity": 3}, {"thickness": 0.2, "width": 2, "length": 9, "quantity": 4}`, cuts),
		"a useless board":         order(boards+`, {"thickness": 0.2, "width": 8, "length": 30, "price": 1}`, parts, cuts),
		"spare for quantity":      order(boards, `{"thickness": 0.1, "width": 3, "length": 14, "quantity": 8, "spare": 4, "matched": 2}, {"thickness": 0.2, "width": 2, "length": 9, "quantity": 7}`, cuts),
		"hold-back and thickness": order(`{"thickness": 1.1, "width": 8, "length": 30, "price": 30}, {"thickness": 1.6, "width": 7, "length": 40, "price": 48, "quantity": 2}`, parts, `"kerf": 0.045, "hold_back": 0.225, "skim": 0.03, "time_limit_seconds": 30`),
		"kerf and leaves": order(boards, `{"thickness": 0.095, "width": 3, "length": 14, "quantity": 12, "matched": 2}, {"thickness": 0.195, "width": 2, "length": 9, "quantity": 7}`,
			`"kerf": 0.05, "hold_back": 0.125, "skim": 0.025, "time_limit_seconds": 30`),
		"in mm": order(`{"thickness": 25.4, "width": 203.2, "length": 762, "price": 30}, {"thickness": 38.1, "width": 177.8, "length": 1016, "price": 48, "quantity": 2}`,
			`{"thickness": 2.54, "width": 76.2, "length": 355.6, "quantity": 12, "matched": 2}, {"thickness": 5.08, "width": 50.8, "length": 228.6, "quantity": 7}`,
			`"kerf": 1.143, "hold_back": 3.175, "skim": 0.762, "units": "mm", "time_limit_seconds": 30`),
	} {
		if p := planOf(t, server.URL, changed); p.Cost != base.Cost || p.Status != base.Status {
			t.Errorf("%s: %s at %g, not %s at %g", name, p.Status, p.Cost, base.Status, base.Cost)
		}
	}
}

// TestPlanEvents: the last event of a real plan is the answer that JSON gives.
func TestPlanEvents(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	_, want := post(t, server.URL+"/v1/plan", demoOrder(t))
	status, stream := post(t, server.URL+"/v1/plan?format=events", demoOrder(t))
	if !bytes.HasSuffix(stream, append(append([]byte("event: result\ndata: "), want...), '\n')) || !bytes.Contains(stream, []byte("event: progress\ndata: {\"cost\":")) {
		t.Errorf("status %d\n%s\nwant at the end\n%s", status, stream, want)
	}
	answer, err := http.Get(server.URL + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{`resawd_plan_duration_seconds_count{stopped_by="proof"} 2`, `resawd_plan_gap_ratio_bucket{le="0"} 2`, `resawd_plans_running 0`} {
		if !bytes.Contains(text, []byte(line)) {
			t.Errorf("no line %s in\n%s", line, text)
		}
	}
}

// TestPlanTime: a plan that cannot be proven in its time is answered when the
// time is over, and says so.
func TestPlanTime(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	order := strings.Replace(demoOrder(t), "{", `{"time_limit_seconds": 0.000001,`, 1)
	start := time.Now()
	p := planOf(t, server.URL, order)
	if p.StoppedBy != "time" && p.StoppedBy != "proof" || p.Status == "" || time.Since(start) > 10*time.Second {
		t.Errorf("%s, stopped by %s after %s", p.Status, p.StoppedBy, time.Since(start))
	}
}

// TestPlanMemory: a plan that would need more memory says so, where that may have kept it
// from a proof.
func TestPlanMemory(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	size := func(least, spread int) float64 { return float64(least+r.IntN(spread)) / 1000 }
	order := map[string]any{"units": "mm", "kerf": 1, "hold_back": 3, "work_limit": 0, "time_limit_seconds": 20}
	var boards, parts []map[string]any
	for range 50 {
		parts = append(parts, map[string]any{"thickness": size(2000, 3000), "width": size(40_000, 150_000), "length": size(200_000, 600_000), "quantity": 1 + r.IntN(20), "divide": false})
	}
	for range 3 {
		boards = append(boards, map[string]any{"thickness": size(50_000, 50_000), "width": size(300_000, 200_000), "length": size(1_800_000, 2_000_000), "quantity": 1 + r.IntN(9), "price": 1 + r.IntN(100)})
	}
	order["boards"], order["parts"] = boards, parts
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	for want, part := range map[bool][]map[string]any{true: parts, false: parts[:1]} {
		order["parts"] = part
		body, err := json.Marshal(order)
		if err != nil {
			t.Fatal(err)
		}
		_, text := post(t, server.URL+"/v1/plan", string(body))
		var a struct {
			StoppedBy string `json:"stopped_by"`
			Stats     struct {
				MemoryFull bool `json:"memory_full"`
			} `json:"stats"`
			Warnings []string `json:"warnings"`
		}
		if err := json.Unmarshal(text, &a); err != nil || a.Stats.MemoryFull != want {
			t.Fatalf("%d parts: %v, memory full %v", len(part), err, a.Stats.MemoryFull)
		}
		if want && a.StoppedBy != "work" {
			t.Errorf("without work it was stopped by %s", a.StoppedBy)
		}
		if told := strings.Contains(strings.Join(a.Warnings, ""), "ran out of the memory"); told != want {
			t.Errorf("%d parts: %q", len(part), a.Warnings)
		}
	}
}
