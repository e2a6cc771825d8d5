package price

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/internal/refusal"
	"resawd/calc/length"
)

// TestMinorUnit: a currency of each kind, and the number of each in list one.
func TestMinorUnit(t *testing.T) {
	for code, want := range map[string]Money{"USD": 100, "EUR": 100, "ISK": 10_000, "XPF": 10_000, "TND": 10, "CLF": 1, "": 100} {
		if got := MinorUnit(code); got != want {
			t.Errorf("%q: %d, want %d", code, got, want)
		}
	}
	count := map[Money]int{}
	for code := range digits {
		count[MinorUnit(code)]++
	}
	if count[10_000] != 17 || count[10] != 7 || count[1] != 2 || count[100] != 0 {
		t.Errorf("minor units: %v", count)
	}
}

func TestRound(t *testing.T) {
	for name, c := range map[string]struct {
		lines []Money
		minor Money
		want  []Money
	}{
		"none":                 {[]Money{}, 100, []Money{}},
		"whole":                {[]Money{100, 200}, 100, []Money{100, 200}},
		"half up":              {[]Money{150}, 100, []Money{200}},
		"just below":           {[]Money{149}, 100, []Money{100}},
		"half, away from zero": {[]Money{-150}, 100, []Money{-200}},
		"below, negative":      {[]Money{-149}, 100, []Money{-100}},
		"largest first":        {[]Money{110, 180, 130, 180}, 100, []Money{100, 200, 100, 200}}, // 600
		"first of the same":    {[]Money{150, 150}, 100, []Money{200, 100}},
		"with a credit":        {[]Money{8033, -1033}, 100, []Money{8000, -1000}},
		"credit loses most":    {[]Money{8010, -1050}, 100, []Money{8000, -1000}}, // 6960 -> 7000
		"to the unit":          {[]Money{14_999, 5_002}, 10_000, []Money{10_000, 10_000}},
		"finest":               {[]Money{7, -3}, 1, []Money{7, -3}},
		"odd minor":            {[]Money{4}, 3, []Money{3}},
	} {
		got, err := Round(c.lines, c.minor)
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%s: %v, %v", name, got, err)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%s: %v, want %v", name, got, c.want)
			}
		}
	}
}

// job is plain: nothing but wood.
func job(change func(*Job)) Job {
	j := Job{Blade: Blade{LifeMM2: 1}, WoodCost: 100 * Unit, LeafCount: 8, SetSize: 2}
	change(&j)
	return j
}

