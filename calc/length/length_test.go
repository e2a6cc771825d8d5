package length_test

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	. "resawd/calc/length"
)

// The exact relations of NIST Handbook 44 Appendix C and of the metric prefixes.
func TestUnits(t *testing.T) {
	for _, c := range []struct{ got, want Length }{
		{Inch, 25_400_000}, {Foot, 304_800_000}, {Thou, 25_400}, {Inch / 64, 396_875},
		{Micrometre, 1_000}, {Millimetre, 1_000_000}, {Centimetre, 10_000_000}, {Metre, 1_000_000_000},
		{Max, 100_000_000_000},
	} {
		if c.got != c.want {
			t.Errorf("got %d nm, want %d nm", c.got, c.want)
		}
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		bare Length
		want Length
	}{
		{"0.05", Inch, 1_270_000},
		{".05", Inch, 1_270_000},
		{"-.05", Inch, -1_270_000},
		{"5e-05", Inch, 1_270},
		{"5E-05", Inch, 1_270},
		{"5e+1", Millimetre, 50_000_000},
		{"5e-05mm", Inch, 50},
		{"1/2", Inch, 12_700_000},
		{"1/2", Millimetre, 500_000},
		{"-1/2 in", Millimetre, -12_700_000},
		{"1-1/2", Inch, 38_100_000},
		{"1 1/2", Inch, 38_100_000},
		{"1  1/2\"", Millimetre, 38_100_000},
		{"1/64", Inch, 396_875},
		{"1/3", Inch, 8_466_667},                     // 8466666.67: to the nearest
		{"0.0000005", Millimetre, 0},                 // half a nanometre: to even
		{"0.0000015", Millimetre, 2},                 // one and a half: to even
		{"0.0000025", Millimetre, 2},                 // two and a half: to even
		{"0.0000035", Millimetre, 4},                 // three and a half: to even
		{"0.00000050000000000000001", Millimetre, 1}, // just above half
		{"0.00000149999999999999999", Millimetre, 1}, // just below half
		{"0.0000015000000000000000000000", Millimetre, 2},
		{"00000000000000000000000001", Millimetre, 1_000_000},
		{"0.00000000000000000000000012e26", Millimetre, 12_000_000},
		{"1e-9999", Inch, 0},
		{"9e-21", Metre, 0},
		{"9e-22", Metre, 0},
		{"1e-22", Inch, 0},
		{"0e9999", Inch, 0},
		{"0", Inch, 0},
		{"-0", Inch, 0},
		{"1 In", Millimetre, Inch},
		{"1INCH", Millimetre, Inch},
		{"2 inches", Millimetre, 2 * Inch},
		{"2\"", Millimetre, 2 * Inch},
		{"2 ft", Millimetre, 2 * Foot},
		{"2'", Millimetre, 2 * Foot},
		{"50 thou", Millimetre, 1_270_000},
		{"1.2mm", Inch, 1_200_000},
		{"1.2 cm", Inch, 12_000_000},
		{"1.2 m", Inch, 1_200_000_000},
		{"1.2um", Inch, 1_200},
		{"3ft 2in", Millimetre, 965_200_000},
		{"3' 2\"", Millimetre, 965_200_000},
		{"3'2-1/2\"", Millimetre, 977_900_000},
		{"-3 ft 2 1/2 inches", Millimetre, -977_900_000},
		{" 5 mm ", Inch, 5_000_000},
		{"8/4", Inch, 2 * Inch},
		{"8/4", Millimetre, 2 * Inch}, // a quarter size is always of an inch
		{"8/4 mm", Inch, 2_000_000},
		{"100 m", Inch, Max},
		{"-100 m", Inch, -Max},
		{"1000000/1000000", Inch, Inch},
		{"½", Inch, 12_700_000}, // as phones and word processors write it
		{"¼", Inch, 6_350_000},
		{"6¾ in", Inch, 171_450_000},
		{"-½", Inch, -12_700_000},
		{"−½", Inch, -12_700_000},
		{"6-½", Inch, 165_100_000},
		{"1 ⅛", Inch, 28_575_000},
		{"1⅜”", Millimetre, 34_925_000},
		{"⅝″", Millimetre, 15_875_000},
		{"⅞", Inch, 22_225_000},
		{"3’ 2½”", Millimetre, 977_900_000},
		{"3′2″", Millimetre, 965_200_000},
		{"−5\u00a0mm", Inch, -5_000_000},
		{"5\u202fmm", Inch, 5_000_000},
	} {
		if got, err := Parse(c.text, c.bare); err != nil || got != c.want {
			t.Errorf("Parse(%q, %d) = %d, %v; want %d", c.text, c.bare, got, err, c.want)
		}
	}
}

