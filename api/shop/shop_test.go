package shop_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"resawd/api/shop"
	"resawd/calc/length"
)

func TestDemo(t *testing.T) {
	s, err := shop.Demo()
	if err != nil {
		t.Fatal(err)
	}
	saw, ok := s.Saw(s.DefaultSaw)
	if !ok || *saw.Lead != 100*length.Thou || *saw.DivisionsPerTurn != 100 || *saw.CuttingHeight != 10*length.Inch {
		t.Errorf("the default saw is %+v", saw)
	}
	if len(s.Saws) != 2 || len(s.Blades) != 6 || !s.Demo {
		t.Errorf("%d saws, %d blades, demo %v", len(s.Saws), len(s.Blades), s.Demo)
	}
	metric, _ := s.Saw("metric")
	if *metric.Lead != 2*length.Millimetre {
		t.Errorf("the metric screw leads by %v", metric.Lead)
	}
}

// Each row changes one thing of the demo file.
func TestFaults(t *testing.T) {
	demo, err := os.ReadFile("demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{"lead: 0.100", "lead: 0", "line 14: saws[0].lead must be above 0 in; 0 in was given"},
		{"lead: 0.100", "lead: 0.05 furlong", `line 14: lead "0.05 furlong" has the unknown unit "furlong"`},
		{"lead: 0.100\n", "\n", "line 11: saws[0].lead is missing"},
		{"divisions_per_turn: 100", "divisions_per_turn: 0", "line 15: saws[0].divisions_per_turn must be at least 1; 0 was given"},
		{"divisions_per_turn: 100", "divisions_per_turn: fifty", `line 15: divisions_per_turn must be a whole number; "fifty" was given`},
		{"rpm: 850", "rpm: 8,50", `line 13: rpm must be a number; "8,50" was given`},
		{"rpm: 850", "rpm: [850]", "line 13: rpm must be a number"},
		{"lead: 0.100", "lead: [0.1]", "line 14: lead must be a length"},
		{"lead: 0.100", "lead: 0,100", `line 14: lead "0,100" has a comma`},
		{"divisions_per_turn: 100", "divisions_per_turn: 12.5", `line 15: divisions_per_turn must be a whole number; "12.5" was given`},
		{"divisions_per_turn: 100", "divisions_per_turn: 0100", `line 15: divisions_per_turn must be written in decimal digits, without zeros before them; "0100" was given`},
		{"divisions_per_turn: 100", "divisions_per_turn: 0x64", `line 15: divisions_per_turn must be a whole number; "0x64" was given`},
		{"divisions_per_turn: 100", "divisions_per_turn: 99999999999999999999", `line 15: divisions_per_turn is far too large; 99999999999999999999 was given`},
		{"rpm: 850", "rpm: 0100", `line 13: rpm must be written in decimal digits`},
		{"rpm: 850", "rpm: 8_50", `line 13: rpm must be written in decimal digits, without zeros before them; "8_50" was given`},
		{"rpm: 850", "rpm: .nan", `line 13: rpm must be a number; ".nan" was given`},
		{"clean_every: 8", "clean_every: 8.5", `clean_every must be a whole number; "8.5" was given`},
		{"\nclimate:\n  temperature_c: 20\n  humidity_pct: 50\n", "\nclimate: mild\n", "line 111: climate must be fields with their values"},
		{"carbide: true", "carbide: maybe", `carbide must be true or false; "maybe" was given`},
		{"rpm: 850", "rpm 850", "line 13: there is no field here: a colon and a space stand between a field and its value"},
		{"rpm: 850", "rpm:850", "line 13: there is no field here"},
		{"    rpm: 850", "\trpm: 850", "line 13: it begins with a tab: indent with spaces"},
		{"    rpm: 850", "   rpm: 850", "line 13: it is not in line with the lines before"},
		{"    rpm: 850", "     rpm: 850", "put a text that has a colon in quotes, and begin the fields of one entry in the same column"},
		{"name: Demo shop", "name: Demo: shop", "line 5: there is one colon too many, or the line is indented further than the one before"},
		{"name: Demo shop", `name: "Demo shop`, "line 5: a quotation mark is not closed"},
		{"rates:", "---\nrates:", "line 132: a second document begins here, after --- or ...; the file may hold one"},
		{"cutting_height: 10", "cutting_hight: 10", `line 18: unknown field "cutting_hight"`},
		{"travel: 4\n", "travel: 4\n    travel: 4\n", `line 18: mapping key "travel" already defined`},
		{"default_saw: bench", "default_saw: big", `line 7: default_saw is "big", which is none of the saws`},
		{"default_fixing: tape", "default_fixing: nails", `line 8: default_fixing is "nails", which is none of the fixings`},
		{"default_blade: half-inch\n", "default_blade: inch\n", `line 20: saws[0].default_blade is "inch", which is none of the blades`},
		{"currency: USD", "currency: dollars", `line 6: currency must be a currency code such as USD or EUR; "dollars" was given`},
		{"name: metric\n", "name: bench\n", `line 22: saws[1].name is "bench", the name of saws[0] too`},
		{"tooth_form: skip", "tooth_form: sharp", `blades[1].tooth_form must be standard, skip or hook; "sharp" was given`},
		{"units: in", "units: inch", `line 4: units must be in or mm; "inch" was given`},
		{"rpm: 850", "rpm: 850\n    blade_speed: 3000", "saws[0].rpm cannot be given together with blade_speed"},
		{"measured_on: 2026-03-14", "measured_on: last week", `blades[2].measured_on must be a date such as 2026-03-14; "last week" was given`},
		{"measured_on: 2026-03-14", "", "blades[2].measured_on is missing"},
		{"measured_after_area: 12000", "measured_after_area: -1", "line 59: blades[2].measured_after_area must be at least 0; -1 was given"},
		{"measured_after_area: 12000", "measured_after_area: 1000000000001", "line 59: blades[2].measured_after_area must be at most 1000000000000; 1.000000000001e+12 was given"},
		{"measured_after_area: 12000", "measured_after_area: much", `line 59: measured_after_area must be a number; "much" was given`},
		{"kerf: 0.040\n    kerf_basis: nominal", "kerf: 0.040\n    kerf_basis: nominal\n    measured_after_area: 1", "line 40: blades[0].measured_after_area has no effect unless kerf_basis is measured"},
		{"kerf: 0.040", "kerf: 0.020", "blades[0].kerf must be at least body_thickness; 0.02 in was given"},
		{"travel: 4\n", "travel: 4\n   - x", "line 18: "},
		{"  humidity_pct: 50\n", "", "climate.humidity_pct is missing"},
		{"  temperature_c: 20\n", "", "climate.temperature_c is missing"},
		{"humidity_pct: 50", "humidity_pct: 4", "climate.humidity_pct must be at least 5; 4 was given"},
		{"temperature_c: 20", "temperature_c: 133", "climate.temperature_c must be at most 132.2; 133 was given"},
		{"name: clean the tyres\n      hours: 8", "name: clean the tyres", "care.intervals[1].cuts is missing: give it, or one of area or hours"},
		{"hours: 8", "hours: 0", "care.intervals[1].hours must be above 0; 0 was given"},
		{"name: clean the tyres", "name: change the blade", `care.intervals[4].name is "change the blade", the name of care.intervals[1] too`},
	} {
		changed := strings.Replace(string(demo), c.old, c.new, 1)
		if changed == string(demo) {
			t.Fatalf("%q is not in the demo file", c.old)
		}
		_, err := shop.Parse([]byte(changed))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: error %v, want %q", c.new, err, c.want)
		}
	}
}

