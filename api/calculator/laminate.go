package calculator

import (
	"fmt"

	"resawd/api/endpoint"
	"resawd/calc/laminate"
	"resawd/calc/length"
	"resawd/calc/wood"
)

// LaminateRequest asks what leaves become when they are glued up.
type LaminateRequest struct {
	Settings
	// Finished thickness, glue lines included
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..1m"`
	// Number of leaves
	LeafCount *int `json:"leaf_count,omitzero" validate:"omitempty,gte=1,lte=1000"`
	// The thickest a leaf may be, in place of leaf_count or beside it; without either, as many leaves as the radius asks
	LeafThickness *length.Length `json:"leaf_thickness,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Thickness of a glue line
	GlueLine *length.Length `json:"glue_line,omitzero" validate:"omitempty,gte=0,within=..1cm" absent:"0"`
	// Radius of the finished part's inner face; absent for a flat part
	Radius *length.Length `json:"radius,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Angle that the part turns through; without it the lengths of the plies are left out
	ArcDegrees *float64 `json:"arc_degrees,omitzero" validate:"omitempty,gt=0,lte=360,excluded_without=Radius"`
	// Kind of wood, to find whether it is a hardwood
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// Whether the wood is a hardwood or a softwood, in place of species; hardwood by default
	WoodClass *string `json:"wood_class,omitzero" validate:"omitempty,oneof=hardwood softwood" default:"hardwood"`
}