// TestQuote: one thing at a time, worked by hand.
func TestQuote(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Job)
		kind   Kind
		line   Money
		want   Quote
	}{
		"wood":        {func(*Job) {}, Wood, 100 * Unit, Quote{Total: 100 * Unit, LeafPrice: 125_000, SetPrice: 25 * Unit, OneMore: 111_111}},
		"left over":   {func(j *Job) { j.LeftOver = 36 * Unit }, LeftOver, -36 * Unit, Quote{Total: 64 * Unit, LeafPrice: 8 * Unit, SetPrice: 16 * Unit, OneMore: 71_111}},
		"labour":      {func(j *Job) { j.LabourPerHour, j.RunSeconds = 40*Unit, 5400 }, Labour, 60 * Unit, Quote{Total: 160 * Unit, LeafPrice: 20 * Unit, SetPrice: 40 * Unit, OneMore: 177_778}},
		"extra":       {func(j *Job) { j.LabourPerHour, j.ExtraSeconds = 40*Unit, 900 }, Labour, 10 * Unit, Quote{Total: 110 * Unit, LeafPrice: 137_500, SetPrice: 275_000, OneMore: 122_222}},
		"overhead":    {func(j *Job) { j.OverheadPerHour, j.RunSeconds = 20*Unit, 3600 }, Overhead, 20 * Unit, Quote{Total: 120 * Unit, LeafPrice: 15 * Unit, SetPrice: 30 * Unit, OneMore: 133_333}},
		"blade":       {func(j *Job) { j.Blade, j.SawnAreaMM2 = Blade{30 * Unit, 3e6}, 1e6 }, BladeWear, 10 * Unit, Quote{Total: 110 * Unit, LeafPrice: 137_500, SetPrice: 275_000, OneMore: 122_222}},
		"consumables": {func(j *Job) { j.Consumables = 12 * Unit }, Consumables, 12 * Unit, Quote{Total: 112 * Unit, LeafPrice: 14 * Unit, SetPrice: 28 * Unit, OneMore: 124_444}},
		"margin":      {func(j *Job) { j.Margin = 0.2 }, Margin, 25 * Unit, Quote{Total: 125 * Unit, LeafPrice: 156_250, SetPrice: 312_500, OneMore: 138_889}},
		"dust":        {func(j *Job) { j.KerfShare = 0.475 }, Wood, 100 * Unit, Quote{Total: 100 * Unit, LeafPrice: 125_000, SetPrice: 25 * Unit, OneMore: 111_111, Dust: 475_000}},
		"thirds":      {func(j *Job) { j.LeafCount, j.SetSize = 3, 3 }, Wood, 100 * Unit, Quote{Total: 100 * Unit, LeafPrice: 333_333, SetPrice: 100 * Unit, OneMore: 25 * Unit}},
		"to the cent": {func(j *Job) { j.WoodCost, j.LeafCount, j.SetSize = 333_333, 1, 1 }, Wood, 333_300, Quote{Total: 333_300, LeafPrice: 333_333, SetPrice: 333_333, OneMore: 166_667}},
	} {
		q, err := NewQuote(job(c.change), 100)
		if err != nil || len(q.Lines) != 7 || q.Lines[c.kind] != c.line {
			t.Errorf("%s: %+v, %v; want %d", name, q, err, c.line)
		}
		q.Lines = nil
		if q.Total != c.want.Total || q.LeafPrice != c.want.LeafPrice || q.SetPrice != c.want.SetPrice || q.OneMore != c.want.OneMore || q.Dust != c.want.Dust {
			t.Errorf("%s: %+v, want %+v", name, q, c.want)
		}
	}
}

