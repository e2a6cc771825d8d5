package endpoint

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/calc/feed"
	"resawd/calc/length"
)

// scalar reads a value into at, a *T or **T.
type scalar func(r *reader, at any, path string, value raw)

// scalars has the reader of every type that a scalar of a request can have.
var scalars = map[reflect.Type]scalar{
	reflect.TypeFor[length.Length](): ownUnit(lengthScalar),
	reflect.TypeFor[float64]():       scalarOf((*reader).number),
	reflect.TypeFor[int]():           scalarOf((*reader).integer),
	reflect.TypeFor[bool]():          scalarOf((*reader).boolean),
	reflect.TypeFor[string]():        scalarOf((*reader).string),
	reflect.TypeFor[Feed]():          ownUnit(scalarOf((*reader).feed)),
	reflect.TypeFor[BladeSpeed]():    ownUnit(scalarOf((*reader).bladeSpeed)),
	reflect.TypeFor[Area]():          scalarOf((*reader).area),
	reflect.TypeFor[Money]():         scalarOf((*reader).money),
	reflect.TypeFor[Object]():        scalarOf((*reader).anyObject),
}

// mismatch is what is wrong with a value, and the code for that.
type mismatch struct{ code, detail string }

func scalarOf[T any](read func(*reader, raw) (T, *mismatch)) scalar {
	return func(r *reader, at any, path string, value raw) {
		if value.kind == 'n' {
			r.fail(path, "wrong_type", "is null: give a value or leave the field out")
			return
		}
		v, wrong := read(r, value)
		if wrong != nil {
			r.fail(path, wrong.code, "%s", wrong.detail)
			return
		}
		switch at := at.(type) {
		case **T:
			*at = &v
		case *T:
			*at = v
		}
	}
}

var readLength = scalarOf((*reader).length)

// lengthScalar reads a length, and warns if it was given as a quarter size.
func lengthScalar(r *reader, at any, path string, value raw) {
	readLength(r, at, path, value)
	r.warnQuarter(path, value)
}

// warnQuarter warns if a length was given as a quarter size.
func (r *reader) warnQuarter(path string, value raw) {
	if !bytes.HasSuffix(bytes.TrimRight(value.text, `" `), []byte("/4")) {
		return
	}
	if text := strings.Trim(string(value.text), `" `); len(text) < 6 && length.QuarterSize(text) {
		r.warnings = append(r.warnings, fmt.Sprintf("%s: %s is a quarter size, the nominal thickness of rough boards, read as %s in: measure the board and give its thickness",
			counted(path), text, must(length.Parse(text, length.Inch)).Decimal(length.Inch)))
	}
}

// gathered makes one of the warnings that say the same of several places, and names the
// first of these: a rack has many boards of one size.
func gathered(warnings []string) []string {
	if len(warnings) < 2 {
		return warnings
	}
	var said []string
	places := map[string][]string{}
	for _, w := range warnings {
		place, what, _ := strings.Cut(w, ": ")
		if places[what] == nil {
			said = append(said, what)
		}
		places[what] = append(places[what], place)
	}
	for i, what := range said {
		const most = 4
		where := places[what]
		if more := len(where) - most; more > 1 {
			where = append(where[:most], "and "+strconv.Itoa(more)+" more")
		}
		said[i] = strings.Join(where, "; ") + ": " + what
	}
	return said
}

// counted writes a path through a list as people count: boards.0.thickness becomes
// "boards, entry 1, thickness".
func counted(path string) string {
	steps, joint := strings.Split(path, "."), "."
	for i, step := range steps {
		if n, err := strconv.Atoi(step); err == nil {
			steps[i], joint = "entry "+strconv.Itoa(n+1), ", "
		}
	}
	return strings.Join(steps, joint)
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func wrongType(wanted string, value raw) *mismatch {
	switch value.kind {
	case 0:
		return &mismatch{"wrong_type", fmt.Sprintf("must be %s; %q was given", wanted, Clip(value.text))}
	case '0', '"':
		return &mismatch{"wrong_type", fmt.Sprintf("must be %s; %s was given", wanted, Clip(value.text))}
	}
	return &mismatch{"wrong_type", fmt.Sprintf("must be %s; it is %s", wanted, kindName(value.kind))}
}

// tooMuch says that a value is beyond what is read, and what was given.
func tooMuch(what string, value raw) *mismatch {
	return &mismatch{"out_of_range", fmt.Sprintf("%s; %s was given", what, Clip(value.text))}
}

// Clip shortens what is echoed.
func Clip(text []byte) string {
	if len(text) > 60 {
		return strings.ToValidUTF8(string(text[:60]), "") + "…"
	}
	return string(text)
}

func kindName(kind jsontext.Kind) string {
	switch kind {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a text"
	case '0':
		return "a number"
	case 'n':
		return "null"
	}
	return "true or false"
}

func (r *reader) length(value raw) (length.Length, *mismatch) {
	text, ok := value.plain('0')
	if !ok {
		return 0, wrongType("a length: a number or a text such as \"1/2 in\"", value)
	}
	parse := length.Parse
	if r.comma && value.kind == 0 {
		parse = length.ParseComma
	}
	l, err := parse(text, r.unit)
	if err != nil {
		_, other := length.ParseComma(text, r.unit)
		return 0, noLength(err).orComma(value.kind == 0 && !r.comma && other == nil)
	}
	return l, nil
}

// orComma adds what would help as well, if it would: a text of a query or a table may have
// a decimal comma.
func (m *mismatch) orComma(helps bool) *mismatch {
	if helps {
		m.detail += ", or set decimal to comma"
	}
	return m
}

func noLength(err error) *mismatch {
	var syntax *length.SyntaxError
	if errors.As(err, &syntax) {
		return &mismatch{"not_a_length", fmt.Sprintf("%q %s", Clip([]byte(syntax.Input)), syntax.Reason)}
	}
	return &mismatch{"out_of_range", err.Error()}
}

// plain is the text of a string, or of a literal of the given kind; ok is false for any
// other kind.
func (v raw) plain(literal jsontext.Kind) (text string, ok bool) {
	switch v.kind {
	case '"':
		text, err := jsontext.AppendUnquote(nil, v.text)
		return string(text), err == nil
	case 0, literal:
		return string(v.text), true
	}
	return "", false
}

func (r *reader) number(value raw) (float64, *mismatch) {
	text := string(value.text)
	if r.comma && value.kind == 0 && !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	if value.kind != '0' && (value.kind != 0 || strings.Trim(text, "0123456789.eE+-") != "") {
		wrong := wrongType("a number", value)
		if _, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); err == nil && strings.Contains(text, ",") {
			wrong.detail += ": write a decimal point and no thousands separator"
			return 0, wrong.orComma(value.kind == 0 && !r.comma)
		}
		return 0, wrong
	}
	x, err := strconv.ParseFloat(text, 64)
	if errors.Is(err, strconv.ErrRange) {
		return 0, tooMuch("is too large: at most 1.8e308 is accepted", value)
	}
	if err != nil {
		return 0, wrongType("a number", value)
	}
	return x, nil
}

