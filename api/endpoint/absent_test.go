package endpoint

import (
	"testing"

	"resawd/api/shop"
	"resawd/calc/length"
)

type sparse struct {
	Units *string        `json:"units,omitzero"`
	Skim  *length.Length `json:"skim,omitzero" absent:"1/8in" metric:"3mm"`
	Count *int           `json:"count,omitzero" absent:"2"`
	Inner struct {
		Word *string `json:"word,omitzero" absent:"flat"`
	} `json:"inner"`
	List []struct {
		Feed *Feed `json:"feed,omitzero" absent:"10 in/min"`
	} `json:"list,omitzero"`
}

type sparseAnswer struct {
	Used *sparse `json:"used"`
	Notes
}

// TestAbsent: what a request leaves out counts as its tags say, in its units,
// and what it gives stays.
func TestAbsent(t *testing.T) {
	k := New("/sparse", func(_ *Call, q *sparse) (*sparseAnswer, error) { return &sparseAnswer{Used: q}, nil })
	for body, want := range map[string]string{
		`{}`:                            `{"skim":0.125,"count":2,"inner":{"word":"flat"}}`,
		`{"units": "mm", "list": [{}]}`: `{"units":"mm","skim":3,"count":2,"inner":{"word":"flat"},"list":[{"feed":254}]}`,
		`{"skim": 0, "count": 0, "inner": {"word": "rift"}, "list": [{"feed": 1}]}`: `{"skim":0,"count":0,"inner":{"word":"rift"},"list":[{"feed":1}]}`,
	} {
		c := &Call{Context: t.Context(), Shop: &shop.Shop{}}
		a, err := k.Solve(c, Body([]byte(body)))
		if err != nil {
			t.Fatal(err)
		}
		answer, ok := a.(*sparseAnswer)
		if got := string(JSONOf(answer.Used, c.Unit)); !ok || got != want {
			t.Errorf("%s: %s, want %s", body, got, want)
		}
	}
}