// LaminateAnswer is the leaves and the form.
type LaminateAnswer struct {
	// Number of leaves
	LeafCount int `json:"leaf_count"`
	// Thickness of a leaf to aim at, after sanding
	LeafThickness length.Length `json:"leaf_thickness"`
	// Radius of the form's face, on which the innermost leaf lies; absent for a flat part
	FormRadius *length.Length `json:"form_radius,omitzero"`
	// Angle of the form that the leaves reach around
	FormDegrees *float64 `json:"form_degrees,omitzero"`
	// Share of the form's curvature that is lost when the part comes off it
	Springback *float64 `json:"springback,omitzero"`
	// Strain in the outermost fibres of the innermost leaf on the form, in percent
	StrainPct *float64 `json:"strain_pct,omitzero"`
	// Strain of the thickest leaf, in percent
	StrainLimitPct *float64 `json:"strain_limit_pct,omitzero"`
	// The thickest leaf that the form's radius allows, dry and cold
	ThickestLeaf *length.Length `json:"thickest_leaf,omitzero"`
	// Share of a straight part's strength that is left
	StrengthShare *float64 `json:"strength_share,omitzero"`
	// The leaves from the inside out, with their lengths in the finished part
	Plies []Ply `json:"plies"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *LaminateRequest `json:"used"`
	endpoint.Notes
}

// Ply is one leaf of a bent part.
type Ply struct {
	// Ordinal from the inside out
	Ply int `json:"ply"`
	// Length along the ply's centre line
	Length length.Length `json:"length"`
}

// Table gives the rows that csv shows.
func (a *LaminateAnswer) Table() any { return a.Plies }

// Laminate answers how to glue leaves up.
//
//	@Summary		Leaves glued up, flat or bent over a form
//	@Description	Gives the number of leaves and the thickness to aim at with glue lines counted, and for a bent part the radius of the form so that the part comes out right after it springs back, the strain in the leaves and what the radius allows, and the length of every ply.
//	@ID				laminate
//	@Tags			after the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		LaminateRequest	true	"The fields of the calculator"
//	@Success		200		{object}	LaminateAnswer
//	@Router			/v1/laminate [post]
func Laminate(c *endpoint.Call, q *LaminateRequest) (*LaminateAnswer, error) {
	fillLaminate(c, q)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	stack, err := laminate.Design(laminate.Part{
		Thickness: *q.Thickness, LeafCount: endpoint.ValueOr(q.LeafCount, 0), LeafThickness: endpoint.ValueOr(q.LeafThickness, 0),
		GlueLine: *q.GlueLine, Radius: endpoint.ValueOr(q.Radius, 0), ArcDegrees: endpoint.ValueOr(q.ArcDegrees, 0), Softwood: *q.WoodClass == "softwood",
	})
	if err != nil {
		return nil, err
	}
	q.LeafCount, q.LeafThickness = &stack.LeafCount, &stack.LeafThickness
	a := &LaminateAnswer{LeafCount: stack.LeafCount, LeafThickness: stack.LeafThickness, Plies: make([]Ply, len(stack.Plies)), Cautions: glueCautions, Used: q}
	for i, l := range stack.Plies {
		a.Plies[i] = Ply{i + 1, l}
	}
	a.Sources = []string{"n leaves and n - 1 glue lines make the thickness (definition)"}
	if q.Radius != nil {
		a.bend(c, q, &stack)
	}
	return a, nil
}

// bend adds what a bent part needs.
func (a *LaminateAnswer) bend(c *endpoint.Call, q *LaminateRequest, s *laminate.Stack) {
	a.FormRadius, a.Springback, a.ThickestLeaf, a.StrengthShare = &s.FormRadius, &s.Springback, &s.ThickestLeaf, &s.Strength
	a.StrainPct, a.StrainLimitPct = new(s.Strain*100), new(s.StrainLimit*100)
	if q.ArcDegrees != nil {
		a.FormDegrees = &s.FormDegrees
	}
	if s.LeafThickness > s.ThickestLeaf {
		c.Warn("leaves of " + rounded(c, s.LeafThickness) + " are bent tighter than the " + rounded(c, s.ThickestLeaf) + " that this form allows dry and cold: take more and thinner leaves, or bend them wet and hot, and try one first")
	}
	if s.FormDegrees > fullTurn {
		c.Warn(fmt.Sprintf("on the form the leaves reach around %.1f degrees, more than a full turn: their ends overlap, so make the part of two pieces or of more leaves", s.FormDegrees))
	}
	a.Sources = append(a.Sources,
		"springback = 1/n^2 of the form's curvature (beam theory; common practice: a rise x loses x/n^2)",
		"leaf / radius at most 1/100 for hardwoods and 1/125 for softwoods, strength 1 - 2000 (leaf / radius)^2: National Design Specification for Wood Construction, from memory: unconfirmed; strips for furniture and instruments are bent tighter, wet and hot",
	)
}

const fullTurn = 360 // degrees

func fillLaminate(c *endpoint.Call, q *LaminateRequest) {
	machine(c, &q.Settings)
	if q.LeafCount == nil && q.LeafThickness == nil && q.Radius == nil {
		c.Refuse("leaf_count", "required", "is missing: give it or leaf_thickness, or a radius that says how many")
	}
	if q.Species == nil {
		orDefault(&q.WoodClass, "hardwood")
		return
	}
	species, ok := wood.Find(*q.Species)
	if !ok {
		c.Refuse("species", "unknown_name", noOneWood(*q.Species)+": or give wood_class instead")
		return
	}
	class := WoodClass(species)
	if orDefault(&q.WoodClass, class); *q.WoodClass != class {
		c.Refuse("wood_class", "conflict", fmt.Sprintf("is %q, while that of %s is %s: give one of the two", *q.WoodClass, *q.Species, class))
	}
}

// WoodClass is the class of a species as the wire names it.
func WoodClass(s wood.Species) string {
	if s.Softwood {
		return "softwood"
	}
	return "hardwood"
}

// glueCautions are the usual cautions of the trade at bending and glueing.
//
// Source: common practice.
var glueCautions = []string{
	"Some glues and their hardeners harm skin and lungs: read the maker's safety sheet, wear gloves away from the saw, and air the room.",
	"Steam and hot wood scald: wear gloves, and never close a steam box tightly.",
	"A bent stack holds a great force: clamp from the middle outward, keep your face out of its line, and take it off the form slowly.",
	"The makers' manuals, local codes and licensed practice rule over anything said here.",
}