func TestQuoteLimits(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		change func(*Job)
		want   string
	}{
		"labour below":       {func(j *Job) { j.LabourPerHour = -1 }, "labour per hour"},
		"labour at its most": {func(j *Job) { j.LabourPerHour = 1_000_000 * Unit }, ""},
		"labour beyond":      {func(j *Job) { j.LabourPerHour = 1_000_000*Unit + 1 }, "labour per hour"},
		"overhead below":     {func(j *Job) { j.OverheadPerHour = -1 }, "overhead per hour"},
		"overhead at most":   {func(j *Job) { j.OverheadPerHour = 1_000_000 * Unit }, ""},
		"overhead beyond":    {func(j *Job) { j.OverheadPerHour = 1_000_000*Unit + 1 }, "overhead per hour"},
		"blade below":        {func(j *Job) { j.Price = -1 }, "blade price"},
		"blade at its most":  {func(j *Job) { j.Price = 1_000_000_000 * Unit }, ""},
		"blade beyond":       {func(j *Job) { j.Price = 1_000_000_000*Unit + 1 }, "blade price"},
		"no life":            {func(j *Job) { j.LifeMM2 = 0 }, "blade life area"},
		"half a mm2":         {func(j *Job) { j.LifeMM2 = 0.5 }, ""},
		"life at its most":   {func(j *Job) { j.LifeMM2 = 1e12 }, ""},
		"life beyond":        {func(j *Job) { j.LifeMM2 = 1.01e12 }, "blade life area"},
		"life NaN":           {func(j *Job) { j.LifeMM2 = nan }, "blade life area"},
		"wood below":         {func(j *Job) { j.WoodCost = -1 }, "wood cost"},
		"wood for nothing":   {func(j *Job) { j.WoodCost = 0 }, ""},
		"wood at its most":   {func(j *Job) { j.WoodCost = 1_000_000_000 * Unit }, ""},
		"wood beyond":        {func(j *Job) { j.WoodCost = 1_000_000_000*Unit + 1 }, "wood cost"},
		"left over below":    {func(j *Job) { j.LeftOver = -1 }, "left over value"},
		"all left over":      {func(j *Job) { j.LeftOver = 100 * Unit }, ""},
		"more left over":     {func(j *Job) { j.LeftOver = 100*Unit + 1 }, "left over value"},
		"kerf below":         {func(j *Job) { j.KerfShare = -.01 }, "kerf share"},
		"all kerf":           {func(j *Job) { j.KerfShare = 1 }, ""},
		"kerf beyond":        {func(j *Job) { j.KerfShare = 1.01 }, "kerf share"},
		"no leaf":            {func(j *Job) { j.LeafCount = 0 }, "leaf count"},
		"one leaf":           {func(j *Job) { j.LeafCount = 1 }, ""},
		"leaves at most":     {func(j *Job) { j.LeafCount = 1_000_000 }, ""},
		"leaves beyond":      {func(j *Job) { j.LeafCount = 1_000_001 }, "leaf count"},
		"no set":             {func(j *Job) { j.SetSize = 0 }, "set size"},
		"set of one":         {func(j *Job) { j.SetSize = 1 }, ""},
		"set at most":        {func(j *Job) { j.SetSize = 1_000_000 }, ""},
		"set beyond":         {func(j *Job) { j.SetSize = 1_000_001 }, "set size"},
		"run below":          {func(j *Job) { j.RunSeconds = -.1 }, "run seconds"},
		"run at most":        {func(j *Job) { j.RunSeconds = 1e8 }, ""},
		"run beyond":         {func(j *Job) { j.RunSeconds = 1.01e8 }, "run seconds"},
		"extra below":        {func(j *Job) { j.ExtraSeconds = -.1 }, "extra seconds"},
		"extra at most":      {func(j *Job) { j.ExtraSeconds = 1e8 }, ""},
		"extra beyond":       {func(j *Job) { j.ExtraSeconds = 1.01e8 }, "extra seconds"},
		"area below":         {func(j *Job) { j.SawnAreaMM2 = -.1 }, "sawn area"},
		"area at most":       {func(j *Job) { j.SawnAreaMM2 = 1e12 }, ""},
		"area beyond":        {func(j *Job) { j.SawnAreaMM2 = 1.01e12 }, "sawn area"},
		"area NaN":           {func(j *Job) { j.SawnAreaMM2 = nan }, "sawn area"},
		"consumables below":  {func(j *Job) { j.Consumables = -1 }, "consumables"},
		"consumables beyond": {func(j *Job) { j.Consumables = 1_000_000_000*Unit + 1 }, "consumables"},
		"margin below":       {func(j *Job) { j.Margin = -.01 }, "margin"},
		"margin at most":     {func(j *Job) { j.Margin = .99 }, ""},
		"margin beyond":      {func(j *Job) { j.Margin = .991 }, "margin"},
		"blades worn out":    {func(j *Job) { j.Price, j.SawnAreaMM2 = 1*Unit, 1e9+1 }, "blade wear"},
		"blades, nearly":     {func(j *Job) { j.WoodCost, j.Price, j.SawnAreaMM2 = 0, 1*Unit, 1e9 }, ""},
		"total beyond":       {func(j *Job) { j.WoodCost, j.Consumables = 1_000_000_000*Unit, 1 }, "total"},
	} {
		if q, err := NewQuote(job(c.change), 100); refusal.Of(err) != c.want || (err == nil) != (len(q.Lines) > 0) {
			t.Errorf("%s: %+v, %v", name, q, err)
		}
	}
	for minor, want := range map[Money]string{0: "minor unit", 1: "", Most: "", Most + 1: "minor unit"} {
		if _, err := NewQuote(job(func(*Job) {}), minor); refusal.Of(err) != want {
			t.Errorf("minor unit %d: %v", minor, err)
		}
	}
	for count, want := range map[int]string{1000: "", 1001: "lines"} {
		if _, err := Round(make([]Money, count), 1); refusal.Of(err) != want {
			t.Errorf("%d lines: %v", count, err)
		}
	}
	for m, want := range map[Money]string{-Most - 1: "amount", -Most: "", Most: "", Most + 1: "amount"} {
		if _, err := Round([]Money{m}, 1); refusal.Of(err) != want {
			t.Errorf("amount %d: %v", m, err)
		}
	}
}

