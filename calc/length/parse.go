package length

import (
	"errors"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// SyntaxError says why a text is not a length.
type SyntaxError struct {
	Input  string // the text as given
	Reason string // what is wrong with it, continuing a sentence that begins with Input
}

func (e *SyntaxError) Error() string { return strconv.Quote(e.Input) + " " + e.Reason }

// RangeError says that a length is beyond [Max].
type RangeError struct{ Input string }

func (e *RangeError) Error() string {
	return strconv.Quote(e.Input) + " is beyond 100 m, the longest length accepted"
}

// maxText is the longest text that is read; the longest sensible one,
// "-12ft 11-63/64 inches" with spaces to spare, is far shorter.
const maxText = 64

// Parse reads a length such as "0.05", "1/2 in", "1-1/2", "1 1/2\"", "1.2mm",
// "5e-05" or "3' 2\"". The units are in, inch, inches, ", ft, ', thou, mm, cm,
// m and um, in any case; feet and inches may stand together. A bare number
// counts units of bare.
//
// Source: definition (package comment).
// Valid: |length| <= Max. Errors are *[SyntaxError] or *[RangeError].
func Parse(text string, bare Length) (Length, error) { return parse(text, bare, '.') }

// ParseComma is [Parse] for texts whose decimal sign is a comma, as many
// spreadsheets write them; a point is then refused.
//
// Source: definition (package comment).
// Valid: as [Parse].
func ParseComma(text string, bare Length) (Length, error) { return parse(text, bare, ',') }

// QuarterSize reports whether text is a bare quarter size of the lumber trade,
// such as 4/4, 5/4 or 8/4: a name for a rough board, not a measured thickness.
//
// Source: common practice.
func QuarterSize(text string) bool {
	quarters, ok := strings.CutSuffix(strings.TrimSpace(text), "/4")
	if !ok {
		return false
	}
	n, err := strconv.ParseUint(quarters, 10, 0)
	return err == nil && n >= 4
}

func parse(text string, bare Length, point byte) (Length, error) {
	p := parser{text: text, rest: strings.TrimSpace(text), point: point}
	if len(text) > maxText {
		return 0, &SyntaxError{text[:maxText] + "…", "has " + strconv.Itoa(len(text)) + " characters; a length has at most " + strconv.Itoa(maxText)}
	}
	if QuarterSize(text) {
		bare = Inch
	}
	l, reason := p.length(bare)
	switch {
	case reason != "":
		if typed := keyboard.Replace(text); typed != text {
			typed = strings.ReplaceAll(typed, "- ", "-") // -½ and 6-½
			l, err := parse(typed, bare, point)
			if err == nil {
				return l, nil
			}
			if beyond := new(RangeError); errors.As(err, &beyond) {
				return 0, &RangeError{text}
			}
		}
		return 0, &SyntaxError{text, reason}
	case p.beyond || l > Max || l < -Max:
		return 0, &RangeError{text}
	}
	return l, nil
}

// keyboard writes what phones and word processors make of the marks of a keyboard as
// they were typed: 6½ as 6 1/2, 2” as 2", a space that does not break as a space.
var keyboard = strings.NewReplacer(
	"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"”", `"`, "″", `"`, "’", "'", "′", "'", "−", "-", "\u00a0", " ", "\u202f", " ",
)

// parser reads one text from left to right. Its methods return a reason when
// the text is at fault.
type parser struct {
	text   string
	rest   string
	point  byte
	beyond bool // a number was too large to hold
}

func (p *parser) length(bare Length) (Length, string) {
	minus := p.skip("-")
	l, unit, reason := p.measure(bare)
	if reason == "" && unit == Foot && p.rest != "" {
		var inches Length
		inches, unit, reason = p.measure(0)
		if reason == "" && unit != Inch {
			reason = "has something other than inches after the feet"
		}
		l += inches
	}
	if reason == "" && p.rest != "" {
		reason = p.leftOver()
	}
	if minus {
		l = -l
	}
	return l, reason
}

// leftOver gives the reason why what stands after a length does not belong there.
func (p *parser) leftOver() string {
	if p.point == ',' && p.rest[0] == '.' {
		return "has a point where the decimal sign is a comma"
	}
	return "has " + strconv.Quote(p.rest) + " after the length"
}

// measure reads a number and its unit, bare where there is none.
func (p *parser) measure(bare Length) (l, unit Length, reason string) {
	n, reason := p.number()
	if reason == "" {
		unit, reason = p.unit(bare)
	}
	if reason == "" {
		var ok bool
		l, ok = n.times(unit)
		p.beyond = p.beyond || !ok
	}
	return l, unit, reason
}

func (p *parser) unit(bare Length) (unit Length, reason string) {
	word := p.rest
	if i := strings.IndexFunc(word, func(r rune) bool { return r == ' ' || r == '-' || '0' <= r && r <= '9' || r == '.' }); i >= 0 {
		word = word[:i]
	}
	if strings.HasPrefix(p.rest, `"`) || strings.HasPrefix(p.rest, "'") {
		word = p.rest[:1]
	}
	p.skip(word)
	p.rest = strings.TrimLeft(p.rest, " ")
	switch lower(word) {
	case "":
		if bare == 0 {
			return unit, "has a number without a unit after the feet"
		}
		return bare, ""
	case "in", "inch", "inches", `"`:
		return Inch, ""
	case "ft", "'":
		return Foot, ""
	case "thou":
		return Thou, ""
	case "mm":
		return Millimetre, ""
	case "cm":
		return Centimetre, ""
	case "m":
		return Metre, ""
	case "um":
		return Micrometre, ""
	}
	if p.point != ',' && word[0] == ',' {
		return unit, "has a comma: write a decimal point and no thousands separator"
	}
	return unit, "has the unknown unit " + strconv.Quote(word) + "; known are in, ft, thou, mm, cm, m and um"
}

// number reads a decimal, a fraction or a mixed number, and the spaces after it.
func (p *parser) number() (number, string) {
	n, reason := p.decimal()
	if reason != "" {
		return n, reason
	}
	if p.skip("/") {
		return p.fraction(n)
	}
	mark := p.rest
	if n.integer() && (p.skip("-") || p.skip(" ")) {
		p.rest = strings.TrimLeft(p.rest, " ")
		if top, reason := p.decimal(); reason == "" && p.skip("/") {
			f, reason := p.fraction(top)
			f.whole = n.mantissa
			if reason == "" && f.mantissa >= f.below {
				reason = "has a whole number beside a fraction that is not below one"
			}
			return f, reason
		}
		p.rest = mark
	}
	p.rest = strings.TrimLeft(p.rest, " ")
	return n, ""
}

// fraction reads the lower number of a fraction whose upper number is top.
func (p *parser) fraction(top number) (number, string) {
	bottom, reason := p.decimal()
	switch {
	case reason != "":
		return top, "has no whole number under the fraction bar"
	case !top.integer() || !bottom.integer() || top.mantissa > maxTerm || bottom.mantissa > maxTerm:
		return top, "has a fraction that is not of two whole numbers up to a million"
	case bottom.mantissa == 0:
		return top, "has a fraction over zero"
	}
	p.rest = strings.TrimLeft(p.rest, " ")
	return number{mantissa: top.mantissa, below: bottom.mantissa}, ""
}

// maxTerm bounds the terms of a fraction, so that whole*below+mantissa fits.
const maxTerm = 1_000_000

// decimal reads digits with an optional decimal sign and exponent.
func (p *parser) decimal() (number, string) {
	whole := p.digits()
	fraction := ""
	if len(p.rest) > 0 && p.rest[0] == p.point {
		p.rest = p.rest[1:]
		if fraction = p.digits(); fraction == "" {
			return number{}, "has a decimal sign with no digit after it"
		}
	}
	if whole == "" && fraction == "" {
		return number{}, p.noNumber()
	}
	exponent, reason := p.exponent()
	n := number{below: 1, exponent: exponent - len(fraction)}
	n.digits = strings.TrimLeft(strings.TrimLeft(whole, "0")+fraction, "0")
	if n.digits != "" {
		var err error
		n.mantissa, err = strconv.ParseUint(n.digits, 10, 64)
		n.long = err != nil
	}
	return n, reason
}

// lower turns capitals into small letters, A to Z only: by the rules of all alphabets
// a dotted Turkish capital would become an i.
func lower(word string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' {
			return r - 'A' + 'a'
		}
		return r
	}, word)
}

