package endpoint

import (
	"math"
	"reflect"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/calc/length"
)

// encoder appends a value as JSON, with lengths in a unit. Encoders are compiled once
// for each type: encoding/json cannot be told the unit, and libraries that can cost
// several times as much.
type encoder func(dst []byte, v reflect.Value, unit length.Length) []byte

// JSONOf writes a value as JSON, with lengths in a unit. It is quick from the second
// value of a type on.
func JSONOf(v any, unit length.Length) []byte {
	value := reflect.ValueOf(v)
	return encoderFor(value.Type())(nil, value, unit)
}

// encoders caches the encoder of each type.
var encoders cache[encoder]

func encoderFor(t reflect.Type) encoder { return encoders.of(t, encoderOf) }

// encoderOf compiles the encoder of a type made of structs, slices, pointers and
// scalars. A nil slice becomes []; a zero field marked omitzero is left out; the fields
// of an embedded struct count as the outer one's.
func encoderOf(t reflect.Type) encoder {
	switch t {
	case reflect.TypeFor[length.Length](), reflect.TypeFor[Feed]():
		return func(dst []byte, v reflect.Value, unit length.Length) []byte {
			return length.Length(v.Int()).AppendDecimal(dst, unit)
		}
	case reflect.TypeFor[BladeSpeed]():
		return func(dst []byte, v reflect.Value, unit length.Length) []byte {
			return appendNumber(dst, length.Length(v.Int()).In(BladeSpeedUnit(unit)))
		}
	case reflect.TypeFor[Bite]():
		return func(dst []byte, v reflect.Value, unit length.Length) []byte {
			return appendNumber(dst, v.Float()/unit.In(length.Millimetre))
		}
	case reflect.TypeFor[Object]():
		return func(dst []byte, v reflect.Value, _ length.Length) []byte { return append(dst, v.Bytes()...) }
	case reflect.TypeFor[Money]():
		return func(dst []byte, v reflect.Value, _ length.Length) []byte { return appendMoney(dst, v.Int()) }
	case reflect.TypeFor[Area]():
		return func(dst []byte, v reflect.Value, unit length.Length) []byte {
			side := unit.In(length.Millimetre)
			return appendNumber(dst, math.Round(v.Float()/side/side*1e6)/1e6)
		}
	}
	switch t.Kind() {
	case reflect.Struct:
		return structEncoder(t)
	case reflect.Slice:
		return sliceEncoder(encoderOf(t.Elem()))
	case reflect.Pointer:
		inner := encoderOf(t.Elem())
		return func(dst []byte, v reflect.Value, unit length.Length) []byte { return inner(dst, v.Elem(), unit) }
	}
	return plainEncoder(t)
}

func plainEncoder(t reflect.Type) encoder {
	switch t.Kind() {
	case reflect.Float64:
		return func(dst []byte, v reflect.Value, _ length.Length) []byte { return appendNumber(dst, v.Float()) }
	case reflect.Int:
		return func(dst []byte, v reflect.Value, _ length.Length) []byte { return strconv.AppendInt(dst, v.Int(), 10) }
	case reflect.Bool:
		return func(dst []byte, v reflect.Value, _ length.Length) []byte { return strconv.AppendBool(dst, v.Bool()) }
	case reflect.String:
		return func(dst []byte, v reflect.Value, _ length.Length) []byte {
			quoted, _ := jsontext.AppendQuote(dst, v.String()) // the error is about invalid UTF-8, which it has replaced
			return quoted
		}
	}
	panic("endpoint: no encoder for type " + t.String())
}

func sliceEncoder(inner encoder) encoder {
	return func(dst []byte, v reflect.Value, unit length.Length) []byte {
		dst = append(dst, '[')
		for i := range v.Len() {
			if i > 0 {
				dst = append(dst, ',')
			}
			dst = inner(dst, v.Index(i), unit)
		}
		return append(dst, ']')
	}
}

// memberEncoder encodes a field of a struct.
type memberEncoder struct {
	key      string // with its quotes and colon
	index    []int
	omitZero bool
	encode   encoder
}

func structEncoder(t reflect.Type) encoder {
	var members []memberEncoder
	for _, f := range wireFields(t) {
		members = append(members, memberEncoder{
			key:   strconv.Quote(nameOf(f)) + ":",
			index: f.Index, omitZero: strings.Contains(f.Tag.Get("json"), ",omitzero"),
			encode: encoderOf(f.Type),
		})
	}
	return func(dst []byte, v reflect.Value, unit length.Length) []byte {
		dst = append(dst, '{')
		start := len(dst)
		for i := range members {
			m := &members[i]
			f := fieldAt(v, m.index)
			if m.omitZero && f.IsZero() {
				continue
			}
			if len(dst) > start {
				dst = append(dst, ',')
			}
			dst = m.encode(append(dst, m.key...), f, unit)
		}
		return append(dst, '}')
	}
}

// fieldAt is v.FieldByIndex without its checks for nil pointers.
func fieldAt(v reflect.Value, index []int) reflect.Value {
	for _, i := range index {
		v = v.Field(i)
	}
	return v
}

// wireFields lists the fields of a struct that have a name on the wire, those of
// embedded structs among them.
func wireFields(t reflect.Type) []reflect.StructField {
	var fields []reflect.StructField
	for _, f := range reflect.VisibleFields(t) {
		if !f.Anonymous && f.IsExported() {
			fields = append(fields, f)
		}
	}
	return fields
}

// appendMoney writes ten-thousandths as units, without trailing zeros.
func appendMoney(dst []byte, amount int64) []byte {
	return length.Length(amount).AppendDecimal(dst, MoneyUnit)
}

// MoneyUnit lets a length write money: there are ten thousand to the unit.
const MoneyUnit length.Length = 10_000

// appendNumber writes a float as JSON does: the shortest text that reads back the same,
// with an exponent only for very large and very small numbers.
func appendNumber(dst []byte, x float64) []byte {
	if size := max(x, -x); size != 0 && (size < 1e-6 || size >= 1e21) {
		return strconv.AppendFloat(dst, x, 'e', -1, 64)
	}
	return strconv.AppendFloat(dst, x, 'f', -1, 64)
}
