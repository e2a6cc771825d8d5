package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/rail"
)

// RailRequest asks how far a rail sags and how it vibrates.
type RailRequest struct {
	Settings
	// Length of the rail
	Length *length.Length `json:"length,omitzero" validate:"required,gt=0,within=..100m"`
	// How it is held: on supports at its ends, fast at one end, or on two supports with its ends overhanging
	Support *string `json:"support,omitzero" validate:"omitempty,oneof=ends cantilever overhang" absent:"ends"`
	// Distance of each support from its end of the rail, for overhang; 0 by default
	Inset *length.Length `json:"inset,omitzero" validate:"omitempty,gte=0,within=..100m"`
	// Section of the rail; in place of stiffness_nm2 and mass_kg_per_m
	Section RailSection `json:"section,omitzero"`
	// Modulus of elasticity in GPa; that of aluminium, 69, by default
	EModulusGPa *float64 `json:"e_modulus_gpa,omitzero" validate:"omitempty,gte=0.001,lte=1200"`
	// Density in kg/m3; that of aluminium, 2700, by default
	DensityKGM3 *float64 `json:"density_kg_m3,omitzero" validate:"omitempty,gte=1,lte=23000"`
	// Bending stiffness E I in N m2, in place of section, modulus and density
	StiffnessNM2 *float64 `json:"stiffness_nm2,omitzero" validate:"omitempty,gt=0,lte=1000000000000"`
	// Mass of a metre of the rail in kg, beside the stiffness
	MassKGPerM *float64 `json:"mass_kg_per_m,omitzero" validate:"omitempty,gt=0,lte=100000"`
	// Weight of the carriage and its board in newtons, standing where it bends the rail most
	LoadN *float64 `json:"load_n,omitzero" validate:"omitempty,gte=0,lte=1000000" absent:"0"`
	// How far the rail may sag; with it the answer says how far apart supports may stand
	AllowedSag *length.Length `json:"allowed_sag,omitzero" validate:"omitempty,gt=0,within=..1m"`
}

// RailSection is the section of a rail, upright as it lies.
type RailSection struct {
	// Shape of the section
	Shape *string `json:"shape,omitzero" query:"section_shape" validate:"omitempty,oneof=rectangle box round pipe" default:"rectangle"`
	// Width of a rectangle or box
	Width *length.Length `json:"width,omitzero" query:"section_width" validate:"omitempty,gt=0,within=..1m"`
	// Height of a rectangle or box, or diameter of a round or pipe
	Height *length.Length `json:"height,omitzero" query:"section_height" validate:"omitempty,gt=0,within=..1m"`
	// Thickness of the wall of a box or pipe
	Wall *length.Length `json:"wall,omitzero" query:"section_wall" validate:"omitempty,gt=0,within=..1m"`
}

// RailAnswer is sag, frequency and supports.
type RailAnswer struct {
	// The most that the rail sags at any place, load included
	Sag length.Length `json:"sag"`
	// Sag of the middle by the rail's own weight; negative is upward
	MiddleSag length.Length `json:"middle_sag"`
	// Sag of a free end by the rail's own weight; negative is upward
	EndSag length.Length `json:"end_sag"`
	// Sag that the load adds where it bends the rail most
	LoadSag length.Length `json:"load_sag"`
	// First natural frequency of the rail without its load
	FrequencyHz float64 `json:"frequency_hz"`
	// How far apart supports at both ends may stand for allowed_sag
	LongestSpan *length.Length `json:"longest_span,omitzero"`
	// What practice says of supporting it
	Advice string `json:"advice"`
	// Where two supports stand best, as distances from the ends
	BestSupports RailSupports `json:"best_supports"`
	// Every input, given or defaulted
	Used *RailRequest `json:"used"`
	endpoint.Notes
}

// RailSupports are insets of two supports.
type RailSupports struct {
	// Distance from each end at which the ends stay parallel
	Airy length.Length `json:"airy"`
	// Distance from each end at which the rail keeps its length
	Bessel length.Length `json:"bessel"`
	// Distance from each end at which middle and ends sag alike, and least
	EqualSag length.Length `json:"equal_sag"`
}

var (
	supports = map[string]rail.Support{"ends": rail.Ends, "cantilever": rail.Cantilever, "overhang": rail.Overhang}
	shapes   = map[string]rail.Shape{"rectangle": rail.Rectangle, "box": rail.Box, "round": rail.Round, "pipe": rail.Pipe}
	advices  = map[rail.Advice]string{
		rail.NeedsNone:   "practice: a rail of up to 4 ft needs no support of its own",
		rail.Between:     "practice: support a rail of 4 to 5 ft where its sag matters",
		rail.SupportEnds: "practice: support the ends of a rail longer than 5 ft",
	}
)