func TestPasses(t *testing.T) {
	const in = length.Inch
	base := Pass{
		Rates: Rates{36 * Unit, 0}, Blade: Blade{0, 1}, PassSeconds: 10, SetupSeconds: 100,
		Feed: feed.Speed(10 * in), StockHeight: 8 * in,
	}
	for name, c := range map[string]struct {
		change func(*Pass)
		unit   length.Length
		want   Prices
		faulty string
	}{
		"time":               {func(*Pass) {}, in, Prices{1000, 600, 10_000}, ""},
		"overhead too":       {func(p *Pass) { p.OverheadPerHour = 36 * Unit }, in, Prices{2000, 1200, 20_000}, ""},
		"by the mm":          {func(p *Pass) { p.Feed = feed.Speed(100 * length.Millimetre) }, length.Millimetre, Prices{1000, 60, 10_000}, ""},
		"blade":              {func(p *Pass) { p.Blade, p.LabourPerHour = Blade{Unit, 8 * 25.4 * 25.4}, 0 }, in, Prices{0, Unit, 0}, ""},
		"labour below":       {func(p *Pass) { p.LabourPerHour = -1 }, in, Prices{}, "labour per hour"},
		"blade below":        {func(p *Pass) { p.Price = -1 }, in, Prices{}, "blade price"},
		"pass below":         {func(p *Pass) { p.PassSeconds = -.1 }, in, Prices{}, "pass seconds"},
		"pass at its most":   {func(p *Pass) { p.PassSeconds = 1e8 }, in, Prices{1e10, 600, 10_000}, ""},
		"pass beyond":        {func(p *Pass) { p.PassSeconds = 1.01e8 }, in, Prices{}, "pass seconds"},
		"no pass":            {func(p *Pass) { p.PassSeconds = 0 }, in, Prices{0, 600, 10_000}, ""},
		"pass at most":       {func(p *Pass) { p.LabourPerHour, p.PassSeconds, p.SetupSeconds = 500_000*Unit, 7_200_000, 0 }, 1, Prices{Most, 0, 0}, ""}, // two thousand hours
		"pass too dear":      {func(p *Pass) { p.LabourPerHour, p.PassSeconds = 500_000*Unit, 7_200_001 }, 1, Prices{}, "pass price"},
		"billet at most":     {func(p *Pass) { p.LabourPerHour, p.PassSeconds, p.SetupSeconds = 500_000*Unit, 0, 7_200_000 }, 1, Prices{0, 0, Most}, ""},
		"billet too dear":    {func(p *Pass) { p.LabourPerHour, p.SetupSeconds = 500_000*Unit, 7_200_001 }, 1, Prices{}, "billet price"},
		"setup below":        {func(p *Pass) { p.SetupSeconds = -.1 }, in, Prices{}, "setup seconds"},
		"setup at its most":  {func(p *Pass) { p.SetupSeconds = 1e8 }, in, Prices{1000, 600, 1e10}, ""},
		"setup beyond":       {func(p *Pass) { p.SetupSeconds = 1.01e8 }, in, Prices{}, "setup seconds"},
		"no setup":           {func(p *Pass) { p.SetupSeconds = 0 }, in, Prices{1000, 600, 0}, ""},
		"no feed":            {func(p *Pass) { p.Feed = 0 }, in, Prices{}, "feed"},
		"slow":               {func(p *Pass) { p.Feed, p.LabourPerHour = 1, 0 }, in, Prices{}, ""},
		"feed at its most":   {func(p *Pass) { p.Feed = feed.Speed(100 * length.Metre) }, 10 * length.Metre, Prices{1000, 600, 10_000}, ""},
		"feed beyond":        {func(p *Pass) { p.Feed = feed.Speed(100*length.Metre) + 1 }, in, Prices{}, "feed"},
		"no height":          {func(p *Pass) { p.StockHeight = 0 }, in, Prices{}, "stock height"},
		"height of 1 nm":     {func(p *Pass) { p.StockHeight = 1 }, in, Prices{1000, 600, 10_000}, ""},
		"height at its most": {func(p *Pass) { p.StockHeight = length.Max }, in, Prices{1000, 600, 10_000}, ""},
		"height beyond":      {func(p *Pass) { p.StockHeight = length.Max + 1 }, in, Prices{}, "stock height"},
		"no unit":            {func(*Pass) {}, 0, Prices{}, "unit"},
		"unit of 1 nm":       {func(*Pass) {}, 1, Prices{1000, 0, 10_000}, ""},
		"unit at its most":   {func(p *Pass) { p.Feed = feed.Speed(length.Max) }, length.Max, Prices{1000, 6000, 10_000}, ""},
		"unit beyond":        {func(*Pass) {}, length.Max + 1, Prices{}, "unit"},
		"dearer than money":  {func(p *Pass) { p.Feed, p.LabourPerHour = 1, 36*Unit*100 }, length.Max, Prices{}, "pass length price"},
		"as dear as money":   {func(p *Pass) { p.Blade, p.LabourPerHour, p.StockHeight = Blade{Most, 1e3}, 0, length.Millimetre }, length.Metre, Prices{0, Most, 0}, ""},
		"a little dearer": {func(p *Pass) {
			p.Blade, p.LabourPerHour, p.StockHeight = Blade{Most, 999.999_999}, 0, length.Millimetre
		}, length.Metre, Prices{}, "pass length price"},
	} {
		p := base
		c.change(&p)
		if got, err := Passes(p, c.unit); refusal.Of(err) != c.faulty || got != c.want {
			t.Errorf("%s: %+v, %v; want %+v", name, got, err, c.want)
		}
	}
}