func TestParseComma(t *testing.T) {
	for text, want := range map[string]Length{"1,5": 1_500_000, "1,5 mm": 1_500_000, "1/2": 500_000, "0,05in": 1_270_000} {
		if got, err := ParseComma(text, Millimetre); err != nil || got != want {
			t.Errorf("ParseComma(%q) = %d, %v; want %d", text, got, err, want)
		}
	}
	for text, reason := range map[string]string{
		"1.5":     "has a point where the decimal sign is a comma",
		"1,200,5": `has the unknown unit ","`,
	} {
		if _, err := ParseComma(text, Millimetre); err == nil || !strings.Contains(err.Error(), reason) {
			t.Errorf("ParseComma(%q): error %v, want %q", text, err, reason)
		}
	}
}

func TestParseRefusals(t *testing.T) {
	for text, reason := range map[string]string{
		"":                      "is empty",
		"  ":                    "is empty",
		"-":                     "has no number",
		"in":                    "has no number",
		".":                     "has a decimal sign with no digit after it",
		"5.":                    "has a decimal sign with no digit after it",
		"+5":                    "has a plus sign",
		"--5":                   "has no number",
		"NaN":                   "is not a finite number",
		"Infinity":              "is not a finite number",
		"-inf":                  "is not a finite number",
		"1,200":                 "has a comma: write a decimal point and no thousands separator",
		"0,5":                   "has a comma",
		"0x10":                  `has the unknown unit "x"`,
		"5 yd":                  `has the unknown unit "yd"`,
		"5e":                    `has the unknown unit "e"`,
		"1e99999":               "has an exponent of more than four digits",
		"1/0":                   "has a fraction over zero",
		"1/":                    "has no whole number under the fraction bar",
		"1/-2":                  "has no whole number under the fraction bar",
		"½½":                    "has no number where one is needed",
		"5€":                    `has the unknown unit "€"`,
		"1.5/2":                 "has a fraction that is not of two whole numbers",
		"1/1.5":                 "has a fraction that is not of two whole numbers",
		"1/1000001":             "has a fraction that is not of two whole numbers",
		"1000001/1":             "has a fraction that is not of two whole numbers",
		"1 3/2":                 "has a whole number beside a fraction that is not below one",
		"1 2/2":                 "has a whole number beside a fraction that is not below one",
		"1.5 1/2":               `has "1/2" after the length`,
		"1/2/3":                 `has the unknown unit "/"`,
		"1 2":                   `has "2" after the length`,
		"3ft 2":                 "has a number without a unit after the feet",
		"3ft 2mm":               "has something other than inches after the feet",
		"3ft -2in":              "has no number",
		"3in 2ft":               `has "2ft" after the length`,
		"3ft 2in 1":             `has "1" after the length`,
		"1 \u0130N":             "has the unknown unit",
		"1 \x00":                "has the unknown unit",
		strings.Repeat("1", 65): "has 65 characters; a length has at most 64",
	} {
		_, err := Parse(text, Inch)
		var syntax *SyntaxError
		if !errors.As(err, &syntax) || !strings.HasPrefix(syntax.Reason, reason) {
			t.Errorf("Parse(%q): error %v, want %q", text, err, reason)
		}
	}
	for _, text := range []string{"100.000000001 m", "-100.000000001 m", "3937.1", "1e5", "1e19", "1e20", "9e20", "1e400", "99999999999999999999", "184467440737095516160",
		"12345678901234567890123456789", "100000000000 1/2", "9999999999999999999", "1e11in", "1e12 um", "329 ft",
		"3.02604069e10ft 3.631248833e11in", "3281e-1 ft 1 in", "3937½"} {
		_, err := Parse(text, Inch)
		var beyond *RangeError
		if !errors.As(err, &beyond) || beyond.Input != text {
			t.Errorf("Parse(%q): error %v, want beyond 100 m", text, err)
		}
	}
}

