package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"resawd/api/calculator"
)

func TestPlanCommand(t *testing.T) {
	// Kerf 0.045, skim and kerf 0.095, hold-back 0.125: two leaves of 0.05 in 0.5.
	const request = `{"boards": [{"name": "walnut-1", "thickness": 0.5, "quantity": 3, "price": 10}], "parts": [{"name": "binding", "thickness": 0.05, "quantity": 6}], "kerf": 0.045, "skim": 0.05, "hold_back": 0.125}`
	short := strings.Replace(request, `"quantity": 3`, `"quantity": 2`, 1)
	for _, c := range []struct {
		name, stdin string
		args        []string
		code        int
		out, errors string // what each must contain; "": nothing is said
	}{
		{"a table", request, []string{"-"}, 0, "walnut-1  3       walnut-1 A1  0     0       -       -      binding  2           1           1             2      0.05", ""},
		{"what it comes to", request, []string{"-"}, 0, "\nstatus optimal, cost 30 USD, lower bound 30, gap 0.00 %, stopped by proof\n", ""},
		{"what is missing", short, []string{"-"}, 0, "\nunmet: 2 of binding\nwarning: the boards do not give every part", ""},
		{"csv", request, []string{"--format", "csv", "-"}, 0, "\nwalnut-1,3,walnut-1 A1,0,0,,,binding,2,1,1,2,0.05,0,0,0.09,false,,,,\n", ""},
		{"json", request, []string{"--format", "json", "-"}, 0, `"cost":30,"lower_bound":30,`, ""},
		{"a limit beyond that of the service", request, []string{"--time-limit", "2m", "--format", "json", "-"}, 0, `"time_limit_seconds":120`, ""},
		{"nothing known", request, []string{"--format", "pdf", "-"}, 1, "", "format=pdf: it must be one of json, csv, text"},
		{"a stream", request, []string{"--format", "events", "-"}, 1, "", "format=events: it must be one of json, csv, text"},
		{"less than no time", request, []string{"--time-limit", "-1s", "-"}, 2, "", "-time-limit: it takes a time with its unit, such as 20s or 1m30s, from 0s to 1h0m0s"},
		{"no file", "", nil, 1, "", "give one request file"},
		{"a missing file", "", []string{"nowhere.json"}, 1, "", "nowhere.json"},
		{"a missing shop file", request, []string{"--shop", "nowhere.yaml", "-"}, 1, "", "nowhere.yaml"},
		{"a bad request", `{"boards": [{"thickness": 1}]}`, []string{"-"}, 1, "", "resawd plan: parts is missing\n"},
		{"a request beyond its limit", strings.Replace(request, "{", `{"time_limit_seconds": 61, `, 1), []string{"-"}, 1, "", "time_limit_seconds must be at most 60; 61 was given"},
		{"the demo order", "", []string{"../../testdata/orders/plan.json"}, 0, "stopped by proof\n", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errors := capture(t, c.stdin, append([]string{"plan"}, c.args...)...)
			if code != c.code || !told(out, c.out) || !told(errors, c.errors) {
				t.Errorf("code %d\nout %s\nerrors %s", code, out, errors)
			}
		})
	}
}

// TestPlanTables plans an order from a table of boards and one of parts: the
// same as from JSON.
func TestPlanTables(t *testing.T) {
	write := func(name, text string) string {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	boards := write("rack.csv", "name;thickness;quantity;price\nwalnut-1;0,5;3;10\n")
	wrong := write("order.csv", "name,thickness,quantity\nbinding,0.05,6\n,-0.05,\nx,,1,,9\n")
	_, want, _ := capture(t, "", "plan", "--format", "json", "../../testdata/orders/maker.json")
	id, _, _ := strings.Cut(want, ",")
	for _, c := range []struct {
		name        string
		args        []string
		code        int
		out, errors string
	}{
		{"the maker's order", []string{"--format", "json", "--boards", "../../testdata/orders/rack.csv", "--parts", "../../testdata/orders/order.csv", "skim=1/32", "end_trim=1/2", "fixing=glue", "saw=bench"}, 0, id, ""},
		{"decimal commas", []string{"--decimal", "comma", "--boards", boards, "--parts", write("order.csv", "name;thickness;quantity\nbinding;0,05;6\n"), "kerf=0,045", "skim=0,05", "hold_back=1/8"}, 0, "status optimal, cost 30 USD", ""},
		{"faults", []string{"--boards", write("rack.csv", "thickness\n1\n"), "--parts", write("order.csv", "thickness,quantity\n-0.05,\n")}, 1, "", "resawd plan: 2 fields need attention\n  thickness in row 2 of order.csv: must be above 0 in; -0.05 in was given\n  quantity in row 2 of order.csv: is missing\n"},
		{"a cell too many", []string{"--boards", write("rack.csv", "thickness\n1\n"), "--parts", wrong}, 1, "", "row 4 of order.csv has \"9\" in a column without a name"},
		{"a column of the others", []string{"--boards", write("rack.csv", "thickness,matched\n1,2\n"), "--parts", write("order.csv", "thickness,quantity\n1,1\n")}, 1, "", "matched in the header of rack.csv: is not a field of boards; its fields are name, species,"},
		{"one alone", []string{"--boards", boards}, 1, "", "--boards and --parts go together"},
		{"a missing file", []string{"--boards", boards, "--parts", "nowhere.csv"}, 1, "", "nowhere.csv"},
		{"no pair", []string{"--boards", boards, "--parts", wrong, "kerf"}, 1, "", "\"kerf\" is not of the form NAME=VALUE"},
		{"decimal", []string{"--decimal", "dot", "--boards", boards, "--parts", wrong}, 1, "", "--decimal is \"dot\": it must be point or comma"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errors := capture(t, "", append([]string{"plan"}, c.args...)...)
			if code != c.code || !told(out, c.out) || !told(errors, c.errors) {
				t.Errorf("code %d\nout %s\nerrors %s", code, out, errors)
			}
		})
	}
}

