package rail

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

// near reports whether two numbers agree within a share of the second.
func near(got, want, share float64) bool { return math.Abs(got-want) <= share*math.Abs(want) }

// unit is a rail of length 1 m with w L^4 / (E I) = 1 mm, so that sags in
// micrometres are thousandths of it.
func unit(support Support, inset length.Length) Rail {
	return Rail{Bar: Bar{StiffnessNM2: 1000, MassKGPerM: 1 / 9.80665}, Length: m, Support: support, Inset: inset}
}

// TestCoefficients: Roark's table 8.1 for the first two; the others worked out
// by the theory of Euler and Bernoulli in another program, to all digits given.
func TestCoefficients(t *testing.T) {
	for name, c := range map[string]struct {
		r           Rail
		middle, end float64 // of w L^4 / (E I)
	}{
		"on its ends":                {unit(Ends, 0), 5.0 / 384, 0},
		"cantilever":                 {unit(Cantilever, 0), 0, 1.0 / 8},
		"no overhang":                {unit(Overhang, 0), .0130208, 0},
		"Airy":                       {unit(Overhang, 211_324_865), .000516380, -.0000831},
		"Bessel":                     {unit(Overhang, 220_300_000), .000325652, .000183129},
		"equal sag":                  {unit(Overhang, 223_149_000), .000269728, .000269728},
		"no sag in the middle":       {unit(Overhang, 238_613_000), 0, .000760},
		"cantilever of 2 m":          {Rail{Bar: Bar{16e3, 1 / 9.80665}, Length: 2 * m, Support: Cantilever}, 0, 1.0 / 8},
		"two cantilevers, w (L/2)^4": {unit(Overhang, m/2), 0, 1.0 / 128},
	} {
		s, err := Deflection(c.r)
		const tolerance = 1e-6 // of w L^4 / (E I): the digits of the table
		if err != nil || math.Abs(s.Middle.In(mm)-c.middle) > tolerance || math.Abs(s.End.In(mm)-c.end) > tolerance {
			t.Errorf("%s: %+v, %v; want %v and %v", name, s, err, c.middle, c.end)
		}
	}
}

// TestGravity: w L^4 / (8 E I) with 98.0665 N m2 is an eightieth of a metre, to
// the nanometre.
func TestGravity(t *testing.T) {
	s, err := Deflection(Rail{Bar: Bar{98.0665, 1}, Length: m, Support: Cantilever})
	if err != nil || s.End-m/80 > 1 || m/80-s.End > 1 {
		t.Errorf("%+v, %v", s, err)
	}
}

// TestLoad: Roark's table 8.1, and a load at the end of an overhang as statics
// has it: the rail between the supports gives P a^2 S / (3 E I), the overhang
// P a^3 / (3 E I).
func TestLoad(t *testing.T) {
	for name, c := range map[string]struct {
		support Support
		inset   length.Length
		want    float64 // of P L^3 / (E I)
	}{
		"in the middle":                       {Ends, 0, 1.0 / 48},
		"inset not looked at":                 {Ends, m / 4, 1.0 / 48},
		"at the free end":                     {Cantilever, 0, 1.0 / 3},
		"in the middle of an overhanging one": {Overhang, m / 10, 0.512 / 48},
		"at its end":                          {Overhang, m / 4, (0.0625*0.5 + 1.0/64) / 3},
	} {
		r := unit(c.support, c.inset)
		r.LoadN = 10 // P L^3 / (E I) = 10 mm
		s, err := Deflection(r)
		if err != nil || math.Abs(s.Load.In(mm)-10*c.want) > 1e-6 {
			t.Errorf("%s: %+v, %v; want %v", name, s, err, 10*c.want)
		}
		if worst := max(s.Middle, s.End) + s.Load; s.Worst > worst || s.Worst < s.Load+min(s.Middle, s.End) {
			t.Errorf("%s: worst of %+v", name, s)
		}
	}
}

// TestMetal: a solid bar of 40 x 40 mm, 1.2 m, 69 GPa, 2700 kg/m3, worked out
// in another program: 100 N at the end of 0.3 m bend it by 0.0611 mm.
func TestMetal(t *testing.T) {
	bar, err := NewBar(Section{Width: 40 * mm, Height: 40 * mm}, Material{69, 2700})
	if err != nil || !near(bar.StiffnessNM2, 69e9*2.13333e-7, 2e-6) || !near(bar.MassKGPerM*gravity, 42.3647, 2e-6) {
		t.Fatalf("%+v, %v", bar, err)
	}
	s, err := Deflection(Rail{Bar: bar, Length: 300 * mm, Support: Cantilever, LoadN: 100})
	if err != nil || math.Abs(s.Load.In(mm)-.0611) > .00005 {
		t.Errorf("%+v, %v", s, err)
	}
}

