package api_test

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"testing"

	"resawd/api/apitest"
)

// day is the folder of the requests that README follows through a day at the saw.
const day = "../testdata/day/"

// place finds a value in JSON by its path.
func place(t *testing.T, v any, path string) any {
	t.Helper()
	for name := range strings.SplitSeq(path, "/") {
		switch in := v.(type) {
		case map[string]any:
			v = in[name]
		case []any:
			var i int
			if _, err := fmt.Sscan(name, &i); err != nil || i >= len(in) {
				t.Fatalf("no %s in %s", name, path)
			}
			v = in[i]
		}
	}
	if v == nil {
		t.Fatalf("nothing at %s", path)
	}
	return v
}

// dayRequests are the requests of the day, in order.
var dayRequests = []string{"1-laminate", "2-target", "3-flatten", "4-plan", "5-run", "6-gauge", "7-run", "8-moisture", "9-price", "10-upkeep"}

// sawDay is the requests of the day and their answers, by the names of their files.
type sawDay struct {
	t               *testing.T
	asked, answered map[string]any
}

// liveDay sends every request of the day.
func liveDay(t *testing.T) sawDay {
	t.Helper()
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	d := sawDay{t, map[string]any{}, map[string]any{}}
	for _, name := range dayRequests {
		body, err := os.ReadFile(day + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		_, calculator, _ := strings.Cut(name, "-")
		answer, err := http.Post(server.URL+"/v1/"+calculator, "application/json", strings.NewReader(string(body)))
		if err != nil {
			t.Fatal(err)
		}
		var request, got any
		if err := json.NewDecoder(answer.Body).Decode(&got); err != nil || answer.StatusCode != http.StatusOK || json.Unmarshal(body, &request) != nil {
			t.Fatalf("%s: status %d, %v: %v", name, answer.StatusCode, err, got)
		}
		answer.Body.Close()
		d.asked[name], d.answered[name] = request, got
	}
	return d
}

// in is the number at a place of the requests, out that at a place of the answers.
func (d sawDay) in(path string) float64  { return place(d.t, d.asked, path).(float64) }
func (d sawDay) out(path string) float64 { return place(d.t, d.answered, path).(float64) }

// carries checks that a request has the fields of an object at the same values, but for
// some of them.
func (d sawDay) carries(request string, object any, but ...string) {
	d.t.Helper()
	for name, want := range object.(map[string]any) {
		if slices.Contains(but, name) {
			continue
		}
		if got := place(d.t, d.asked, request+"/"+name); fmt.Sprint(got) != fmt.Sprint(want) {
			d.t.Errorf("%s/%s is %v, want %v", request, name, got, want)
		}
	}
}

// TestDayAtTheSaw: each request of the day is answered, and goes on from what the answers
// before it said.
func TestDayAtTheSaw(t *testing.T) {
	d := liveDay(t)
	if longest := d.out("1-laminate/plies/4/length"); longest > d.in("4-plan/parts/0/length") {
		t.Errorf("the outermost leaf is %v long", longest)
	}
	for what, pair := range map[string][2]float64{
		"finished leaf":      {d.out("1-laminate/leaf_thickness"), d.in("2-target/finished")},
		"leaves in the slat": {d.out("1-laminate/leaf_count"), d.in("2-target/wanted")},
		"aim":                {d.out("2-target/aim"), d.in("4-plan/parts/0/thickness")},
		"leaves to saw":      {d.out("2-target/leaf_count"), d.in("4-plan/parts/0/quantity") + d.in("4-plan/parts/0/spare")},
		"leaves of the run":  {d.out("2-target/leaf_count"), d.in("5-run/leaves/0/count")},
		"target of gauge":    {d.in("6-gauge/target"), d.in("5-run/leaves/0/thickness")},
		"advance sawn":       {d.in("6-gauge/advances/0"), d.out("5-run/cuts/3/advance")},
		"measured kerf":      {d.in("7-run/done/kerf"), d.out("6-gauge/next_advance/advance") - d.in("6-gauge/target")},
		"next advance":       {d.out("7-run/cuts/0/advance"), d.out("6-gauge/next_advance/advance")},
		"position":           {d.out("7-run/cuts_done/3/position"), d.out("5-run/cuts/3/position")},
		"cuts made":          {d.in("7-run/done/cuts"), d.out("5-run/cuts/3/cut")},
		"leaves left":        {d.out("7-run/summary/leaf_count"), d.in("5-run/leaves/0/count") - 3},
		"wood":               {d.in("9-price/wood_cost"), d.out("4-plan/cost")},
		"sawn area":          {d.in("9-price/sawn_area"), d.out("5-run/summary/sawn_area")},
		"seconds":            {d.in("9-price/run_seconds"), d.out("5-run/summary/run_seconds")},
		"leaves sold":        {d.in("9-price/leaf_count"), d.in("2-target/wanted")},
		"cuts since":         {d.in("10-upkeep/done/0/cuts"), d.in("5-run/upkeep/1/cuts") + d.out("5-run/summary/cut_count")},
		"area since":         {d.in("10-upkeep/done/0/area"), d.in("5-run/upkeep/1/area") + d.out("5-run/summary/sawn_area")},
		"hours since":        {d.in("10-upkeep/done/1/hours"), math.Round(d.out("5-run/summary/cutting_seconds")/360) / 10},
		"dust":               {d.in("9-price/kerf_share"), math.Round((4*0.045+3*0.048)/2*1000) / 1000},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-9 {
			t.Errorf("%s: %v and %v", what, pair[0], pair[1])
		}
	}
	gauged, handed := place(t, d.asked, "6-gauge/readings"), place(t, d.asked, "7-run/done/readings")
	if got := len(gauged.([]any)); got != 3 || fmt.Sprint(gauged) != fmt.Sprint(handed) {
		t.Errorf("%d leaves are measured; %v are gauged and %v handed on", got, gauged, handed)
	}
	d.carries("7-run", d.asked["5-run"], "setup_seconds", "upkeep")
	planned := place(t, d.answered, "4-plan/taken/0/billets/0/run")
	d.carries("5-run", planned, "board", "leaves", "units", "kerf_margin")
	d.carries("5-run/board", place(t, planned, "board"))
}
