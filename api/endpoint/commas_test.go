package endpoint

import (
	"strings"
	"testing"

	"resawd/api/shop"
)

// TestWithCommas: the numbers in a sentence get commas, and nothing else does.
func TestWithCommas(t *testing.T) {
	for text, want := range map[string]string{
		"must be at least 0.05 in; -0.5 in was given": "must be at least 0,05 in; -0,5 in was given",
		"0.5":                             "0,5",
		"(1.25)":                          "(1,25)",
		`"1.5" has a point`:               `"1.5" has a point`,
		`is "saw 1.5", 2.5 in`:            `is "saw 1.5", 2,5 in`,
		"readings.0.1: must be below 1.5": "readings.0.1: must be below 1,5",
		"A1.5 and a_1.5":                  "A1.5 and a_1.5",
		"it ends so. 5 more.":             "it ends so. 5 more.",
		".5 and 5.":                       ".5 and 5.",
		"at most 1.8e308":                 "at most 1,8e308",
		"":                                "",
	} {
		if got := string(withCommas([]byte(text))); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestCommasInCells: with a decimal comma, errors and warnings have commas too; what a
// row brought is repeated as it was.
func TestCommasInCells(t *testing.T) {
	k := New("/measured", func(c *Call, q *measured) (*measuredAnswer, error) {
		c.Warn("beyond 0.5 mm")
		return measure(c, q)
	})
	b, err := k.NewBulk(&Call{Context: t.Context(), Shop: &shop.Shop{}}, strings.NewReader("units;readings\nmm;-1,5\nmm;1.5\nmm;0,5\n"), nil, true)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"must be above 0 mm; -1,5 mm was given", `""1.5"" has a point where the decimal sign is a comma`, "mm;0,5;0,5;beyond 0,5 mm;",
	} {
		row, err := b.Next()
		if err != nil || !strings.Contains(string(row), want) {
			t.Errorf("%s %v, want %s", row, err, want)
		}
	}
	_, err = k.Solve(&Call{Context: t.Context(), Shop: &shop.Shop{}}, Query([]Pair{{"units", "mm"}, {"readings", "-1,5"}}, true))
	for form, want := range map[*Form]string{&Text: "; -1,5 mm was given", &CSV: "; -1,5 mm was given"} {
		if got := string(ProblemOf(k.Located(err, false)).InCell(*form, View{Comma: true})); !strings.Contains(got, want) {
			t.Errorf("%s: %s, want %s", form.Name, got, want)
		}
	}
}