// TestSections: against the definition of I, summed in thin layers, and of the
// area, for a section of 60 x 100 mm with a wall of 5 mm.
func TestSections(t *testing.T) {
	const w, h, wall = 0.06, 0.1, 0.005
	chord := func(d, y float64) float64 { return math.Sqrt(max(0, d*d/4-y*y)) * 2 }
	for name, c := range map[string]struct {
		shape Shape
		width func(y float64) float64 // of the layer at y above the middle
	}{
		"rectangle": {Rectangle, func(float64) float64 { return w }},
		"box": {Box, func(y float64) float64 {
			if math.Abs(y) > h/2-wall {
				return w
			}
			return 2 * wall
		}},
		"round": {Round, func(y float64) float64 { return chord(h, y) }},
		"pipe":  {Pipe, func(y float64) float64 { return chord(h, y) - chord(h-2*wall, y) }},
	} {
		const layers = 100_000
		var area, inertia float64
		for i := range layers {
			y := (float64(i)+0.5)/layers*h - h/2
			area += c.width(y) * h / layers
			inertia += c.width(y) * y * y * h / layers
		}
		bar, err := NewBar(Section{c.shape, 60 * mm, 100 * mm, 5 * mm}, Material{1, 1000})
		if err != nil || !near(bar.MassKGPerM, 1000*area, 1e-5) || !near(bar.StiffnessNM2, 1e9*inertia, 1e-5) {
			t.Errorf("%s: %+v, %v; want %v kg/m and %v N m2", name, bar, err, 1000*area, 1e9*inertia)
		}
	}
}

// TestBestSupports: the shares as published, and sags that are alike.
func TestBestSupports(t *testing.T) {
	best, err := BestSupports(m)
	if err != nil || math.Abs(best.Airy.In(m)-.2113) > .00005 || (m-2*best.Bessel).In(m) != .5594 || math.Abs(best.EqualSag.In(m)-.223149) > 5e-7 {
		t.Errorf("%+v, %v", best, err)
	}
	s, err := Deflection(unit(Overhang, best.EqualSag))
	if err != nil || s.Middle-s.End > 1 || s.End-s.Middle > 1 {
		t.Errorf("%+v, %v", s, err)
	}
}

// TestBessel: what a rail shortens by is half the integral of its squared slope. The
// slope comes by statics from the middle, where it is 0, and the inset with the least is
// looked for: supports 0.5594 of the length apart, as published.
func TestBessel(t *testing.T) {
	const n = 20_000 // steps over half of the length
	shortens := func(a float64) (sum float64) {
		slope, x := 0.0, 0.5
		for range n {
			moment := -x * x / 2
			if x > a {
				moment += (x - a) / 2
			}
			slope -= moment / (2 * n)
			x -= 1.0 / (2 * n)
			sum += slope * slope
		}
		return sum
	}
	least, at := math.Inf(1), 0.0
	for a := 0.21; a < 0.23; a += 1e-5 {
		if s := shortens(a); s < least {
			least, at = s, a
		}
	}
	if math.Abs(1-2*at-bessel) > 0.00005 {
		t.Errorf("supports %v apart, published %v", 1-2*at, bessel)
	}
}

func TestAdvise(t *testing.T) {
	for l, want := range map[length.Length]Advice{
		0: NeedsNone, 48 * length.Inch: NeedsNone, 48*length.Inch + 1: Between,
		60 * length.Inch: Between, 60*length.Inch + 1: SupportEnds,
	} {
		if got := Advise(l); got != want {
			t.Errorf("Advise(%v) = %v, want %v", l, got, want)
		}
	}
}

// TestTooLong: what a refusal says is needed would do, to the last
// nanometres, and a millimetre more not.
func TestTooLong(t *testing.T) {
	for name, c := range map[string]struct {
		support Support
		inset   length.Length
	}{"ends": {Ends, 0}, "cantilever": {Cantilever, 0}, "overhang": {Overhang, m / 4}} {
		r := Rail{Bar: Bar{1, 1}, Length: m, Support: c.support, Inset: c.inset, LoadN: 100}
		var none *fault.NoSolution
		_, err := Deflection(r)
		if !errors.As(err, &none) || none.Value != r.Length {
			t.Errorf("%s: %v", name, err)
			continue
		}
		needed, _ := none.Needed.(length.Length)
		for l, want := range map[length.Length]bool{needed - 10: true, needed + mm: false} {
			r.Length, r.Inset = l, c.inset.Scale(int64(l), int64(m))
			if _, err := Deflection(r); (err == nil) != want {
				t.Errorf("%s: %v of %v: %v", name, l, needed, err)
			}
		}
	}
}