// noNumber gives the reason why there is no number where one must be.
func (p *parser) noNumber() string {
	switch word := strings.ToLower(p.rest); {
	case p.text == "" || strings.TrimSpace(p.text) == "":
		return "is empty"
	case strings.HasPrefix(word, "nan"), strings.HasPrefix(word, "inf"):
		return "is not a finite number"
	case strings.HasPrefix(word, "+"):
		return "has a plus sign: leave it out"
	}
	return "has no number where one is needed"
}

// exponent reads e or E and a whole number of at most four digits, which with
// maxText is more than any length needs. A letter e that no digit follows is
// left for the unit to refuse.
func (p *parser) exponent() (e int, reason string) {
	mark := p.rest
	if !p.skip("e") && !p.skip("E") {
		return e, ""
	}
	minus := p.skip("-")
	if !minus {
		p.skip("+")
	}
	digits := p.digits()
	switch {
	case digits == "":
		p.rest = mark
	case len(digits) > 4:
		reason = "has an exponent of more than four digits"
	default:
		e, _ = strconv.Atoi(digits)
	}
	if minus {
		e = -e
	}
	return e, reason
}

func (p *parser) digits() string {
	i := 0
	for i < len(p.rest) && '0' <= p.rest[i] && p.rest[i] <= '9' {
		i++
	}
	digits := p.rest[:i]
	p.rest = p.rest[i:]
	return digits
}