// TestBoardFeet: tallies as published (American Hardwood Export Council; a guide
// after the rules of the National Hardwood Lumber Association), the exact volume
// beside them.
func TestBoardFeet(t *testing.T) {
	for _, c := range []struct {
		thickness, width, feet float64
		exact, tally           float64
	}{
		{2, 6.25, 8, 8.3333333333, 8},
		{1, 6.5, 8, 4.3333333333, 4},
		{1, 8, 12, 8, 8},
		{1, 10, 13, 10.8333333333, 11},
		{1, 12, 10, 10, 10},      // the one foot board-foot rule
		{0.25, 12, 10, 2.5, 10},  // thin stock counts as 1 in
		{1, 6, 8.999, 4.4995, 4}, // whole feet only
		{1, 6.75, 8, 4.5, 5},     // half up
		{1, 6.675, 8, 4.45, 4},
		{1, 6.96, 25, 14.5, 15}, // half up, though 6.96/12 is no float64
		{1, 26, 27, 58.5, 59},
		{1.25, 5, 0.9, 0.46875, 0}, // shorter than a foot
	} {
		b := Board{}
		for size, x := range map[*length.Length]float64{&b.Thickness: c.thickness, &b.Width: c.width, &b.Length: c.feet * 12} {
			*size, _ = length.FromFloat(x, length.Inch)
		}
		exact, err := BoardFeet(b)
		tally, err2 := Tally(b)
		if err := fault.First(err, err2); err != nil || math.Abs(exact-c.exact) > 1e-9 || tally != c.tally {
			t.Errorf("%+v: %v and %v, %v; want %v and %v", b, exact, tally, err, c.exact, c.tally)
		}
	}
	for i, c := range []struct {
		b    Board
		want string
	}{
		{Board{0, 1, 1}, "board thickness"}, {Board{1, 0, 1}, "board width"}, {Board{1, 1, 0}, "board length"}, {Board{1, 1, 1}, ""},
		{Board{length.Max, length.Max, length.Max}, ""},
		{Board{length.Max + 1, 1, 1}, "board thickness"}, {Board{1, length.Max + 1, 1}, "board width"}, {Board{1, 1, length.Max + 1}, "board length"},
	} {
		_, err := BoardFeet(c.b)
		_, err2 := Tally(c.b)
		if refusal.Of(err) != c.want || refusal.Of(err2) != c.want {
			t.Errorf("row %d: %v, %v", i, err, err2)
		}
	}
}

