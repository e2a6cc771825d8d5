package form_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/api/endpoint"
	"resawd/api/form"
	"resawd/calc/upkeep"
	"resawd/openapi"
)

// page gives the form of a calculator, parsed, and its answer.
func page(t *testing.T, address string) (*html.Node, *httptest.ResponseRecorder) {
	t.Helper()
	answer := httptest.NewRecorder()
	apitest.Server(t).ServeHTTP(answer, httptest.NewRequest(http.MethodGet, address, http.NoBody))
	if answer.Code != http.StatusOK {
		t.Fatalf("%s: %d", address, answer.Code)
	}
	root, err := html.Parse(strings.NewReader(answer.Body.String()))
	if err != nil {
		t.Fatal(err)
	}
	return root, answer
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// calculators are those that have a form: a batch asks for many things at once.
func calculators() []endpoint.Calculator {
	return slices.DeleteFunc(api.Calculators(), func(k endpoint.Calculator) bool { return k.Path == "/v1/batch" })
}

// addresses are where the forms stand.
func addresses() []string {
	list := []string{"/"}
	for _, k := range calculators() {
		list = append(list, "/use/"+strings.ReplaceAll(strings.TrimPrefix(k.Path, "/v1/"), "/", "-"))
	}
	return list
}

// TestEveryFieldIsAsked: whatever the document says a calculator takes has a
// place in its form, once: a field, a column of a table, or, for a list within a
// list, nothing.
func TestEveryFieldIsAsked(t *testing.T) {
	var document struct {
		Components struct{ Schemas map[string]map[string]any }
	}
	if err := json.Unmarshal(openapi.JSON, &document); err != nil {
		t.Fatal(err)
	}
	asked := 0
	for _, k := range calculators() {
		root, _ := page(t, "/use/"+strings.ReplaceAll(strings.TrimPrefix(k.Path, "/v1/"), "/", "-"))
		places := map[string]int{}
		for n := range root.Descendants() {
			if at := attribute(n, "data-json"); at != "" {
				places[at]++
			}
			if table := attribute(n, "data-table"); table != "" {
				for _, column := range strings.Fields(table) {
					name, _, _ := strings.Cut(column, ":")
					places[attribute(n, "name")+"[]."+name]++
				}
			}
		}
		for _, want := range leaves(document.Components.Schemas, k.Request.Name(), "") {
			asked++
			if places[want] != 1 {
				t.Errorf("%s: %s has %d places in the form", k.Path, want, places[want])
			}
		}
	}
	if asked < 100 {
		t.Errorf("only %d fields", asked)
	}
}

// leaves lists the fields of a schema, those in objects and lists too.
func leaves(schemas map[string]map[string]any, name, within string) (all []string) {
	properties, _ := schemas[name]["properties"].(map[string]any)
	for field, of := range properties {
		s, _ := of.(map[string]any)
		inList := strings.Contains(within, "[]")
		if items, ok := s["items"].(map[string]any); ok {
			ref, _ := items["$ref"].(string)
			ref = strings.TrimPrefix(ref, "#/components/schemas/")
			switch {
			case schemas[ref]["type"] != "object":
				if !inList {
					all = append(all, within+field)
				}
			case !inList:
				all = append(all, leaves(schemas, ref, within+field+"[].")...)
			}
			continue
		}
		ref, _ := s["$ref"].(string)
		if ref = strings.TrimPrefix(ref, "#/components/schemas/"); schemas[ref]["type"] == "object" {
			if !inList {
				all = append(all, leaves(schemas, ref, within+field+".")...)
			}
			continue
		}
		all = append(all, within+field)
	}
	return all
}

// TestMeasures: a form knows every kind of number that the document has, so that none
// goes without its unit.
func TestMeasures(t *testing.T) {
	var document struct {
		Components struct{ Schemas map[string]struct{ Type any } }
	}
	if err := json.Unmarshal(openapi.JSON, &document); err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for name, schema := range document.Components.Schemas {
		if schema.Type == "number" {
			kinds = append(kinds, name)
		}
	}
	for _, address := range addresses() {
		root, _ := page(t, address)
		for _, measure := range strings.Fields(attribute(element(t, root, "form"), "data-measures")) {
			_, kind, _ := strings.Cut(measure, ":")
			if !slices.Contains(kinds, kind) {
				t.Errorf("%s: %s", address, measure)
			}
		}
	}
	script := string(form.Script)
	for _, kind := range kinds {
		if !strings.Contains(script, kind+": ") {
			t.Errorf("the script has no unit for %s", kind)
		}
	}
	root, _ := page(t, "/use/dial")
	if got := attribute(element(t, root, "form"), "data-measures"); !strings.HasPrefix(got, "advance:Length advance_set:Length leaf_deviation:Length position_deviation:Length steps/position:Length ") {
		t.Errorf("the measures of dial are %q", got)
	}
}

// TestFormsAreSound: on every form each field has a label, a hint and a place
// for its mistake, no ID stands twice, nothing runs but the form's own script,
// and the policy allows that and nothing else.
func TestFormsAreSound(t *testing.T) {
	for _, address := range addresses() {
		root, answer := page(t, address)
		ids, labelled := map[string]bool{}, map[string]bool{}
		for n := range root.Descendants() {
			if id := attribute(n, "id"); id != "" && ids[id] {
				t.Errorf("%s: the ID %s stands twice", address, id)
			} else {
				ids[id] = true
			}
			labelled[attribute(n, "for")] = true
		}
		for n := range root.Descendants() {
			if n.Type != html.ElementNode {
				continue
			}
			if name := attribute(n, "name"); attribute(n, "id") != "key" && slices.Contains([]string{"input", "select", "textarea"}, n.Data) && (!labelled[attribute(n, "id")] || !ids["e-"+name] || !ids["h-"+name]) {
				t.Errorf("%s: %s has no label, no hint or no place for a mistake", address, name)
			}
			if n.Data == "select" {
				said := map[string]bool{}
				for option := range n.ChildNodes() {
					if said[words(option)] {
						t.Errorf("%s: %s offers %q twice", address, attribute(n, "name"), words(option))
					}
					said[words(option)] = true
				}
			}
			if n.Data == "script" && (attribute(n, "src") != "/form.js" || n.FirstChild != nil) {
				t.Errorf("%s: a script that is not the form's", address)
			}
			for _, a := range n.Attr {
				if strings.HasPrefix(a.Key, "on") || a.Key == "style" || strings.Contains(a.Val, "//") {
					t.Errorf("%s: %s has %s=%q", address, n.Data, a.Key, a.Val)
				}
			}
		}
		policy := answer.Header().Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "script-src 'self'", "connect-src 'self'", "frame-ancestors 'none'"} {
			if !slices.Contains(strings.Split(policy, "; "), want) {
				t.Errorf("%s: the policy %q lacks %s", address, policy, want)
			}
		}
		if strings.Contains(policy, "unsafe") {
			t.Errorf("%s: the policy is %q", address, policy)
		}
	}
}

