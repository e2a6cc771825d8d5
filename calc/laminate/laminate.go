package laminate

import (
	"math"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// Limits: a stack of more leaves, or a larger radius, is a slip of units.
const (
	MaxLeaves = 1_000
	maxStack  = length.Metre
	maxTurn   = 360.0
)

// The thickest leaf over the radius that it is bent to.
//
// Source: National Design Specification for Wood Construction, curvature of glued
// laminated members, from memory.
const (
	hardwoodRatio = 100
	softwoodRatio = 125
)

// Part is what is to be made. Leaves are given by their count, by the most that each
// may be thick, by both, or, for a bent part, by neither: then there are as many as the
// radius asks for.
type Part struct {
	Thickness     length.Length // finished, glue lines included
	LeafCount     int           // 0: as LeafThickness says
	LeafThickness length.Length // 0: as the radius says
	GlueLine      length.Length // thickness of a glue line
	Radius        length.Length // of the part's inner face; 0: flat
	ArcDegrees    float64       // of a bent part; 0: without lengths
	Softwood      bool
}

// Stack is the leaves and the form.
type Stack struct {
	LeafCount     int
	LeafThickness length.Length // to aim at
	FormRadius    length.Length // of the form's face; 0 for a flat part
	FormDegrees   float64       // how far round the form the leaves reach
	Springback    float64       // share of the form's curvature that is lost
	Strain        float64       // in the outermost fibres of the innermost leaf, on the form
	ThickestLeaf  length.Length // that the radius of the form allows; 0 for a flat part
	StrainLimit   float64       // the strain of that leaf
	Strength      float64       // share that the part keeps of a straight one's strength
	Plies         []length.Length
}

// Design gives the leaves of a part and, where it is bent, its form. Plies are the
// lengths of the leaves in the finished part along their centre lines, from the
// inside out.
//
// Source: beam theory and the design specification of the package comment.
// Valid: 0 < thickness <= 1 m; 0 <= glue line <= 10 mm; 1 to 1000 leaves, at least
// two where they are bent; 0 <= radius <= length.Max; 0 <= arc <= 360 degrees; leaves
// of at least a micrometre. A form that springback leaves no room for is a
// *[fault.NoSolution].
func Design(p Part) (Stack, error) {
	if err := p.check(); err != nil {
		return Stack{}, err
	}
	n, err := p.leaves()
	if err != nil {
		return Stack{}, err
	}
	t, err := p.leafThickness(n)
	if err != nil {
		return Stack{}, err
	}
	s := Stack{LeafCount: n, LeafThickness: t, Strength: 1, Plies: []length.Length{}}
	if p.Radius == 0 {
		return s, nil
	}
	return p.bend(s)
}

// bend fills in what a bent part needs.
func (p Part) bend(s Stack) (Stack, error) {
	n := s.LeafCount
	if n < 2 {
		return Stack{}, &fault.NoSolution{Quantity: "leaf count", Value: n, Needed: 2, Why: "since a single leaf springs back all the way"}
	}
	if s.FormRadius = p.form(n); s.FormRadius <= 0 {
		return Stack{}, &fault.NoSolution{Quantity: "radius", Value: p.Radius, Needed: p.smallestRadius(n, 1), Why: "for the springback of so few leaves to leave a form"}
	}
	s.Springback = Springback(n)
	s.FormDegrees = p.ArcDegrees / (1 - s.Springback)
	s.Strain = strain(s.LeafThickness, s.FormRadius)
	s.ThickestLeaf = s.FormRadius / length.Length(p.ratio())
	s.StrainLimit = 1 / float64(2*p.ratio()+1)
	bent := s.LeafThickness.In(p.Radius)
	s.Strength = max(0, 1-2000*bent*bent)
	if p.ArcDegrees > 0 {
		s.Plies = p.plies(n, s.LeafThickness)
	}
	return s, nil
}

// Springback gives the share of a form's curvature that n glued leaves lose.
//
// Source: beam theory (package comment): n t^3 / (n t)^3.
// Valid: 1 <= n.
func Springback(n int) float64 { return 1 / float64(n) / float64(n) }

// leaves gives how many leaves the part is glued up of.
func (p Part) leaves() (int, error) {
	switch {
	case p.LeafCount > 0 && p.LeafThickness == 0:
		return p.LeafCount, nil
	case p.LeafThickness > 0:
		return p.byThickness()
	}
	if _, err := p.leafThickness(2); err != nil {
		return 0, err
	}
	for n := 2; n <= MaxLeaves; n++ {
		if t, err := p.leafThickness(n); err == nil && t <= p.form(n)/length.Length(p.ratio()) {
			return n, nil
		}
	}
	return 0, &fault.NoSolution{Quantity: "radius", Value: p.Radius, Needed: p.smallestOfAll(), Why: "for leaves that are thin enough to bend to it"}
}

// byThickness gives the fewest leaves that are no thicker than they may be, or the
// count that is given.
func (p Part) byThickness() (int, error) {
	fewest := int((p.Thickness + p.GlueLine + p.LeafThickness + p.GlueLine - 1) / (p.LeafThickness + p.GlueLine))
	if p.LeafCount == 0 {
		return fewest, fault.Because(fault.Within("leaf count", fewest, 1, MaxLeaves), "by the leaf thickness")
	}
	// Half a nanometre too thick is as thick as asked.
	t, err := p.leafThickness(p.LeafCount)
	if p.LeafCount < fewest && (err != nil || t > p.LeafThickness) {
		return 0, &fault.NoSolution{Quantity: "leaf count", Value: p.LeafCount, Needed: fewest, Why: "for leaves no thicker than asked"}
	}
	return p.LeafCount, nil
}

// leafThickness gives how thick each of n leaves is.
func (p Part) leafThickness(n int) (length.Length, error) {
	glue := length.Length(n-1) * p.GlueLine
	t := (p.Thickness - glue + length.Length(n)/2) / length.Length(n)
	if t < length.Micrometre {
		return 0, &fault.NoSolution{
			Quantity: "thickness", Value: p.Thickness, Needed: glue + length.Length(n)*length.Micrometre, Why: "for so many leaves and their glue lines",
		}
	}
	return t, nil
}

// form gives the radius of the form's face.
func (p Part) form(n int) length.Length {
	return length.Length(math.Round(p.centre()*(1-Springback(n)) - float64(p.Thickness)/2))
}

// centre gives the radius of the part's centre line.
func (p Part) centre() float64 { return float64(p.Radius) + float64(p.Thickness)/2 }

// smallestRadius gives the least radius of the part that needs a form of no less than
// a radius.
func (p Part) smallestRadius(n int, form length.Length) length.Length {
	half := float64(p.Thickness) / 2
	return length.Length(math.Ceil((float64(form)+half-0.5)/(1-Springback(n)) - half))
}

// smallestOfAll gives the least radius of the part to which any number of leaves can be
// bent.
func (p Part) smallestOfAll() length.Length {
	least := length.Max
	for n := 2; n <= MaxLeaves; n++ {
		if t, err := p.leafThickness(n); err == nil {
			least = min(least, p.smallestRadius(n, t*length.Length(p.ratio())))
		}
	}
	return least
}

// plies gives the length of each leaf at its centre line in the finished part.
func (p Part) plies(n int, t length.Length) []length.Length {
	arc := p.ArcDegrees * math.Pi / 180
	plies := make([]length.Length, n)
	for i := range plies {
		inner := p.Radius + length.Length(i)*(t+p.GlueLine)
		plies[i] = length.Length(math.Round((float64(inner) + float64(t)/2) * arc))
	}
	return plies
}

// ratio is the radius over the thickest leaf.
func (p Part) ratio() int {
	if p.Softwood {
		return softwoodRatio
	}
	return hardwoodRatio
}

// strain gives that of the outermost fibres of a leaf on a form: half the leaf over
// the radius of its centre line.
func strain(t, form length.Length) float64 { return float64(t) / (2*float64(form) + float64(t)) }

func (p Part) check() error {
	if err := fault.First(
		fault.Above("thickness", p.Thickness, 0, maxStack),
		fault.Within("leaf count", p.LeafCount, 0, MaxLeaves),
		fault.Within("leaf thickness", p.LeafThickness, 0, maxStack),
		fault.Within("glue line", p.GlueLine, 0, length.Centimetre),
		fault.Within("radius", p.Radius, 0, length.Max),
		fault.Within("arc degrees", p.ArcDegrees, 0, maxTurn),
	); err != nil {
		return err
	}
	if p.LeafCount == 0 && p.LeafThickness == 0 && p.Radius == 0 {
		return fault.Because(fault.Within("leaf count", 0, 1, MaxLeaves), "unless a leaf thickness or a radius says how many")
	}
	return nil
}