func TestQuarterSize(t *testing.T) {
	for text, want := range map[string]bool{"4/4": true, " 8/4": true, "12/4": true, "3/4": false, "1-1/4": false, "8/4 in": false, "8/8": false, "+8/4": false, "a/4": false, "/4": false, "": false} {
		if QuarterSize(text) != want {
			t.Errorf("QuarterSize(%q) = %v", text, !want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{(1_270_000 * Nanometre).Decimal(Inch), "0.05"},
		{Length(0).Decimal(Inch), "0"},
		{(-2 * Inch).Decimal(Inch), "-2"},
		{Length(1).Decimal(Inch), "0.00000004"},
		{Length(-1).Decimal(Millimetre), "-0.000001"},
		{(Inch / 3).Decimal(Inch), "0.33333331"}, // 8466666/25400000 = 0.333333307
		{(100 * Metre).Decimal(Metre), "100"},
		{(Foot).Decimal(Inch), "12"},
		{(10 * Inch).Decimal(Inch), "10"},
		{Length(-100).Fixed(Inch, 3), "0.000"},
		{(Inch * 95 / 1000).Fixed(Inch, 3), "0.095"},
		{(Millimetre * 5 / 1000).Fixed(Millimetre, 2), "0.01"}, // a half: away from zero
		{(-12 * Millimetre).Fixed(Millimetre, 0), "-12"},
		{(12 * Millimetre).String(), "12 mm"},
		{(Metre - Nanometre).Fixed(Metre, 3), "1.000"},
		{(Nanometre - Metre).Fixed(Metre, 0), "-1"},
		{Length(-1).Fixed(Millimetre, 6), "-0.000001"},
		{Length(math.MaxInt64).Decimal(Millimetre), "9223372036854.775807"},
		{Length(math.MinInt64).Decimal(Nanometre), "-9223372036854775808"},
		{Length(math.MinInt64).Fixed(Metre, 9), "-9223372036.854775808"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestFraction(t *testing.T) {
	for l, want := range map[Length]string{
		0: "0 in", Inch / 2: "1/2 in", 3 * Inch / 2: "1-1/2 in", Inch / 64: "1/64 in", 63 * Inch / 64: "63/64 in",
		-Inch - Inch/4: "-1-1/4 in", 12 * Inch: "12 in", Millimetre: "", Inch / 64 / 5: "",
	} {
		if got, exact := l.Fraction(); got != want || exact != (want != "") {
			t.Errorf("Fraction(%d) = %q, %v; want %q", l, got, exact, want)
		}
	}
}

func TestFromFloat(t *testing.T) {
	for _, c := range []struct {
		x    float64
		unit Length
		want Length
	}{{0.5, Nanometre, 0}, {1.5, Nanometre, 2}, {-2.5, Inch, -63_500_000}, {100, Metre, Max}} {
		if got, err := FromFloat(c.x, c.unit); err != nil || got != c.want {
			t.Errorf("FromFloat(%v, %d) = %d, %v; want %d", c.x, c.unit, got, err, c.want)
		}
	}
	for text, x := range map[string]float64{
		"NaN": math.NaN(), "+Inf": math.Inf(1), "-Inf": math.Inf(-1), "100.1": 100.1, "-100.1": -100.1,
	} {
		var beyond *RangeError
		if _, err := FromFloat(x, Metre); !errors.As(err, &beyond) || beyond.Input != text {
			t.Errorf("FromFloat(%v m): error %v", x, err)
		}
	}
}

func TestScale(t *testing.T) {
	for _, c := range []struct {
		l        Length
		num, den int64
		want     Length
	}{{10, 1, 3, 3}, {10, 1, 4, 3}, {-10, 1, 4, -3}, {Max, 1 << 40, 1 << 40, Max}, {7, 0, 5, 0}, {1, math.MaxInt64, 1, math.MaxInt64},
		{math.MaxInt64, 2, math.MaxInt64, 2}, {math.MinInt64, 1, 1, math.MinInt64}, {math.MinInt64, 3, 6, math.MinInt64 / 2}} {
		if got := c.l.Scale(c.num, c.den); got != c.want {
			t.Errorf("%d.Scale(%d, %d) = %d, want %d", c.l, c.num, c.den, got, c.want)
		}
	}
	for _, bad := range []struct {
		l        Length
		num, den int64
	}{
		{Inch, -1, 1}, {Inch, 1, 0}, {Inch, 1, -1},
		{math.MaxInt64, 2, 1}, {math.MaxInt64, math.MaxInt64, 1}, {math.MinInt64, 3, 2}, {math.MinInt64, 2, 1}, {-Inch, math.MaxInt64, 2},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%d.Scale(%d, %d) did not panic", bad.l, bad.num, bad.den)
				}
			}()
			bad.l.Scale(bad.num, bad.den)
		}()
	}
}

var units = []Length{Inch, Foot, Thou, Millimetre, Centimetre, Metre, Micrometre}

// FuzzRoundTrip: what is written reads back the same, in every unit, and in
// fractions where they are exact.
func FuzzRoundTrip(f *testing.F) {
	for _, nm := range []int64{0, 1, -1, 25_400, 396_875, 12_700_000, 8_466_667, 100_000_000_000, -99_999_999_999} {
		f.Add(nm)
	}
	f.Fuzz(func(t *testing.T, nm int64) {
		l := Length(nm) % (Max + 1)
		for _, unit := range units {
			if got, err := Parse(l.Decimal(unit), unit); err != nil || got != l {
				t.Errorf("%d in units of %d is %q, reads as %d, %v", l, unit, l.Decimal(unit), got, err)
			}
		}
		if text, exact := l.Fraction(); exact {
			if got, err := Parse(text, Millimetre); err != nil || got != l {
				t.Errorf("%d is %q, reads as %d, %v", l, text, got, err)
			}
		}
	})
}

// FuzzParse: no text panics, an error is one of the two kinds, and a plain
// decimal agrees with exact rational arithmetic.
func FuzzParse(f *testing.F) {
	for _, text := range []string{"0.05", "1-1/2 in", "3' 2\"", "1e-5", "1,200", "8/4", "00.50", "-123456789012345678901.5e-19", "\x80", "'", "1 1/2ft 3in"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Parse(text, Millimetre)
		var syntax *SyntaxError
		var beyond *RangeError
		if err != nil && !errors.As(err, &syntax) && !errors.As(err, &beyond) {
			t.Fatalf("Parse(%q): unexpected error %v", text, err)
		}
		if err == nil && (l > Max || l < -Max) {
			t.Fatalf("Parse(%q) = %d", text, l)
		}
		if strings.Trim(text, "0123456789.") != "" || err != nil {
			return
		}
		exact, ok := new(big.Rat).SetString(text)
		if !ok {
			t.Fatalf("Parse(%q) = %d, but it is no decimal", text, l)
		}
		exact.Mul(exact, big.NewRat(int64(Millimetre), 1))
		off := exact.Sub(exact, big.NewRat(int64(l), 1))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("Parse(%q) = %d, off by %s nm", text, l, off.FloatString(3))
		}
	})
}

