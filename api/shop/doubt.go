package shop

import (
	"fmt"

	"resawd/api/rule"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// The smallest areas that are usual, in square metres.
const (
	leastLife  = 0.1  // that a blade saws before it is dull
	leastClean = 0.01 // between two cleanings
)

// doubts lists what hardly any shop can have. What is usual here goes from the smallest
// saw of a hobby to the largest of a mill, with room to spare (common practice), so that a
// figure beyond it is most likely in the wrong unit. It is doubted, not refused.
func (s *Shop) doubts() []fault {
	d := doubter{unit: s.Unit()}
	for i := range s.Saws {
		d.saw(fmt.Sprintf("saws[%d].", i), &s.Saws[i], s)
	}
	for i := range s.Blades {
		d.blade(fmt.Sprintf("blades[%d].", i), &s.Blades[i])
	}
	d.area("care.clean_area", s.Care.CleanArea, leastClean)
	return d.found
}

// doubter gathers doubts.
type doubter struct {
	unit  length.Length
	found []fault
}

func (d *doubter) saw(at string, w *Saw, s *Shop) {
	const mm = length.Millimetre
	d.length(at+"wheel_diameter", w.WheelDiameter, 100*mm, length.Max)
	d.length(at+"lead", w.Lead, 200*length.Micrometre, 50*mm)
	d.length(at+"travel", w.Travel, 10*mm, 3*length.Metre)
	d.length(at+"cutting_height", w.CuttingHeight, 25*mm, 2*length.Metre)
	d.length(at+"rail_length", w.RailLength, 200*mm, length.Max)
	d.length(at+"widest_blade", w.WidestBlade, 3*mm, length.Max)
	if *w.Backlash > *w.Lead {
		d.add(at+"backlash", "is %s, more than a whole turn of the screw, %s: check both", rule.Show(*w.Backlash, d.unit), rule.Show(*w.Lead, d.unit))
	}
	if b, ok := s.Blade(w.DefaultBlade); ok && w.WidestBlade != nil && *b.Width > *w.WidestBlade {
		d.add(at+"default_blade", "is %s wide, and widest_blade is %s: check both", rule.Show(*b.Width, d.unit), rule.Show(*w.WidestBlade, d.unit))
	}
	d.speed(at, w)
}

func (d *doubter) blade(at string, b *Blade) {
	const mm = length.Millimetre
	d.length(at+"width", b.Width, 3*mm/2, length.Max)
	d.length(at+"body_thickness", b.BodyThickness, 200*length.Micrometre, 3*mm)
	d.length(at+"kerf", b.Kerf, 300*length.Micrometre, 8*mm)
	d.area(at+"life_area", b.LifeArea, leastLife)
}

// add notes a doubt.
func (d *doubter) add(field, format string, args ...any) {
	d.found = append(d.found, fault{field: field, detail: fmt.Sprintf(format, args...)})
}

// length doubts a length outside limits.
func (d *doubter) length(field string, l *length.Length, least, most length.Length) {
	switch {
	case l == nil:
	case *l < least:
		d.add(field, "is %s, where at least %s is usual: check the figure and its unit", rule.Show(*l, d.unit), rule.Show(least, d.unit))
	case *l > most:
		d.add(field, "is %s, where at most %s is usual: check the figure and its unit", rule.Show(*l, d.unit), rule.Show(most, d.unit))
	}
}

// area doubts an area, in square units of the file, below a limit in square metres.
func (d *doubter) area(field string, a *float64, least float64) {
	unit := d.unit.In(length.Metre)
	if least /= unit * unit; a != nil && *a < least {
		d.add(field, "is %s, where at least %.0f is usual, in square %s: check the figure and its unit", rule.Show(*a, d.unit), least, rule.UnitName(d.unit))
	}
}

// speed doubts the speed of a saw's blade.
func (d *doubter) speed(at string, w *Saw) {
	slowest, fastest, unit, name := 1000.0, 12000.0, length.Foot, "ft/min"
	if d.unit == length.Millimetre {
		slowest, fastest, unit, name = 300, 3600, length.Metre, "m/min"
	}
	if v := w.BladeSpeed; v != nil {
		if *v < slowest || *v > fastest {
			d.add(at+"blade_speed", "is %s, where %.0f to %.0f %s is usual for wood: check the figure and its unit", rule.Show(*v, d.unit), slowest, fastest, name)
		}
		return
	}
	if v, err := feed.RimSpeed(*w.WheelDiameter, *w.RPM); err != nil || v.In(unit) < slowest || v.In(unit) > fastest {
		d.add(at+"rpm", "and wheel_diameter do not make a blade speed of %.0f to %.0f %s, which is usual for wood: check both; rpm is that of the wheel, not of the motor", slowest, fastest, name)
	}
}
