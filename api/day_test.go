package api_test

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
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

// TestDayAtTheSaw: each request of the day is answered, and carries on what the
// answers before it said.
func TestDayAtTheSaw(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	asked, answered := map[string]any{}, map[string]any{}
	for _, name := range []string{"1-laminate", "2-target", "3-flatten", "4-plan", "5-run", "6-gauge", "7-run", "8-moisture", "9-price", "10-upkeep"} {
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
		asked[name], answered[name] = request, got
	}
	in := func(path string) any { return place(t, asked, path) }
	out := func(path string) any { return place(t, answered, path) }
	number := func(v any) float64 {
		x, ok := v.(float64)
		if !ok {
			t.Fatalf("%v is no number", v)
		}
		return x
	}
	if longest := number(out("1-laminate/plies/4/length")); longest > number(in("4-plan/parts/0/length")) {
		t.Errorf("the outermost leaf is %v long", longest)
	}
	for what, pair := range map[string][2]float64{
		"finished leaf":      {number(out("1-laminate/leaf_thickness")), number(in("2-target/finished"))},
		"leaves in the slat": {number(out("1-laminate/leaf_count")), number(in("2-target/wanted"))},
		"aim":                {number(out("2-target/aim")), number(in("4-plan/parts/0/thickness"))},
		"leaves to saw":      {number(out("2-target/leaf_count")), number(in("4-plan/parts/0/quantity")) + number(in("4-plan/parts/0/spare"))},
		"leaves of the run":  {number(out("2-target/leaf_count")), number(in("5-run/leaves/0/count"))},
		"target of gauge":    {number(in("6-gauge/target")), number(in("5-run/leaves/0/thickness"))},
		"advance sawn":       {number(in("6-gauge/advances/0")), number(out("5-run/cuts/3/advance"))},
		"measured kerf":      {number(in("7-run/done/kerf")), number(out("6-gauge/next_advance/advance")) - number(in("6-gauge/target"))},
		"next advance":       {number(out("7-run/cuts/0/advance")), number(out("6-gauge/next_advance/advance"))},
		"position":           {number(out("7-run/cuts_done/3/position")), number(out("5-run/cuts/3/position"))},
		"cuts made":          {number(in("7-run/done/cuts")), number(out("5-run/cuts/3/cut"))},
		"leaves left":        {number(out("7-run/summary/leaf_count")), number(in("5-run/leaves/0/count")) - 3},
		"wood":               {number(in("9-price/wood_cost")), number(out("4-plan/cost"))},
		"sawn area":          {number(in("9-price/sawn_area")), number(out("5-run/summary/sawn_area"))},
		"seconds":            {number(in("9-price/run_seconds")), number(out("5-run/summary/run_seconds"))},
		"leaves sold":        {number(in("9-price/leaf_count")), number(in("2-target/wanted"))},
		"cuts since":         {number(in("10-upkeep/done/0/cuts")), number(in("5-run/upkeep/1/cuts")) + number(out("5-run/summary/cut_count"))},
		"area since":         {number(in("10-upkeep/done/0/area")), number(in("5-run/upkeep/1/area")) + number(out("5-run/summary/sawn_area"))},
		"hours since":        {number(in("10-upkeep/done/1/hours")), math.Round(number(out("5-run/summary/cutting_seconds"))/360) / 10},
		"dust":               {number(in("9-price/kerf_share")), math.Round((4*0.045+3*0.048)/2*1000) / 1000},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-9 {
			t.Errorf("%s: %v and %v", what, pair[0], pair[1])
		}
	}
	if got := len(in("6-gauge/readings").([]any)); got != 3 {
		t.Errorf("%d leaves are measured", got)
	}
	if gauged, handed := fmt.Sprint(in("6-gauge/readings")), fmt.Sprint(in("7-run/done/readings")); gauged != handed {
		t.Errorf("%s are gauged and %s handed on", gauged, handed)
	}
	for name, want := range asked["5-run"].(map[string]any) {
		if name == "setup_seconds" || name == "upkeep" {
			continue
		}
		if got := place(t, asked, "7-run/"+name); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s is %v in the run that goes on, %v as it was begun", name, got, want)
		}
	}
	planned, _ := out("4-plan/taken/0/billets/0/run").(map[string]any)
	for name, want := range planned {
		if name == "board" || name == "leaves" || name == "units" || name == "kerf_margin" {
			continue
		}
		if got := place(t, asked, "5-run/"+name); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s of the run is %v, the plan says %v", name, got, want)
		}
	}
	for name, want := range planned["board"].(map[string]any) {
		if got := place(t, asked, "5-run/board/"+name); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%s of the run's board is %v, the plan says %v", name, got, want)
		}
	}
}