// FuzzFeet: feet and inches of any size are their exact sum, to half a nanometre
// each, or refused beyond 100 m.
func FuzzFeet(f *testing.F) {
	f.Add(uint32(3), int8(0), uint32(2), int8(0))
	f.Add(uint32(302604069), int8(2), uint32(3631248833), int8(2)) // together 2^64 nm, nearly
	f.Add(uint32(1), int8(-9), uint32(4294967295), int8(-20))
	f.Fuzz(func(t *testing.T, feet uint32, feetPower int8, inches uint32, inchPower int8) {
		text := fmt.Sprintf("%de%dft %de%din", feet, feetPower, inches, inchPower)
		exact := new(big.Rat)
		for _, term := range []struct {
			count uint32
			power int8
			unit  Length
		}{{feet, feetPower, Foot}, {inches, inchPower, Inch}} {
			x, _ := new(big.Rat).SetString(fmt.Sprintf("%de%d", term.count, term.power))
			exact.Add(exact, x.Mul(x, big.NewRat(int64(term.unit), 1)))
		}
		l, err := Parse(text, Inch)
		if off := new(big.Rat).Sub(exact, big.NewRat(int64(l), 1)); err == nil && off.Abs(off).Cmp(big.NewRat(1, 1)) > 0 {
			t.Fatalf("Parse(%q) = %d, off by %s nm", text, l, off.FloatString(3))
		}
		if within := exact.Cmp(big.NewRat(int64(Max)-1, 1)) < 0; within && err != nil {
			t.Fatalf("Parse(%q): %v", text, err)
		}
	})
}
