package rule

import (
	"errors"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/go-playground/validator/v10"

	"resawd/calc/length"
)

// every has a field for each rule that requests use.
type every struct {
	Base
	Text   *string           `validate:"omitempty,max=3"`
	Word   *string           `validate:"omitempty,oneof=a b"`
	Needed *float64          `validate:"required,gt=0,lte=2"`
	Either *int              `validate:"required_without=Or"`
	Or     *int              `validate:"excluded_with=Either,omitempty,gte=-1,lt=2"`
	With   *int              `validate:"excluded_without=Or,omitempty,gte=1"`
	Length *length.Length    `validate:"omitempty,gte=0,within=..1mm"`
	List   []entry           `validate:"omitempty,min=1,max=2,dive"`
	Lists  [][]length.Length `validate:"omitempty,max=2,dive,min=1,max=2,dive,gt=0"`
}

// Base lends its fields.
type Base struct {
	Units *string `validate:"omitempty,oneof=in mm"`
}

type entry struct {
	Size *int `validate:"required,gte=0,lte=2"`
}

// pick gives nothing now and then, else one of a few values.
func pick[T any](r *rand.Rand, values ...T) *T {
	if i := r.IntN(len(values) + 1); i < len(values) {
		return &values[i]
	}
	return nil
}

// TestRules: compiled rules count what the validator finds, over all combinations that
// chance brings.
func TestRules(t *testing.T) {
	rules, validate := RulesOf(reflect.TypeFor[every]()), Validator("json")
	r := rand.New(rand.NewPCG(1, 2))
	passed := 0
	const rounds = 50_000
	for range rounds {
		v := every{
			Base: Base{pick(r, "in", "mm", "ft")}, Text: pick(r, "", "äöü", "abcd"), Word: pick(r, "a", "b", "c"),
			Needed: pick(r, 0, 1, 2, 2.5), Either: pick(r, 0, 1), Or: pick(r, -2, -1, 0, 1, 2), With: pick(r, 0, 1),
			Length: pick(r, -1, 0, length.Millimetre, length.Millimetre+1),
		}
		for range r.IntN(4) {
			v.List = append(v.List, entry{pick(r, -1, 0, 2, 3)})
		}
		for range r.IntN(4) {
			v.Lists = append(v.Lists, make([]length.Length, r.IntN(3)))
			for i := range v.Lists[len(v.Lists)-1] {
				v.Lists[len(v.Lists)-1][i] = length.Length(r.IntN(6))
			}
		}
		err := validate.Struct(&v)
		var found validator.ValidationErrors
		errors.As(err, &found)
		if got := rules.Count(reflect.ValueOf(v)); got != len(found) {
			t.Fatalf("%+v: %d are counted, the validator says %v", v, got, err)
		}
		if err == nil {
			passed++
		}
	}
	if !rules.Known {
		t.Error("a rule is not known")
	}
	if passed < 10 || passed > rounds/2 {
		t.Errorf("%d of %d passed: too few, or too many", passed, rounds)
	}
}

// TestWords: what breaks a rule is said with what is possible and what was given.
func TestWords(t *testing.T) {
	text, word, size, thin := "abcd", "c", -2, length.Length(-1)
	two, none := 2, ""
	for name, c := range map[string]struct {
		request any
		want    string
	}{
		"a text too long":    {&every{Text: &text, Needed: new(1.0), Either: &two}, "Text must have at most 3 characters; it has 4"},
		"a word":             {&every{Word: &word, Needed: new(1.0), Either: &two}, `Word must be a or b; "c" was given`},
		"missing":            {&every{Either: &two}, "Needed is missing"},
		"a number too small": {&every{Needed: new(1.0), Or: &size}, "Or must be at least -1; -2 was given"},
		"a number too large": {&every{Needed: new(3.0), Either: &two}, "Needed must be at most 2; 3 was given"},
		"a length":           {&every{Needed: new(1.0), Either: &two, Length: &thin}, "Length must be at least 0 mm; -0.000001 mm was given"},
		"lists too many":     {&every{Needed: new(1.0), Either: &two, List: make([]entry, 3)}, "List must have at most 2 entries; it has more"},
		"a list too short":   {&every{Needed: new(1.0), Either: &two, Lists: [][]length.Length{{}}}, "Lists[0] must have at least 1 entry; it has 0"},
		"an empty text": {&struct {
			Name *string `validate:"min=1"`
		}{&none}, "Name is empty: give it or leave it out"},
		"a text too short": {&struct {
			Name *string `validate:"min=2"`
		}{&none}, "Name must have at least 2 characters; it has 0"},
	} {
		var found validator.ValidationErrors
		if !errors.As(Validator("json").Struct(c.request), &found) {
			t.Errorf("%s: passes", name)
			continue
		}
		if got := found[0].StructField() + " " + Words(found[0], length.Millimetre); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// TestUnknownRules: what is not known is left to the validator.
func TestUnknownRules(t *testing.T) {
	type odd struct {
		Code *string `validate:"omitempty,iso4217"`
	}
	rules := RulesOf(reflect.TypeFor[odd]())
	if code := "USD"; rules.Known || rules.Count(reflect.ValueOf(odd{&code})) == 0 {
		t.Error("an unknown rule passes")
	}
	if rules.Count(reflect.ValueOf(odd{})) != 0 {
		t.Error("an absent field does not pass")
	}
}
