package calculator_test

import (
	"math"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/apitest"
)

// line is a line of a quote.
type line struct {
	Name   string  `json:"name"`
	Amount float64 `json:"amount"`
}

// quotedPlan is what these tests read of a plan and its price.
type quotedPlan struct {
	Taken []struct {
		Board   string `json:"board"`
		Copies  int    `json:"copies"`
		Billets []struct {
			Skim float64        `json:"skim"`
			Run  jsontext.Value `json:"run"`
		} `json:"billets"`
	} `json:"taken"`
	LeftOver []struct {
		Kind    string  `json:"kind"`
		Copies  int     `json:"copies"`
		Value   float64 `json:"value"`
		TooThin bool    `json:"too_thin"`
	} `json:"left_over"`
	Price *struct {
		Lines []line  `json:"lines"`
		Total float64 `json:"total"`
	} `json:"price"`
	Warnings []string `json:"warnings"`
}

func quotedPlanOf(t *testing.T, url, body string) (p quotedPlan) {
	t.Helper()
	status, text := post(t, url+"/v1/plan", body)
	if err := json.Unmarshal(text, &p); err != nil || status != 200 {
		t.Fatalf("status %d, %v: %.300s", status, err, text)
	}
	return p
}

// TestPlanPrice: the price of a plan is that of its boards less what is left over, of the
// time and the blade that its run sheets tell, at the demo shop's 30 and 12 an hour and
// 24 for 40 000 sq in, and a fifth of it is margin. What the billets of a board cost adds
// up to the board.
func TestPlanPrice(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	prices := map[string]float64{"walnut-1": 148, "walnut-2": 96, "walnut-3": 58, "maple-1": 31.5, "maple-2": 14}
	order := strings.Replace(demoOrder(t), "{", `{"handle_seconds": 20, "index_seconds": 10, "setup_seconds": 900, "feed": "20 in/min", "margin": 0.2, "work_limit": 1,`, 1)
	p := quotedPlanOf(t, server.URL, order)
	var wood, credit, seconds, area float64
	bowed := false
	for _, taken := range p.Taken {
		wood += prices[taken.Board] * float64(taken.Copies)
		share := 0.0
		for _, b := range taken.Billets {
			var request struct {
				Board struct{ Price, Bow float64 }
				Skim  float64
			}
			var run struct {
				Summary struct {
					RunSeconds float64 `json:"run_seconds"`
					SawnArea   float64 `json:"sawn_area"`
				} `json:"summary"`
				Price struct{ Total float64 } `json:"price"`
			}
			if err := json.Unmarshal(b.Run, &request, json.MatchCaseInsensitiveNames(true)); err != nil {
				t.Fatal(err)
			}
			_, text := post(t, server.URL+"/v1/run", string(b.Run))
			if err := json.Unmarshal(text, &run, json.MatchCaseInsensitiveNames(true)); err != nil || run.Price.Total <= request.Board.Price {
				t.Fatalf("%v: %.300s", err, text)
			}
			if math.Abs(request.Skim+request.Board.Bow-b.Skim) > 1e-9 || request.Skim != 1.0/32 {
				t.Errorf("skim %v and bow %v are not %v", request.Skim, request.Board.Bow, b.Skim)
			}
			bowed = bowed || request.Board.Bow > 0
			share += request.Board.Price
			seconds += run.Summary.RunSeconds * float64(taken.Copies)
			area += run.Summary.SawnArea * float64(taken.Copies)
		}
		if math.Abs(share-prices[taken.Board]) > 1e-9 {
			t.Errorf("the billets of %s cost %v", taken.Board, share)
		}
	}
	for _, l := range p.LeftOver {
		if !l.TooThin {
			credit += l.Value * float64(l.Copies)
		}
	}
	if p.Price == nil || !bowed || credit == 0 {
		t.Fatalf("price %v, a bow %v, credited %v", p.Price, bowed, credit)
	}
	cost := wood - credit + seconds/3600*42 + area/40_000*24
	want := map[string]float64{"wood": wood, "left_over": -credit, "labour": seconds / 120, "overhead": seconds / 300, "blade": area / 40_000 * 24, "margin": cost / 4}
	sum := 0.0
	for _, l := range p.Price.Lines {
		sum += l.Amount
		if math.Abs(l.Amount-want[l.Name]) > 0.01 {
			t.Errorf("%s %v, want %v", l.Name, l.Amount, want[l.Name])
		}
	}
	if math.Abs(sum-p.Price.Total) > 1e-9 || math.Abs(p.Price.Total-cost/0.8) > 0.0051 {
		t.Errorf("lines %v, total %v, want %v", sum, p.Price.Total, cost/0.8)
	}
}

// TestPlanWithoutPrice: where a board that is taken has no price, or a billet no run
// sheet, or an amount is beyond all, there is no price.
func TestPlanWithoutPrice(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	const parts = `"parts": [{"thickness": 0.1, "width": 4, "length": 20, "quantity": 2}]`
	for name, order := range map[string]string{
		"no price":      `{"boards": [{"thickness": 1, "width": 5, "length": 50}], ` + parts + `}`,
		"no size":       `{"boards": [{"thickness": 1, "price": 10}], "parts": [{"thickness": 0.1, "quantity": 2}]}`,
		"nothing taken": `{"boards": [{"thickness": 1, "width": 5, "length": 10, "price": 10}], ` + parts + `}`,
		"no run sheet":  `{"boards": [{"thickness": 1, "width": 12, "length": 50, "price": 10}], "parts": [{"thickness": 0.1, "width": 11, "length": 20, "quantity": 2}]}`,
		"a dear board":  `{"boards": [{"thickness": 0.5, "width": 4, "length": 20, "price": 20000000}], "parts": [{"thickness": 0.1, "width": 4, "length": 20, "quantity": 102}]}`,
	} {
		p := quotedPlanOf(t, server.URL, order)
		if p.Price != nil {
			t.Errorf("%s: %+v", name, p.Price)
		}
		if told := strings.Contains(strings.Join(p.Warnings, ""), "there is no price"); told != (name == "a dear board") {
			t.Errorf("%s: %q", name, p.Warnings)
		}
	}
}