func (p *parser) skip(prefix string) bool {
	rest, ok := strings.CutPrefix(p.rest, prefix)
	p.rest = rest
	return ok
}

// number is whole + mantissa * 10^exponent / below.
type number struct {
	whole, mantissa, below uint64
	exponent               int
	digits                 string // of the mantissa; none for zero and for a fraction
	long                   bool   // the mantissa does not fit: only digits have it
}

// integer reports whether n was written as a plain whole number.
func (n number) integer() bool {
	return n.exponent == 0 && n.below == 1 && n.whole == 0 && !n.long
}

// times gives n units in nanometres, rounded once, halves to even; ok is false
// when that is beyond Max.
func (n number) times(unit Length) (l Length, ok bool) {
	magnitude := len(n.digits) + n.exponent // of the power of ten just above n
	switch {
	case n.whole > uint64(Max):
		return 0, false
	case n.digits == "":
		return divide(n.whole*n.below+n.mantissa, uint64(unit), n.below)
	case !n.long && n.exponent <= 0 && -n.exponent < len(powersOfTen):
		return divide(n.mantissa, uint64(unit), powersOfTen[-n.exponent])
	case magnitude > len(powersOfTen):
		return 0, false
	case magnitude < -len(powersOfTen):
		return 0, true
	}
	return n.timesBig(unit)
}

// timesBig is times for what does not fit machine words.
func (n number) timesBig(unit Length) (l Length, ok bool) {
	top, _ := new(big.Int).SetString(n.digits, 10)
	top.Mul(top, big.NewInt(int64(unit)))
	bottom := big.NewInt(1)
	power := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n.exponent, -n.exponent))), nil)
	if n.exponent > 0 {
		top.Mul(top, power)
	} else {
		bottom = power
	}
	quotient, rest := top.QuoRem(top, bottom, new(big.Int))
	half := rest.Lsh(rest, 1).Cmp(bottom)
	if half > 0 || half == 0 && quotient.Bit(0) == 1 {
		quotient.Add(quotient, big.NewInt(1))
	}
	if quotient.Cmp(big.NewInt(int64(Max))) > 0 {
		return 0, false
	}
	return Length(quotient.Int64()), true
}

// divide gives a*b/c to the nearest whole number, halves to even; ok is false
// when that is beyond Max.
func divide(a, b, c uint64) (l Length, ok bool) {
	hi, lo := bits.Mul64(a, b)
	if hi >= c {
		return 0, false
	}
	quotient, rest := bits.Div64(hi, lo, c)
	if quotient > uint64(Max) {
		return 0, false
	}
	if rest > c-rest || rest == c-rest && quotient%2 == 1 {
		quotient++
	}
	return Length(quotient), true
}

// powersOfTen are all that fit a machine word.
var powersOfTen = func() (powers []uint64) {
	for high, low := uint64(0), uint64(1); high == 0; high, low = bits.Mul64(low, 10) {
		powers = append(powers, low)
	}
	return powers
}()
