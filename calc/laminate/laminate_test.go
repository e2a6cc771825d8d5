package laminate

import (
	"errors"
	"math"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

const (
	mm = length.Millimetre
	m  = length.Metre
)

func near(got, want, off float64) bool { return math.Abs(got-want) <= off }

// TestFlat: the leaves and glue lines add up to the part.
func TestFlat(t *testing.T) {
	for name, c := range map[string]struct {
		p    Part
		n    int
		leaf length.Length
	}{
		"counted":                {Part{Thickness: 10 * mm, LeafCount: 4}, 4, 2_500_000},
		"with glue":              {Part{Thickness: 10 * mm, LeafCount: 4, GlueLine: mm / 10}, 4, 2_425_000}, // (10 - 0.3) / 4
		"one":                    {Part{Thickness: 10 * mm, LeafCount: 1, GlueLine: mm}, 1, 10 * mm},
		"by a thickness":         {Part{Thickness: 10 * mm, LeafThickness: 3 * mm}, 4, 2_500_000},
		"that fits":              {Part{Thickness: 9 * mm, LeafThickness: 3 * mm}, 3, 3 * mm},
		"that just does not":     {Part{Thickness: 9*mm + 1, LeafThickness: 3 * mm}, 4, 2_250_000},
		"with glue that fits":    {Part{Thickness: 98 * mm / 10, LeafThickness: 3 * mm, GlueLine: 4 * mm / 10}, 3, 3 * mm},
		"with glue, a leaf more": {Part{Thickness: 98*mm/10 + 1, LeafThickness: 3 * mm, GlueLine: 4 * mm / 10}, 4, 2_150_000}, // (9.8 - 1.2) / 4
		"both":                   {Part{Thickness: 10 * mm, LeafCount: 5, LeafThickness: 3 * mm}, 5, 2 * mm},
		"both, just":             {Part{Thickness: 10 * mm, LeafCount: 4, LeafThickness: 2_500_000}, 4, 2_500_000},
		"both, rounded down":     {Part{Thickness: 10*mm + 1, LeafCount: 4, LeafThickness: 2_500_000}, 4, 2_500_000},
		"thicker than the part":  {Part{Thickness: 2 * mm, LeafThickness: 3 * mm}, 1, 2 * mm},
		"halves, rounded up":     {Part{Thickness: 10*mm + 2, LeafCount: 4}, 4, 2_500_001},
		"thirds, rounded":        {Part{Thickness: 1*mm + 1, LeafCount: 3}, 3, 333_334}, // 333 333.67
	} {
		s, err := Design(c.p)
		if err != nil || s.LeafCount != c.n || s.LeafThickness != c.leaf || s.FormRadius != 0 || s.ThickestLeaf != 0 || s.Strength != 1 || s.Plies == nil || len(s.Plies) > 0 {
			t.Errorf("%s: %+v, %v; want %d of %v", name, s, err, c.n, c.leaf)
		}
	}
}

// TestBent: worked by hand. The glued stack of n leaves of t under the moment that
// bent them loose gives back the curvature (n t^3 / 12) / ((n t)^3 / 12) of the form.
func TestBent(t *testing.T) {
	for n := 2; n <= 12; n++ {
		leaf := 1.5
		stack := float64(n) * leaf
		loose, glued := float64(n)*leaf*leaf*leaf/12, stack*stack*stack/12
		s, err := Design(Part{Thickness: length.Length(n) * 3 * mm / 2, LeafCount: n, Radius: 200 * mm, ArcDegrees: 45})
		if err != nil || !near(s.Springback, loose/glued, 1e-12) {
			t.Fatalf("%d leaves: %+v, %v; want springback %v", n, s, err, loose/glued)
		}
		half := float64(n) * leaf / 2
		kept := (1 - s.Springback) / (s.FormRadius.In(mm) + half) // curvature after springback
		if !near(1/kept, 200+half, 1e-5) {
			t.Errorf("%d leaves: a form of %v comes out at %v", n, s.FormRadius, 1/kept-half)
		}
		if !near((s.FormRadius.In(mm)+half)*s.FormDegrees, (200+half)*45, 1e-3) {
			t.Errorf("%d leaves: the centre line changes its length: %+v", n, s)
		}
		inner := s.FormRadius.In(mm)
		if outer, middle := inner+leaf, inner+leaf/2; !near(s.Strain, (outer-middle)/middle, 1e-9) {
			t.Errorf("%d leaves: strain %v, want %v", n, s.Strain, (outer-middle)/middle)
		}
	}
}

// TestCurvature: leaf over radius 1/100 and 1/125, a strength of 0.8 at 1/100 (design
// specification, from memory).
func TestCurvature(t *testing.T) {
	s, err := Design(Part{Thickness: 20 * mm, LeafCount: 10, Radius: 200 * mm})
	// centre 210 mm, on the form 207.9, its face 197.9 mm.
	if err != nil || s.FormRadius != 197_900_000 || s.ThickestLeaf != 1_979_000 || !near(s.StrainLimit, 1/201.0, 1e-15) || !near(s.Strength, 0.8, 1e-12) || len(s.Plies) > 0 || s.FormDegrees != 0 {
		t.Errorf("%+v, %v", s, err)
	}
	s, err = Design(Part{Thickness: 20 * mm, LeafCount: 10, Radius: 200 * mm, Softwood: true})
	if err != nil || s.ThickestLeaf != 1_583_200 || !near(s.StrainLimit, 1/251.0, 1e-15) {
		t.Errorf("softwood: %+v, %v", s, err)
	}
	if s, err = Design(Part{Thickness: 20 * mm, LeafCount: 4, Radius: 100 * mm}); err != nil || s.Strength != 0 {
		t.Errorf("5 mm to 100 mm: %+v, %v", s, err)
	}
}

// TestByRadius: the fewest leaves that the form may bend. 20 mm at 200 mm: 10 leaves
// of 2 mm want a form of 200 mm, which has 197.9; 11 of 1.818 want 181.8.
func TestByRadius(t *testing.T) {
	for name, c := range map[string]struct {
		p Part
		n int
	}{
		"hardwood":   {Part{Thickness: 20 * mm, Radius: 200 * mm}, 11},
		"softwood":   {Part{Thickness: 20 * mm, Radius: 200 * mm, Softwood: true}, 13}, // 12 of 1.667 want 208.3 of 198.5
		"two":        {Part{Thickness: 2 * mm, Radius: 200 * mm}, 2},
		"only two":   {Part{Thickness: 2 * mm, Radius: 500 * mm, GlueLine: mm}, 2},       // of three the glue lines are all
		"glue helps": {Part{Thickness: 20 * mm, Radius: 200 * mm, GlueLine: mm / 5}, 10}, // 10 of 1.82
	} {
		s, err := Design(c.p)
		if err != nil || s.LeafCount != c.n || s.LeafThickness > s.ThickestLeaf {
			t.Errorf("%s: %+v, %v; want %d", name, s, err, c.n)
		}
	}
}

// TestPlies: three leaves of 3 mm with glue lines of 0.5 mm, half a turn round 100
// mm: their centre lines lie at 101.5, 105 and 108.5 mm.
func TestPlies(t *testing.T) {
	s, err := Design(Part{Thickness: 10 * mm, LeafCount: 3, GlueLine: mm / 2, Radius: 100 * mm, ArcDegrees: 180})
	if err != nil || len(s.Plies) != 3 {
		t.Fatalf("%+v, %v", s, err)
	}
	for i, r := range []float64{101.5, 105, 108.5} {
		if want := math.Pi * r; !near(s.Plies[i].In(mm), want, 1e-6) {
			t.Errorf("ply %d is %v, want %v", i+1, s.Plies[i], want)
		}
	}
}

func TestLimits(t *testing.T) {
	flat := Part{Thickness: 10 * mm, LeafCount: 4}
	for name, c := range map[string]struct {
		change func(*Part)
		want   string
	}{
		"as it is":              {func(*Part) {}, ""},
		"no thickness":          {func(p *Part) { p.Thickness = 0 }, "thickness"},
		"thickness of 1 nm":     {func(p *Part) { p.Thickness = 1 }, "no thickness"},
		"leaf of 1 nm":          {func(p *Part) { p.Thickness, p.LeafCount, p.LeafThickness = 10, 0, 1 }, "no thickness"},
		"leaf of 1 nm, bent":    {func(p *Part) { p.LeafCount, p.LeafThickness, p.Radius = 0, 1, m }, "leaf count"},
		"thickness at its most": {func(p *Part) { p.Thickness = m }, ""},
		"thickness beyond":      {func(p *Part) { p.Thickness = m + 1 }, "thickness"},
		"leaves below":          {func(p *Part) { p.LeafCount = -1 }, "leaf count"},
		"neither":               {func(p *Part) { p.LeafCount = 0 }, "leaf count"},
		"leaves at their most":  {func(p *Part) { p.LeafCount = 1000 }, ""},
		"leaves beyond":         {func(p *Part) { p.LeafCount = 1001 }, "leaf count"},
		"leaf below":            {func(p *Part) { p.LeafThickness = -1 }, "leaf thickness"},
		"leaf at its most":      {func(p *Part) { p.LeafCount, p.LeafThickness = 0, m }, ""},
		"both, too few":         {func(p *Part) { p.LeafThickness = 2_499_999 }, "no leaf count"},
		"both, far too few":     {func(p *Part) { p.LeafCount, p.LeafThickness = 2, 2_500_000 }, "no leaf count"},
		"leaf beyond":           {func(p *Part) { p.LeafThickness = m + 1 }, "leaf thickness"},
		"leaf of a thousandth":  {func(p *Part) { p.LeafCount, p.LeafThickness = 0, 10*mm/1000 }, ""},
		"leaf thinner":          {func(p *Part) { p.LeafCount, p.LeafThickness = 0, 10*mm/1000-1 }, "leaf count"},
		"glue below":            {func(p *Part) { p.GlueLine = -1 }, "glue line"},
		"glue at its most":      {func(p *Part) { p.Thickness, p.GlueLine = 100*mm, 10*mm }, ""},
		"glue beyond":           {func(p *Part) { p.Thickness, p.GlueLine = 100*mm, 10*mm+1 }, "glue line"},
		"all glue":              {func(p *Part) { p.GlueLine = 10 * mm / 3 }, "no thickness"},
		"leaves of 1 um":        {func(p *Part) { p.Thickness = 4_000 }, ""},
		"leaves of less":        {func(p *Part) { p.Thickness = 3_990 }, "no thickness"},
		"radius below":          {func(p *Part) { p.Radius = -1 }, "radius"},
		"radius at its most":    {func(p *Part) { p.Radius = length.Max }, ""},
		"radius beyond":         {func(p *Part) { p.Radius = length.Max + 1 }, "radius"},
		"arc below":             {func(p *Part) { p.ArcDegrees = -.1 }, "arc degrees"},
		"arc at its most":       {func(p *Part) { p.Radius, p.ArcDegrees = m, 360 }, ""},
		"arc beyond":            {func(p *Part) { p.ArcDegrees = 360.1 }, "arc degrees"},
		"arc NaN":               {func(p *Part) { p.ArcDegrees = math.NaN() }, "arc degrees"},
		"one leaf, bent":        {func(p *Part) { p.LeafCount, p.Radius = 1, m }, "no leaf count"},
		"two leaves, bent":      {func(p *Part) { p.LeafCount, p.Radius = 2, m }, ""},
		// Two leaves keep 3/4: (R + 5) 3/4 > 5 from R = 1.667 mm.
		"too tight":              {func(p *Part) { p.LeafCount, p.Radius = 2, 1_666_000 }, "no radius"},
		"just not too tight":     {func(p *Part) { p.LeafCount, p.Radius = 2, 1_667_000 }, ""},
		"no leaf is thin enough": {func(p *Part) { p.LeafCount, p.Radius, p.GlueLine = 0, mm, mm }, "no radius"},
	} {
		p := flat
		c.change(&p)
		s, err := Design(p)
		if refusal.Of(err) != c.want || (err == nil) != (s.LeafCount > 0) {
			t.Errorf("%s: %+v, %v", name, s, err)
		}
	}
}

// TestNeeded: what a refusal says is needed would do, and a nanometre less not.
func TestNeeded(t *testing.T) {
	for name, c := range map[string]struct {
		p     Part
		field func(*Part) *length.Length
		less  length.Length
	}{
		"radius":        {Part{Thickness: 10 * mm, LeafCount: 2, Radius: mm}, func(p *Part) *length.Length { return &p.Radius }, 1},
		"of three":      {Part{Thickness: 10*mm + 6, LeafCount: 3, Radius: mm / 2}, func(p *Part) *length.Length { return &p.Radius }, 1},
		"of three, too": {Part{Thickness: 10*mm + 8, LeafCount: 3, Radius: mm / 2}, func(p *Part) *length.Length { return &p.Radius }, 1},
		"only two":      {Part{Thickness: 2 * mm, GlueLine: mm, Radius: mm}, func(p *Part) *length.Length { return &p.Radius }, 1},
		"of any":        {Part{Thickness: 10 * mm, GlueLine: mm, Radius: mm}, func(p *Part) *length.Length { return &p.Radius }, 1},
		"softwood":      {Part{Thickness: 10 * mm, GlueLine: mm, Radius: mm, Softwood: true}, func(p *Part) *length.Length { return &p.Radius }, 1},
		"thickness":     {Part{Thickness: 10 * mm, LeafCount: 4, GlueLine: 4 * mm}, func(p *Part) *length.Length { return &p.Thickness }, 3},
	} {
		var none *fault.NoSolution
		if _, err := Design(c.p); !errors.As(err, &none) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		needed, _ := none.Needed.(length.Length)
		*c.field(&c.p) = needed
		if _, err := Design(c.p); err != nil {
			t.Errorf("%s: %v would not do: %v", name, needed, err)
		}
		*c.field(&c.p) = needed - c.less // nanometres: leaves are rounded
		if _, err := Design(c.p); err == nil {
			t.Errorf("%s: less than %v does", name, needed)
		}
	}
	// With nine glue lines of 1 mm in 10 there are ten leaves of 0.1, which want a form of
	// 10 mm: 15/0.99 at the part's centre line; two leaves are nothing but glue.
	var none *fault.NoSolution
	if _, err := Design(Part{Thickness: 10 * mm, GlueLine: mm, Radius: mm}); !errors.As(err, &none) || none.Needed != 10_151_515*length.Nanometre {
		t.Errorf("of any: %v", err)
	}
	if _, err := Design(Part{Thickness: 10 * mm, GlueLine: 10 * mm, Radius: mm}); !errors.As(err, &none) || none.Quantity != "thickness" {
		t.Errorf("all glue: %v", err)
	}
	if _, err := Design(Part{Thickness: mm, LeafCount: 1, Radius: m}); !errors.As(err, &none) || none.Needed != 2 {
		t.Errorf("one leaf: %v", err)
	}
	var out *fault.OutOfRange
	if _, err := Design(Part{Thickness: mm}); !errors.As(err, &out) || out.Low != 1 || out.High != 1000 {
		t.Errorf("neither: %v", err)
	}
	if s, err := Design(Part{Thickness: 2 * mm, LeafCount: 2, Radius: m, ArcDegrees: 0.5}); err != nil || len(s.Plies) != 2 {
		t.Errorf("a short arc: %+v, %v", s, err)
	}
}

// FuzzDesign: a radius that a refusal says is needed would do. The stack is as thick as the part, to half a nanometre a leaf; the
// form is tighter than the part; outer plies are longer.
func FuzzDesign(f *testing.F) {
	f.Add(int64(10*mm), 5, int64(0), int64(100_000), int64(495*mm), 90.0, true)
	f.Add(int64(10*mm), 0, int64(0), int64(0), int64(200*mm), 10.0, false)
	f.Add(int64(10*mm), 2, int64(0), int64(0), int64(1*mm), 10.0, false)
	f.Add(int64(10*mm), 0, int64(0), int64(0), int64(1), 10.0, false)
	f.Fuzz(func(t *testing.T, thick int64, n int, leaf, glue, radius int64, arc float64, soft bool) {
		p := Part{length.Length(thick), n, length.Length(leaf), length.Length(glue), length.Length(radius), arc, soft}
		s, err := Design(p)
		var none *fault.NoSolution
		if errors.As(err, &none) && none.Quantity == "radius" {
			p.Radius, _ = none.Needed.(length.Length)
			if _, err := Design(p); err != nil {
				t.Fatalf("%+v was to do: %v", p, err)
			}
		}
		if err != nil {
			return
		}
		count := length.Length(s.LeafCount)
		if off := count*s.LeafThickness + (count-1)*p.GlueLine - p.Thickness; off > count/2 || -off > count/2 {
			t.Fatalf("%+v: %+v is off by %v", p, s, off)
		}
		if n == 0 && leaf > 0 && s.LeafThickness > p.LeafThickness {
			t.Fatalf("%+v: leaves of %v", p, s.LeafThickness)
		}
		if radius > 0 && (s.FormRadius >= p.Radius || s.FormRadius <= 0 || math.IsNaN(s.Strain) || s.Strength < 0) {
			t.Fatalf("%+v: %+v", p, s)
		}
		for i := 1; i < len(s.Plies); i++ {
			if s.Plies[i] < s.Plies[i-1] {
				t.Fatalf("%+v: plies %v", p, s.Plies)
			}
		}
	})
}