// TestDoubts: what hardly any shop can have is read, and doubted. The demo shop, each of
// its figures in the other unit, and the smallest and largest there are, are not.
func TestDoubts(t *testing.T) {
	text, err := os.ReadFile("demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	demo := string(text)
	inches := strings.Replace(demo, "units: in", "units: mm", 1) // the figures stay as they were
	for _, c := range []struct{ text, old, new, want string }{
		{inches, "", "", "line 12: saws[0].wheel_diameter is 14 mm, where at least 100 mm is usual: check the figure and its unit"},
		{inches, "", "", "line 14: saws[0].lead is 0.1 mm, where at least 0.2 mm"},
		{inches, "", "", "line 17: saws[0].travel is 4 mm, where at least 10 mm"},
		{inches, "", "", "line 18: saws[0].cutting_height is 10 mm, where at least 25 mm"},
		{inches, "", "", "line 19: saws[0].rail_length is 104 mm, where at least 200 mm"},
		{inches, "", "", "line 21: saws[0].widest_blade is 0.75 mm, where at least 3 mm"},
		{inches, "", "", "line 13: saws[0].rpm and wheel_diameter do not make a blade speed of 300 to 3600 m/min"},
		{inches, "", "", "line 45: blades[1].width is 0.5 mm, where at least 1.5 mm"},
		{inches, "", "", "line 46: blades[1].body_thickness is 0.025 mm, where at least 0.2 mm"},
		{inches, "", "", "line 47: blades[1].kerf is 0.045 mm, where at least 0.3 mm"},
		{inches, "", "", "line 52: blades[1].life_area is 40000, where at least 100000 is usual, in square mm"},
		{inches, "", "", "care.clean_area is 3000, where at least 10000 is usual, in square mm"},
		{demo, "kerf: 0.045", "kerf: 0.9", "line 47: blades[1].kerf is 0.9 in, where at most 0.31496063 in is usual"},
		{demo, "body_thickness: 0.032\n    kerf: 0.055", "body_thickness: 0.2\n    kerf: 0.2", "body_thickness is 0.2 in, where at most"},
		{demo, "cutting_height: 10", "cutting_height: 100", "cutting_height is 100 in, where at most"},
		{demo, "travel: 4\n", "travel: 120\n", "travel is 120 in, where at most"},
		{demo, "lead: 0.100", "lead: 2", "lead is 2 in, where at most"},
		{demo, "backlash: 0.004", "backlash: 0.101", "line 16: saws[0].backlash is 0.101 in, more than a whole turn of the screw, 0.1 in"},
		{demo, "widest_blade: 3/4", "widest_blade: 3/8", "line 20: saws[0].default_blade is 0.5 in wide, and widest_blade is 0.375 in"},
		{demo, "rpm: 850", "rpm: 3450", "line 13: saws[0].rpm and wheel_diameter do not make a blade speed of 1000 to 12000 ft/min"},
		{demo, "wheel_diameter: 14\n    rpm: 850", "blade_speed: 900", "line 12: saws[0].blade_speed is 900, where 1000 to 12000 ft/min is usual"},
		{demo, "wheel_diameter: 14\n    rpm: 850", "blade_speed: 12001", "blade_speed is 12001"},
		{demo, "life_area: 40000", "life_area: 27", "life_area is 27, where at least 155 is usual, in square in"},
		{demo, "", "", ""},
		{demo, "backlash: 0.004", "backlash: 0.1", ""},
		{demo, "widest_blade: 3/4", "widest_blade: 1/2", ""},
		{demo, "wheel_diameter: 14\n    rpm: 850", "blade_speed: 12000", ""},
		{demo, "wheel_diameter: 14\n    rpm: 850", "blade_speed: 1000", ""},
		// a three-wheeled saw for a bench, and a mill's band
		{demo, "wheel_diameter: 14\n    rpm: 850", "wheel_diameter: 120mm\n    rpm: 2000", ""},
		{demo, "width: 1/4\n    body_thickness: 0.025\n    kerf: 0.040", "width: 1/16\n    body_thickness: 0.014\n    kerf: 0.020", ""},
		{demo, "wheel_diameter: 14\n    rpm: 850", "wheel_diameter: 108\n    rpm: 400", ""},
		{demo, "width: 1/4\n    body_thickness: 0.025\n    kerf: 0.040", "width: 12\n    body_thickness: 0.095\n    kerf: 0.2", ""},
	} {
		if c.old != "" && !strings.Contains(c.text, c.old) {
			t.Fatalf("%q is not in the demo file", c.old)
		}
		s, err := shop.Parse([]byte(strings.Replace(c.text, c.old, c.new, 1)))
		if err != nil {
			t.Errorf("%q: %v", c.new, err)
			continue
		}
		all := strings.Join(s.Warnings, "\n")
		if c.want == "" && all != "" || !strings.Contains(all, c.want) {
			t.Errorf("%q: warnings %q, want %q", c.new, all, c.want)
		}
	}
}

// TestDoubtsAreBounded: a file of very many odd figures is read soon, and a hundred of
// them are listed. So it is where the figures are wrong.
func TestDoubtsAreBounded(t *testing.T) {
	text, err := os.ReadFile("demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	const blade = "  - {name: b%d, width: 0.01, body_thickness: 0.001, kerf: 0.001, kerf_basis: nominal, tpi: 3, tooth_form: hook, price: 1, life_area: 1}\n"
	odd := strings.Replace(string(text), "blades:\n", "blades:\n"+numbered(blade, 490), 1)
	began := time.Now()
	s, err := shop.Parse([]byte(odd))
	if err != nil || len(s.Warnings) != 101 || s.Warnings[100] != "and 1860 more" {
		t.Fatalf("%d warnings, error %v", len(s.Warnings), err)
	}
	if _, err := shop.Parse([]byte(strings.ReplaceAll(odd, "tpi: 3", "tpi: 3.5.1"))); err == nil || !strings.HasSuffix(err.Error(), "\nand 390 more") {
		t.Errorf("error %v", err)
	}
	if _, err := shop.Parse([]byte(strings.ReplaceAll(odd, "tpi: 3", "tpi: 0"))); err == nil || !strings.HasSuffix(err.Error(), "\nand 390 more") {
		t.Errorf("error %v", err)
	}
	if took := time.Since(began); took > 5*time.Second {
		t.Errorf("it took %s", took)
	}
}

// TestWithoutClimate: a shop file need not tell the air, nor what is due when.
func TestWithoutClimate(t *testing.T) {
	demo, err := os.ReadFile("demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(demo), "climate:\n  temperature_c: 20\n  humidity_pct: 50\n", "", 1)
	head, tail, _ := strings.Cut(text, "  intervals:\n")
	_, rates, _ := strings.Cut(tail, "\nrates:")
	s, err := shop.Parse([]byte(head + "\nrates:" + rates))
	if err != nil || s.Climate.TemperatureC != nil || len(s.Care.Intervals) != 0 {
		t.Errorf("%+v, %v", s, err)
	}
}

func TestEveryFaultIsListed(t *testing.T) {
	_, err := shop.Parse([]byte("units: in\nname: x\n"))
	for _, want := range []string{"currency is missing", "saws is missing", "care.clean_every is missing", "smallest_leaf is missing"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
}
