package endpoint

import (
	"reflect"

	"resawd/calc/length"
)

// absent is what a field counts as if a request leaves it out. All requests share the
// values it points to, so nobody may write to them.
type absent struct {
	index        []int
	inch, metric reflect.Value // pointers to scalars, for requests in either unit
}

// addAbsent reads the tags absent and metric of a field; without the second, a request
// in mm gets the value of the first.
func (s *schema) addAbsent(f *field, tag reflect.StructTag, t reflect.Type) {
	text := tag.Get("absent")
	if text == "" {
		return
	}
	metric, ok := tag.Lookup("metric")
	if !ok {
		metric = text
	}
	s.absent = append(s.absent, absent{f.index, f.fixed(t, text, length.Inch), f.fixed(t, metric, length.Millimetre)})
}

// fixed is a pointer to the value that a tag gives.
func (f *field) fixed(t reflect.Type, text string, unit length.Length) reflect.Value {
	at := reflect.New(t)
	r := reader{unit: unit}
	f.scalar(&r, at.Interface(), f.name, raw{text: []byte(text)})
	if len(r.faults.list) > 0 {
		panic("endpoint: " + f.name + " cannot be " + text + " where it is absent: " + r.faults.list[0].Detail)
	}
	return at.Elem()
}

// fill sets the fields that a request leaves out.
func (s *schema) fill(request reflect.Value, unit length.Length) {
	for i := range s.absent {
		a := &s.absent[i]
		at := fieldAt(request, a.index)
		switch {
		case !at.IsNil():
		case unit == length.Millimetre:
			at.Set(a.metric)
		default:
			at.Set(a.inch)
		}
	}
	for i := range s.fields {
		f := &s.fields[i]
		switch {
		case f.object == nil:
		case f.depth == 0:
			f.object.fill(fieldAt(request, f.index), unit)
		default:
			for list, j := fieldAt(request, f.index), 0; j < list.Len(); j++ {
				f.object.fill(list.Index(j), unit)
			}
		}
	}
}