// FuzzQuote: lines always add up to the total, in whole minor units, each less than
// one away from the exact amount, which is worked out in fractions.
func FuzzQuote(f *testing.F) {
	f.Add(int64(800_000), int64(100_000), int64(300_000), int64(120_000), 4010.0, 24.5, 0.35, uint8(2), 7)
	f.Add(int64(1), int64(0), int64(1), int64(1), 1.0, 0.0, 0.99, uint8(0), 1)
	f.Fuzz(func(t *testing.T, wood, left, labour, overhead int64, seconds, area, margin float64, decimals uint8, leaves int) {
		minor := Unit
		for range decimals % 5 {
			minor /= 10
		}
		j := Job{
			Rates: Rates{Money(labour), Money(overhead)}, Blade: Blade{24 * Unit, 20e6}, SawnAreaMM2: area,
			WoodCost: Money(wood), LeftOver: Money(left), LeafCount: leaves, SetSize: 2, RunSeconds: seconds, Margin: margin,
		}
		q, err := NewQuote(j, minor)
		if err != nil {
			return
		}
		var sum Money
		for _, l := range q.Lines {
			sum += l
			if l%minor != 0 {
				t.Fatalf("%+v: the line %d is no multiple of %d", j, l, minor)
			}
		}
		if sum != q.Total {
			t.Fatalf("%+v: lines add up to %d, total %d", j, sum, q.Total)
		}
		exact := new(big.Rat).Mul(big.NewRat(labour, 3600), new(big.Rat).SetFloat64(seconds))
		if off, _ := exact.Sub(exact, big.NewRat(int64(q.Lines[Labour]), 1)).Float64(); math.Abs(off) > float64(minor)+1+1e-9*float64(labour) {
			t.Fatalf("%+v: labour %d is off by %v", j, q.Lines[Labour], off)
		}
		cost := sum - q.Lines[Margin]
		if off := float64(q.Total)*(1-margin) - float64(cost); math.Abs(off) > 8*float64(minor) {
			t.Fatalf("%+v: total %d of a cost of %d", j, q.Total, cost)
		}
	})
}

// TestShares: a half and two quarters of 9 ten-thousandths end at 4.5, rounded up, at
// 6.75 and at 9.
func TestShares(t *testing.T) {
	got, err := Shares(9, []float64{2, 1, 1})
	if want := []Money{5, 2, 2}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, %v; want %v", got, err, want)
	}
	for name, c := range map[string]struct {
		amount Money
		size   float64
		want   string
	}{
		"nothing to share":  {0, 1, ""},
		"below nothing":     {-1, 1, "amount"},
		"most":              {Most, 1, ""},
		"beyond":            {Most + 1, 1, "amount"},
		"no size":           {1, 0, "size"},
		"size at most":      {1, 1e15, ""},
		"size beyond":       {1, 1.01e15, "size"},
		"a size that is no": {1, math.NaN(), "size"},
	} {
		got, err := Shares(c.amount, []float64{1, c.size})
		if refusal.Of(err) != c.want || (err == nil) != (len(got) == 2) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
}

// FuzzShares: shares add up to the amount, and none is a ten-thousandth away from its
// part of it.
func FuzzShares(f *testing.F) {
	f.Add(int64(100_000), 1.0, 2.0, 3.0)
	f.Fuzz(func(t *testing.T, amount int64, a, b, c float64) {
		sizes := []float64{a, b, c}
		shares, err := Shares(Money(amount), sizes)
		if err != nil {
			return
		}
		var sum Money
		for i, s := range shares {
			sum += s
			if part := float64(amount) * (sizes[i] / (a + b + c)); math.Abs(float64(s)-part) > 1.01 {
				t.Errorf("%v of %d among %v: %d", part, amount, sizes, s)
			}
		}
		if sum != Money(amount) {
			t.Errorf("%v add up to %d, not to %d", shares, sum, amount)
		}
	})
}