// maxWhole is the largest whole number that is read. A float is exact up to there and
// beyond.
const maxWhole = 1_000_000_000_000_000

func (r *reader) integer(value raw) (int, *mismatch) {
	x, wrong := r.number(value)
	switch {
	case wrong != nil && wrong.code == "out_of_range", wrong == nil && math.Abs(x) > maxWhole:
		return 0, tooMuch(fmt.Sprintf("is too large: at most %d is accepted", maxWhole), value)
	case wrong != nil || x != math.Trunc(x):
		return 0, wrongType("a whole number", value)
	}
	return int(x), nil
}

func (r *reader) anyObject(value raw) (Object, *mismatch) {
	if value.kind != '{' {
		return nil, wrongType("an object", value)
	}
	return Object(value.text), nil
}

func (r *reader) boolean(value raw) (bool, *mismatch) {
	switch text := string(value.text); {
	case value.kind == '"', text != "true" && text != "false":
		return false, wrongType("true or false", value)
	default:
		return text == "true", nil
	}
}

func (r *reader) string(value raw) (string, *mismatch) {
	text, ok := value.plain('"')
	if !ok {
		return "", wrongType("a text", value)
	}
	return text, nil
}

func (r *reader) feed(value raw) (Feed, *mismatch) {
	v, wrong := r.perMinute(value, r.unit)
	return Feed(v), wrong
}

func (r *reader) bladeSpeed(value raw) (BladeSpeed, *mismatch) {
	v, wrong := r.perMinute(value, BladeSpeedUnit(r.unit))
	return BladeSpeed(v), wrong
}

// maxPerMinute is the fastest speed that is read, in any unit.
const maxPerMinute = 1e6

// perMinute reads a speed: a number in units a minute, or a text with its own unit,
// such as "10 ft/min".
func (r *reader) perMinute(value raw, unit length.Length) (feed.Speed, *mismatch) {
	number, unit, ok := ownSpeed(value, unit)
	if !ok {
		return 0, wrongType("a speed: a number or a text such as \"10 ft/min\"", value)
	}
	x, wrong := r.number(number)
	if wrong == nil && !(x >= -maxPerMinute && x <= maxPerMinute) {
		wrong = tooMuch("is too fast: at most 1000000 is accepted", value)
	}
	if wrong != nil {
		return 0, wrong
	}
	return feed.Speed(math.Round(x * float64(unit))), nil
}

// ownSpeed splits a speed into its number and its unit, which is the one given if it
// has none of its own.
func ownSpeed(value raw, unit length.Length) (number raw, of length.Length, ok bool) {
	text, isText := value.plain('0')
	text, perMinute := strings.CutSuffix(lower(strings.TrimSpace(text)), "/min")
	if !isText || !perMinute {
		return value, unit, value.kind != '"'
	}
	digits, name := unitName(text)
	own, err := length.Parse("1"+name, 0)
	return raw{text: []byte(digits)}, own, err == nil && name != ""
}

// maxMoney is the largest amount that is read.
const maxMoney = 1e9

func (r *reader) money(value raw) (Money, *mismatch) {
	x, wrong := r.number(value)
	if wrong != nil {
		return 0, wrong
	}
	amount := math.Round(x * 10_000)
	switch {
	case !(x >= -maxMoney && x <= maxMoney):
		return 0, tooMuch("is too much money: at most 1000000000 is accepted", value)
	case math.Abs(x*10_000-amount) > 1e-4:
		return 0, tooMuch("has more than 4 decimals", value)
	}
	return Money(amount), nil
}

// maxArea is the largest area that is read, in any unit.
const maxArea = 1e12

func (r *reader) area(value raw) (Area, *mismatch) {
	x, wrong := r.number(value)
	if wrong == nil && math.Abs(x) > maxArea {
		wrong = tooMuch("is too large an area: at most 1e12 is accepted", value)
	}
	side := r.unit.In(length.Millimetre)
	return Area(x * side * side), wrong
}