func TestSectionLimits(t *testing.T) {
	square := Section{Width: 40 * mm, Height: 40 * mm}
	metal := Material{69, 2700}
	nan := math.NaN()
	for name, c := range map[string]struct {
		s    Section
		m    Material
		want string
	}{
		"shape below":                {Section{Shape: -1, Width: mm, Height: mm}, metal, "section shape"},
		"shape beyond":               {Section{Shape: Pipe + 1, Width: mm, Height: mm}, metal, "section shape"},
		"no width":                   {Section{Height: mm}, metal, "section width"},
		"width of 1 nm":              {Section{Width: 1, Height: mm}, metal, ""},
		"largest":                    {Section{Width: m, Height: m}, metal, ""},
		"width beyond":               {Section{Width: m + 1, Height: mm}, metal, "section width"},
		"no height":                  {Section{Width: mm}, metal, "section height"},
		"height beyond":              {Section{Width: mm, Height: m + 1}, metal, "section height"},
		"rod needs no width":         {Section{Shape: Round, Height: mm}, metal, ""},
		"no wall":                    {Section{Shape: Box, Width: 10 * mm, Height: 20 * mm}, metal, "section wall"},
		"thin wall":                  {Section{Shape: Box, Width: 10 * mm, Height: 20 * mm, Wall: 1}, metal, ""},
		"thick wall":                 {Section{Shape: Box, Width: 10 * mm, Height: 20 * mm, Wall: 5*mm - 1}, metal, ""},
		"all wall":                   {Section{Shape: Box, Width: 10 * mm, Height: 20 * mm, Wall: 5 * mm}, metal, "section wall"},
		"pipe, thick wall":           {Section{Shape: Pipe, Height: 20 * mm, Wall: 10*mm - 1}, metal, ""},
		"pipe, all wall":             {Section{Shape: Pipe, Height: 20 * mm, Wall: 10 * mm}, metal, "section wall"},
		"pipe, odd, nearly all wall": {Section{Shape: Pipe, Height: 21, Wall: 10}, metal, ""},
		"rod of 1 nm":                {Section{Shape: Round, Height: 1}, metal, ""},
		"pipe, odd, all wall":        {Section{Shape: Pipe, Height: 21, Wall: 11}, metal, "section wall"},
		"soft":                       {square, Material{.001, 2700}, ""},
		"too soft":                   {square, Material{.0009, 2700}, "e modulus gpa"},
		"stiff":                      {square, Material{1200, 2700}, ""},
		"too stiff":                  {square, Material{1200.1, 2700}, "e modulus gpa"},
		"modulus NaN":                {square, Material{nan, 2700}, "e modulus gpa"},
		"light":                      {square, Material{69, 1}, ""},
		"too light":                  {square, Material{69, .99}, "density kg m3"},
		"heavy":                      {square, Material{69, 23_000}, ""},
		"too heavy":                  {square, Material{69, 23_000.05}, "density kg m3"},
	} {
		if _, err := NewBar(c.s, c.m); refusal.Of(err) != c.want {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestLimits(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		change func(*Rail)
		want   string
	}{
		"stiffness at its least": {func(r *Rail) { r.StiffnessNM2, r.MassKGPerM, r.Length = 1e-9, 1e-6, mm }, ""},
		"stiffness below":        {func(r *Rail) { r.StiffnessNM2 = .99e-9 }, "stiffness nm2"},
		"stiffness at its most":  {func(r *Rail) { r.StiffnessNM2 = 1e12 }, ""},
		"stiffness beyond":       {func(r *Rail) { r.StiffnessNM2 = 1.01e12 }, "stiffness nm2"},
		"stiffness NaN":          {func(r *Rail) { r.StiffnessNM2 = nan }, "stiffness nm2"},
		"mass at its least":      {func(r *Rail) { r.MassKGPerM = 1e-6 }, ""},
		"mass below":             {func(r *Rail) { r.MassKGPerM = .99e-6 }, "mass kg per m"},
		"mass at its most":       {func(r *Rail) { r.MassKGPerM, r.StiffnessNM2 = 1e5, 1e12 }, ""},
		"mass beyond":            {func(r *Rail) { r.MassKGPerM = 1.01e5 }, "mass kg per m"},
		"no length":              {func(r *Rail) { r.Length = 0 }, "length"},
		"length of 1 nm":         {func(r *Rail) { r.Length = 1 }, ""},
		"length at its most":     {func(r *Rail) { r.Length, r.StiffnessNM2 = length.Max, 1e12 }, ""},
		"length beyond":          {func(r *Rail) { r.Length = length.Max + 1 }, "length"},
		"support below":          {func(r *Rail) { r.Support = -1 }, "support"},
		"support beyond":         {func(r *Rail) { r.Support = Overhang + 1 }, "support"},
		"inset below":            {func(r *Rail) { r.Support, r.Inset = Overhang, -1 }, "inset"},
		"inset at its most":      {func(r *Rail) { r.Support, r.Inset = Overhang, m/2 }, ""},
		"inset beyond":           {func(r *Rail) { r.Support, r.Inset = Overhang, m/2+1 }, "inset"},
		"inset not asked":        {func(r *Rail) { r.Inset = 2 * m }, ""},
		"load below":             {func(r *Rail) { r.LoadN = -.1 }, "load n"},
		"load at its most":       {func(r *Rail) { r.LoadN, r.StiffnessNM2 = 1e6, 1e12 }, ""},
		"load beyond":            {func(r *Rail) { r.LoadN, r.StiffnessNM2 = 1.01e6, 1e12 }, "load n"},
		// P L^3 / (48 E I) is a tenth of the length at 4800 N.
		"a tenth, nearly": {func(r *Rail) { r.LoadN = 4799 }, ""},
		"over a tenth":    {func(r *Rail) { r.LoadN = 4801 }, "no length"},
	} {
		r := unit(Ends, 0)
		r.MassKGPerM = 1e-6
		c.change(&r)
		if s, err := Deflection(r); refusal.Of(err) != c.want || err != nil && s != (Sag{}) {
			t.Errorf("%s: %+v, %v", name, s, err)
		}
		if hz, err := Frequency(r); c.want != "no length" && refusal.Of(err) != c.want || err != nil && hz != 0 {
			t.Errorf("%s: %v Hz, %v", name, hz, err)
		}
	}
	for l, want := range map[length.Length]string{0: "length", 1: "", length.Max: "", length.Max + 1: "length"} {
		if _, err := BestSupports(l); refusal.Of(err) != want {
			t.Errorf("BestSupports(%v): %v", l, err)
		}
	}
	for sag, want := range map[length.Length]string{0: "allowed sag", 1: "", m: "", m + 1: "allowed sag"} {
		if _, err := LongestSpan(unit(Cantilever, 2*m), sag); refusal.Of(err) != want {
			t.Errorf("LongestSpan for %v: %v", sag, err)
		}
	}
	if l, err := LongestSpan(Rail{Bar: Bar{1e12, 1e-6}}, m); err != nil || l != length.Max {
		t.Errorf("a rail that never sags: %v, %v", l, err)
	}
	if _, err := LongestSpan(Rail{Bar: Bar{0, 1}}, m); refusal.Of(err) != "stiffness nm2" {
		t.Errorf("no stiffness: %v", err)
	}
}

// FuzzRail: sags are finite, a stiffer rail sags less, the longest span sags
// what is allowed and no more, and a frequency falls as the mass grows.
func FuzzRail(f *testing.F) {
	f.Add(14720.0, 4.32, int64(1200*mm), int64(100*mm), 100.0)
	f.Add(1.0, 1.0, int64(m), int64(m/2), 0.0)
	f.Fuzz(func(t *testing.T, ei, mass float64, l, inset int64, load float64) {
		r := Rail{Bar: Bar{ei, mass}, Length: length.Length(l), Support: Overhang, Inset: length.Length(inset), LoadN: load}
		s, err := Deflection(r)
		hz, err2 := Frequency(r)
		span, err3 := LongestSpan(r, mm)
		if fault.First(err, err2, err3) != nil {
			return
		}
		if !(hz > 0) || math.IsInf(hz, 0) || s.Worst < s.Middle {
			t.Fatalf("%+v: %v Hz, %+v", r, hz, s)
		}
		stiffer, heavier := r, r
		stiffer.StiffnessNM2 *= 2
		heavier.MassKGPerM *= 4
		if d, err := Deflection(stiffer); err == nil && s.Worst >= 0 && d.Worst > s.Worst {
			t.Fatalf("%+v sags %v, twice as stiff %v", r, s.Worst, d.Worst)
		}
		if slow, err := Frequency(heavier); err == nil && !near(slow*2, hz, 1e-9) {
			t.Fatalf("%v Hz, with four times the mass %v", hz, slow)
		}
		onEnds := r
		onEnds.Support, onEnds.Length = Ends, span
		if span == 0 || span == length.Max {
			return
		}
		if d, err := Deflection(onEnds); err == nil && (d.Worst > mm+1 || d.Worst < mm-1-mm/1_000_000) {
			t.Fatalf("%+v over %v sags %v", r, span, d.Worst)
		}
	})
}
