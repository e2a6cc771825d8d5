package endpoint

import (
	"reflect"

	"resawd/calc/length"
)

// absent is what a field that a request leaves out counts as, by the unit of the
// request. Whoever is given it may not write to it: every request shares it.
type absent struct {
	index        []int
	inch, metric reflect.Value // pointers to scalars
}

// addAbsent reads the tag absent of a field, and metric where a request in mm
// has a value of its own. An empty tag is of a field that the endpoint always fills in
// itself, because it must know whether it was given.
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

// fixed is a pointer to a value that a tag gives.
func (f *field) fixed(t reflect.Type, text string, unit length.Length) reflect.Value {
	at := reflect.New(t)
	r := reader{unit: unit}
	f.scalar(&r, at.Interface(), f.name, raw{text: []byte(text)})
	if len(r.faults.list) > 0 {
		panic("endpoint: " + f.name + " cannot be " + text + " where it is absent: " + r.faults.list[0].Detail)
	}
	return at.Elem()
}

// fill gives the fields that a request leaves out what they count as.
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
