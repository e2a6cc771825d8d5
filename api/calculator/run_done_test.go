package calculator_test

import (
	"net/http/httptest"
	"testing"

	"github.com/go-json-experiment/json"

	"resawd/api/apitest"
)

// TestGoingOnKeepsTheID: a run that goes on is of the same board, and its request
// as it was used gives the same again.
func TestGoingOnKeepsTheID(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	const begun = `{"board":{"name":"koa-7","thickness":2,"width":6,"length":24},"leaf_thickness":0.05`
	ask := func(body string) (a struct {
		ID   string `json:"id"`
		Cuts []struct {
			Cut  int `json:"cut"`
			Leaf int `json:"leaf"`
		} `json:"cuts"`
		Used any `json:"used"`
	}) {
		_, text := post(t, server.URL+"/v1/run", body)
		if err := json.Unmarshal(text, &a); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		return a
	}
	whole, rest := ask(begun+"}"), ask(begun+`,"done":{"cuts":3,"position":0.29,"kerf":0.048}}`)
	if whole.ID == "" || rest.ID != whole.ID || len(rest.Cuts) == 0 || rest.Cuts[0].Cut != 4 || rest.Cuts[0].Leaf != 4 {
		t.Errorf("begun as %s, goes on as %s with %+v", whole.ID, rest.ID, rest.Cuts)
	}
	used, err := json.Marshal(rest.Used)
	if again := ask(string(used)); err != nil || again.ID != rest.ID || len(again.Cuts) != len(rest.Cuts) {
		t.Errorf("%v: asked again it is %s with %d cuts", err, again.ID, len(again.Cuts))
	}
}