// hardOrder is an order that cannot be proven in a moment: many sizes in all three
// dimensions, with equal prices.
func hardOrder() string {
	var parts []string
	for i := range 60 {
		parts = append(parts, fmt.Sprintf(`{"thickness": 0.%d, "width": %d.%d, "length": %d.5, "quantity": %d}`, 101+7*i, 2+i%4, i%9, 7+i%11, 3+i%5))
	}
	return `{"time_limit_seconds": 60, "boards": [{"thickness": 2, "width": 9, "length": 48, "price": 97}, {"thickness": 1.5, "width": 8, "length": 60, "price": 83}], "parts": [` + strings.Join(parts, ", ") + `]}`
}

// TestPlanInterrupted: an interrupt ends a plan with the best one so far.
func TestPlanInterrupted(t *testing.T) {
	ctx, stop := context.WithTimeout(t.Context(), time.Second)
	defer stop()
	var out, errors bytes.Buffer
	start := time.Now()
	code := run(ctx, []string{"plan", "--time-limit", "60s", "-"}, noEnv, strings.NewReader(hardOrder()), &out, &errors)
	if code != 0 || !strings.Contains(out.String(), "status feasible") || !strings.Contains(out.String(), "stopped by time\n") || time.Since(start) > 30*time.Second {
		t.Errorf("after %s: code %d\n%s%s", time.Since(start), code, out.String(), errors.String())
	}
}

// TestLiveLine: the line is written over, not too often, and removed; without a
// terminal nothing is written.
func TestLiveLine(t *testing.T) {
	var terminal bytes.Buffer
	l := liveLine{w: &terminal}
	l.clear()
	p := calculator.PlanProgress{Cost: 125_000, LowerBound: 120_000, Gap: 0.04, Seconds: 1.25}
	l.show(p)
	l.show(p)
	l.clear()
	if got, want := terminal.String(), "\r\x1b[Kbest cost 12.5, bound 12, gap 4.00 %, 1.2 s (Ctrl-C takes this plan)\r\x1b[K"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	silent := progressLine(&terminal)
	silent.show(p)
	silent.clear()
	if silent.w != nil || silent.used {
		t.Error("a buffer passes as a terminal")
	}
}

// TestDrainPlan stops the service while a plan is searched for: the client gets the
// best plan so far, which says why it is no better, and the service ends in time.
func TestDrainPlan(t *testing.T) {
	s := start(t)
	got := make(chan string, 1)
	go func() {
		answer, err := http.Post(s.url+"v1/plan?pick=stopped_by&format=text", "application/json", strings.NewReader(hardOrder()))
		if err != nil {
			got <- err.Error()
			return
		}
		defer answer.Body.Close()
		text, _ := io.ReadAll(answer.Body)
		got <- answer.Status + " " + string(text)
	}()
	s.waitMetric(t, "resawd_plans_running 1\n")
	began := time.Now()
	s.stop()
	if text := <-got; text != "200 OK shutdown" {
		t.Errorf("the answer is %s", text)
	}
	if code := <-s.code; code != 0 || time.Since(began) > 15*time.Second {
		t.Errorf("exit code %d after %s: %s", code, time.Since(began), s.errors)
	}
}
