package wood

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// TestReadSpecies: a fault in the table stops the program and says where it is.
func TestReadSpecies(t *testing.T) {
	const (
		head = "name,aliases,gum,dust,dust_source,class,cr,ct,r,t,v,g,g12\n"
		rest = ",hardwood,,,,,,,\n"
	)
	for table, want := range map[string]string{
		head + "oak,,low,," + rest + "ash,,some,," + rest:    "ash has the gum class some",
		head + "oak,,low,," + rest + "ash,,low,bad,x" + rest: "ash has the dust bad",
		head + "ash,,low,genus," + rest:                      "ash has a dust without a source",
		head + "ash,,low,,memory" + rest:                     "ash has a dust without a source, or a source without a dust",
		head + "ash,,low,,,grass,,,,,,,\n":                   "ash has the class grass",
		head + "ash,,low,,,hardwood,0.1x,,,,,,\n":            "ash has the figure 0.1x",
		head + "ash,,low,,,hardwood,,,,,,,0.6am\n":           "ash has the figure 0.6am",
		head + "ash,,low,,,hardwood,,,,,,m,\n":               "ash has the figure m",
		head + "ash,,low,,,hardwood,,,,,-1,,\n":              "ash has the figure -1",
		head + "oak,low,high\n":                              "wrong number of fields",
	} {
		func() {
			defer func() {
				if got := fmt.Sprint(recover()); !strings.Contains(got, want) {
					t.Errorf("%q: %s, want %q", table, got, want)
				}
			}()
			readSpecies(table)
		}()
	}
}

// TestDustSources: every source that a row names stands in the table's head.
func TestDustSources(t *testing.T) {
	head, _, _ := strings.Cut(speciesCSV, "\nname,")
	var named []string
	for _, s := range species {
		if s.DustSource != "" {
			named = append(named, s.DustSource)
		}
	}
	slices.Sort(named)
	named = slices.Compact(named)
	if len(named) != 4 {
		t.Errorf("the rows name %q", named)
	}
	for _, name := range named {
		if !strings.Contains(head, "#   "+name+" ") {
			t.Errorf("the table does not say what %s is", name)
		}
	}
}

// TestFigures: a row read by hand from each printed table, with each kind of
// source, and a wood without any.
func TestFigures(t *testing.T) {
	walnut, _ := Find("walnut")
	padauk, _ := Find("padauk")
	mahogany, _ := Find("mahogany")
	koa, _ := Find("koa")
	for _, c := range []struct {
		got  Figure
		want Figure
	}{
		{walnut.RadialCoefficient, Figure{0.00190, "Wood Handbook table 13-5 (FPL-GTR-190)", false}},
		{walnut.TangentialCoefficient, Figure{0.00274, "Wood Handbook table 13-5 (FPL-GTR-190)", false}},
		{walnut.RadialShrinkage, Figure{5.5, "Wood Handbook tables 4-3 and 4-4 (FPL-GTR-190)", false}},
		{walnut.TangentialShrinkage, Figure{7.8, "Wood Handbook tables 4-3 and 4-4 (FPL-GTR-190)", false}},
		{walnut.VolumetricShrinkage, Figure{12.8, "Wood Handbook tables 4-3 and 4-4 (FPL-GTR-190)", false}},
		{walnut.GravityGreen, Figure{0.51, "Wood Handbook tables 5-3b and 5-5b (FPL-GTR-282)", false}},
		{walnut.Gravity12, Figure{0.55, "Wood Handbook tables 5-3b and 5-5b (FPL-GTR-282)", false}},
		{padauk.TangentialCoefficient, Figure{0.00180, "flooring lists after Agriculture Handbook 72 (1987)", false}},
		{padauk.RadialCoefficient, Figure{}},
		{mahogany.RadialCoefficient, Figure{0.00172, "Wood Handbook table 13-5 (FPL-GTR-190)", true}},
		{koa.Gravity12, Figure{}},
	} {
		if c.got != c.want {
			t.Errorf("got %+v, want %+v", c.got, c.want)
		}
	}
}

// TestPlausible finds slips of a digit or of a column: along the rings a wood
// moves more than across them, its volume about as much as both together, the
// coefficient is near a thirtieth of the shrinkage (the mahoganies are farthest off:
// their two tables rest on different trees), and dry wood is denser.
func TestPlausible(t *testing.T) {
	seen := 0
	for _, s := range species {
		type pair struct{ a, b Figure }
		for _, p := range []pair{{s.RadialCoefficient, s.TangentialCoefficient}, {s.RadialShrinkage, s.TangentialShrinkage}, {s.GravityGreen, s.Gravity12}} {
			if seen++; p.a.Known() && p.b.Known() && p.a.Value >= p.b.Value {
				t.Errorf("%s: %v is not below %v", s.Name, p.a, p.b)
			}
		}
		for _, p := range []pair{{s.RadialCoefficient, s.RadialShrinkage}, {s.TangentialCoefficient, s.TangentialShrinkage}} {
			if ratio := p.a.Value * 3000 / p.b.Value; p.a.Known() && p.b.Known() && (ratio < 0.85 || ratio > 1.75) {
				t.Errorf("%s: the coefficient %v is %.2f of the shrinkage %v over 30", s.Name, p.a.Value, ratio, p.b.Value)
			}
		}
		both := s.RadialShrinkage.Value + s.TangentialShrinkage.Value
		if v := s.VolumetricShrinkage; v.Known() && (v.Value < 0.8*both || v.Value > 1.3*both) {
			t.Errorf("%s: volume shrinks by %v, %v and %v across", s.Name, v.Value, s.RadialShrinkage.Value, s.TangentialShrinkage.Value)
		}
		if s.Softwood && s.Gravity12.Value > 0.6 {
			t.Errorf("%s: a heavy softwood", s.Name)
		}
	}
	if seen < 200 {
		t.Errorf("only %d pairs", seen)
	}
}