// TestLinks: every link of a form leads somewhere.
func TestLinks(t *testing.T) {
	server := apitest.Server(t)
	root, _ := page(t, "/")
	links := 0
	for n := range root.Descendants() {
		target := attribute(n, "href")
		if n.Type != html.ElementNode || n.Data != "a" || strings.HasPrefix(target, "#") {
			continue
		}
		links++
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, httptest.NewRequest(http.MethodGet, target, http.NoBody))
		if answer.Code != http.StatusOK {
			t.Errorf("%s leads to %d", target, answer.Code)
		}
	}
	if links < 15 {
		t.Errorf("only %d links", links)
	}
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, httptest.NewRequest(http.MethodGet, "/use/nothing", http.NoBody))
	if answer.Code != http.StatusNotFound {
		t.Errorf("a form that is not there: %d", answer.Code)
	}
}

// TestSawOfAPlan: a plan keeps to the limits of a saw only if it is named, so its form
// does not promise those of the usual one.
func TestSawOfAPlan(t *testing.T) {
	for address, want := range map[string]string{"/use/plan": "any: billets of every size bench metric", "/": "the shop's usual bench metric"} {
		root, _ := page(t, address)
		if got := words(element(t, root, "f-saw")); got != want {
			t.Errorf("%s offers %q", address, got)
		}
	}
}

// TestHintsOfWords: a list of words that can be only some tells which.
func TestHintsOfWords(t *testing.T) {
	root, _ := page(t, "/use/gauge")
	if got := words(element(t, root, "h-places")); !strings.HasSuffix(got, ": top, middle, bottom. Spaces separate the values") {
		t.Errorf("the hint of places is %q", got)
	}
}

// TestHints: hints tell no limits and call fields as labels do.
func TestHints(t *testing.T) {
	for _, address := range addresses() {
		root, _ := page(t, address)
		for n := range root.Descendants() {
			if attribute(n, "class") != "hint" || n.FirstChild == nil {
				continue
			}
			if text := n.FirstChild.Data; strings.Contains(text, "_") || strings.Contains(text, ". At least") || strings.Contains(text, ". Above") {
				t.Errorf("%s: %q", address, text)
			}
		}
	}
}

// TestKnownValues: what can only be one of some words is chosen, not written, and a table
// to write shows how one looks.
func TestKnownValues(t *testing.T) {
	root, _ := page(t, "/use/upkeep")
	var choices []string
	for n := range element(t, root, "f-symptom").Descendants() {
		if n.Data == "option" {
			choices = append(choices, words(n))
		}
	}
	if want := upkeep.Symptoms(); len(want) == 0 || !slices.Equal(choices, append([]string{"none"}, want...)) {
		t.Errorf("the choices are %q", choices)
	}
	for address, want := range map[string][2]string{
		"/use/upkeep": {"t-done", "care; cuts; area\nclean the blade and the carriage wheels; 7; 2100\nchange the blade; ; 42000"},
		"/use/plan":   {"t-parts", "name; thickness; width; length; quantity\nbinding; 0.05; 6; 12; 6"},
	} {
		root, _ := page(t, address)
		if got := attribute(element(t, root, want[0]), "placeholder"); got != want[1] {
			t.Errorf("%s: the table looks like %q", address, got)
		}
	}
}