// Rail answers whether a rail sags.
//
//	@Summary		Whether the rail sags, and where to support it
//	@Description	Gives sag and first natural frequency of the rail under the carriage, held at its ends, at one end or on two supports with its ends overhanging, of a section and material or with a stiffness and mass of its own; how far apart supports may stand for a sag; and where two supports stand best.
//	@ID				rail
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		RailRequest	true	"The fields of the calculator"
//	@Success		200		{object}	RailAnswer
//	@Router			/v1/rail [post]
func Rail(c *endpoint.Call, q *RailRequest) (*RailAnswer, error) {
	machine(c, &q.Settings)
	if *q.Support == "overhang" {
		orDefault(&q.Inset, 0)
	} else if q.Inset != nil {
		c.Refuse("inset", "conflict", "has no effect unless support is overhang")
	}
	bar, err := barOf(c, q)
	if err := fault.First(c.Checked(), err); err != nil {
		return nil, err
	}
	r := rail.Rail{Bar: bar, Length: *q.Length, Support: supports[*q.Support], Inset: endpoint.ValueOr(q.Inset, 0), LoadN: *q.LoadN}
	sag, err := rail.Deflection(r)
	hz, err2 := rail.Frequency(r)
	best, err3 := rail.BestSupports(r.Length)
	if err := fault.First(err, err2, err3); err != nil {
		return nil, err
	}
	a := &RailAnswer{
		Sag: sag.Worst, MiddleSag: sag.Middle, EndSag: sag.End, LoadSag: sag.Load, FrequencyHz: hz,
		Advice: advices[rail.Advise(r.Length)], BestSupports: RailSupports(best), Used: q,
	}
	a.Sources = []string{
		"sag by the beam formulas (Roark's Formulas for Stress and Strain, table 8.1, from memory)",
		"frequency = (B / 2 pi) sqrt(E I / (m L^4)) (Thomson, Theory of Vibration with Applications, table 9.5-1)",
		"Airy and Bessel points: en.wikipedia.org/wiki/Airy_points and Bessel_points",
		"when to support a rail: common practice",
	}
	if q.AllowedSag == nil {
		return a, nil
	}
	span, err := rail.LongestSpan(r, *q.AllowedSag)
	a.LongestSpan = &span
	if sag.Worst > *q.AllowedSag {
		c.Warn("the rail sags " + rounded(c, sag.Worst) + ", more than the " + rounded(c, *q.AllowedSag) + " allowed: support it, or take a stiffer section")
	}
	return a, err
}

// barOf is the stiffness and mass of a rail, as given or as its section has them.
func barOf(c *endpoint.Call, q *RailRequest) (rail.Bar, error) {
	section := q.Section != RailSection{}
	if q.StiffnessNM2 != nil || q.MassKGPerM != nil {
		switch {
		case section || q.EModulusGPa != nil || q.DensityKGM3 != nil:
			c.Refuse("stiffness_nm2", "conflict", "and mass_kg_per_m cannot be given together with section, e_modulus_gpa and density_kg_m3: they say the same thing")
		case q.StiffnessNM2 == nil:
			c.Refuse("stiffness_nm2", "required", "is missing: give it beside mass_kg_per_m")
		case q.MassKGPerM == nil:
			c.Refuse("mass_kg_per_m", "required", "is missing: give it beside stiffness_nm2")
		default:
			return rail.Bar{StiffnessNM2: *q.StiffnessNM2, MassKGPerM: *q.MassKGPerM}, nil
		}
		return rail.Bar{}, nil
	}
	if !section {
		c.Refuse("section", "required", "is missing: give it, or stiffness_nm2 and mass_kg_per_m")
		return rail.Bar{}, nil
	}
	if q.EModulusGPa == nil || q.DensityKGM3 == nil {
		c.Warn("e_modulus_gpa or density_kg_m3 is that of aluminium (from memory): give those of the rail")
	}
	orDefault(&q.Section.Shape, "rectangle")
	orDefault(&q.EModulusGPa, 69)
	orDefault(&q.DensityKGM3, 2700)
	return rail.NewBar(rail.Section{
		Shape: shapes[*q.Section.Shape], Width: endpoint.ValueOr(q.Section.Width, 0),
		Height: endpoint.ValueOr(q.Section.Height, 0), Wall: endpoint.ValueOr(q.Section.Wall, 0),
	}, rail.Material{ModulusGPa: *q.EModulusGPa, DensityKGM3: *q.DensityKGM3})
}
