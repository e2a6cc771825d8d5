package wood_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"resawd/calc/blade"
	"resawd/calc/length"
	"resawd/calc/wood"
)

func TestAllIsSortedAndUnique(t *testing.T) {
	var names []string
	for _, s := range wood.All() {
		names = append(names, strings.ToLower(s.Name))
	}
	if !slices.IsSorted(names) || len(slices.Compact(slices.Clone(names))) != len(names) || len(names) < 90 {
		t.Errorf("%d names, sorted %v: %q", len(names), slices.IsSorted(names), names)
	}
	all := wood.All()
	all[0].Name = "changed"
	if wood.All()[0].Name == "changed" {
		t.Error("the table can be changed from outside")
	}
}

// TestFind: names as people write them.
func TestFind(t *testing.T) {
	for asked, want := range map[string]string{
		" Maple, SUGAR ": "maple, sugar", "hard maple": "maple, sugar", "walnut": "walnut, black", "Black Walnut": "walnut, black",
		"rosewood, Indian": "rosewood, Indian", "East Indian rosewood": "rosewood, Indian", "Western Red-Cedar": "redcedar, western",
		"western redcedar": "redcedar, western", "Honduran mahogany": "mahogany, true", "grenadilla": "blackwood, African",
		"Adirondack spruce": "spruce, red", "Port Orford cedar": "Port-Orford-cedar", "douglas fir": "Douglas-fir", "Spanish cedar": "spanish-cedar",
		"plywood": "", "": "", ",": "", "oak": "", "spruce": "", "sugar": "", "maple sugar pine": "",
	} {
		if s, ok := wood.Find(asked); ok != (want != "") || s.Name != want {
			t.Errorf("%q is %q, %v; want %q", asked, s.Name, ok, want)
		}
	}
}

// TestEveryNameIsFound: each wood by its name and by every alias, as written and
// as spoken, and by no name that another wood has too.
func TestEveryNameIsFound(t *testing.T) {
	for _, s := range wood.All() {
		for _, name := range append([]string{s.Name}, s.Aliases...) {
			noun, kind, _ := strings.Cut(name, ", ")
			for _, written := range []string{name, strings.ToUpper(name), strings.TrimSpace(kind + " " + noun)} {
				if got, ok := wood.Find(written); !ok || got.Name != s.Name {
					t.Errorf("%q is %q, want %q", written, got.Name, s.Name)
				}
			}
		}
	}
}

func TestMeant(t *testing.T) {
	for asked, want := range map[string]string{
		"Oak": "oak, European; oak, northern red; oak, white", "rosewood": "rosewood, Amazon; rosewood, Brazilian; rosewood, Honduran; rosewood, Indian; rosewood, Madagascar",
		"walnut": "walnut, black", "koa": "koa", "plywood": "", "true": "",
	} {
		var names []string
		for _, s := range wood.Meant(asked) {
			names = append(names, s.Name)
		}
		if got := strings.Join(names, "; "); got != want {
			t.Errorf("%q may mean %q, want %q", asked, got, want)
		}
	}
}

// TestDust: the woods of TRGS 907, annex 2, that the table has, and some that no
// list has.
func TestDust(t *testing.T) {
	for name, want := range map[string]wood.Dust{
		"Australian blackwood": wood.Sensitises, "iroko": wood.Sensitises, "Indian rosewood": wood.Sensitises, "African blackwood": wood.Sensitises,
		"Brazilian rosewood": wood.Sensitises, "cocobolo": wood.Sensitises, "Honduran rosewood": wood.Sensitises, "movingui": wood.Sensitises,
		"Australian silver-oak": wood.Sensitises, "African mahogany": wood.Sensitises, "pau ferro": wood.Sensitises, "teak": wood.Sensitises,
		"limba": wood.Sensitises, "western red cedar": wood.Sensitises, "obeche": wood.Sensitises,
		"koa": wood.OfItsGenus, "kingwood": wood.OfItsGenus, "sugar maple": wood.Unlisted, "basswood": wood.Unlisted,
	} {
		if s, ok := wood.Find(name); !ok || s.Dust != want || (want == wood.Sensitises || want == wood.OfItsGenus) && s.DustSource != "trgs907" {
			t.Errorf("%s: %v of %q, %v; want %v", name, s.Dust, s.DustSource, ok, want)
		}
	}
}

func ExampleFind() {
	s, ok := wood.Find("Indian rosewood")
	fmt.Println(s.Name, s.Gum == blade.HighGum, ok)
	// Output: rosewood, Indian true true
}

func ExampleMeant() {
	for _, s := range wood.Meant("birch") {
		fmt.Println(s.Name)
	}
	// Output:
	// birch, paper
	// birch, sweet
	// birch, yellow
}

func ExampleAll() {
	fmt.Println(wood.All()[0].Name)
	// Output: alder, red
}

func ExampleFigure_Known() {
	padauk, _ := wood.Find("padauk")
	fmt.Println(padauk.TangentialCoefficient.Known(), padauk.RadialCoefficient.Known())
	// Output: true false
}

// Wood Handbook table 4-2: 9.2 percent at 70 degF (21.1 degC) and 50 percent.
func ExampleEquilibriumMoisture() {
	pct, _ := wood.EquilibriumMoisture(21.1, 50)
	fmt.Printf("%.1f\n", pct)
	// Output: 9.2
}

func ExampleCelsius() {
	fmt.Println(wood.Celsius(212))
	// Output: 100
}

func ExampleHumidity() {
	pct, _ := wood.Humidity(20, 12)
	fmt.Printf("%.0f\n", pct)
	// Output: 65
}

// Wood Handbook chapter 13: a white fir board, flatsawn, 232 mm wide, from 8 to 11
// percent: 1.7 mm more.
func ExampleCoefficient_Change() {
	change, _ := wood.Coefficient(0.00245).Change(232*length.Millimetre, 8, 11)
	fmt.Println(change.Fixed(length.Millimetre, 1))
	// Output: 1.7
}

// The same board by its total shrinkage of 7.0 percent.
func ExampleShrinkage_Change() {
	change, _ := wood.Shrinkage(7.0).Change(232*length.Millimetre, 8, 11)
	fmt.Println(change.Fixed(length.Millimetre, 2))
	// Output: 1.71
}

func ExampleSpecies_Movement() {
	mesquite, _ := wood.Find("mesquite")
	moved, _ := mesquite.Movement(5*length.Inch, wood.Tangential, 6, 9)
	fmt.Println(moved.Change.Fixed(length.Inch, 3))
	// Output: 0.019
}

func ExampleSpecies_Density() {
	maple, _ := wood.Find("sugar maple")
	density, ok, _ := maple.Density(12)
	fmt.Printf("%.1f %v\n", density, ok)
	// Output: 705.6 true
}

// A guitar back of 3 x 400 x 500 mm of a wood of 600 kg/m3.
func ExampleMass() {
	kg, _ := wood.Mass(600, 3*length.Millimetre, 400*length.Millimetre, 500*length.Millimetre)
	fmt.Printf("%.2f\n", kg)
	// Output: 0.36
}
