package api

import (
	"github.com/labstack/echo/v4"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/wood"
)

// SpeciesList is every species that requests can name.
type SpeciesList struct {
	// The species, by name
	Species []Species `json:"species"`
	// Sources of the list
	Sources []string `json:"sources"`
}

// Species is a kind of wood.
type Species struct {
	// Name that requests use, in any case
	Name string `json:"name"`
	// Other names that requests may use
	Aliases []string `json:"aliases"`
	// Botanical class
	WoodClass string `json:"wood_class" enums:"hardwood,softwood"`
	// How much it clogs teeth with gum or resin
	Gum string `json:"gum" enums:"low,medium,high"`
	// What is published about its dust: sensitises, that the species sensitises skin or lungs; genus, that others of
	// its genus do; unlisted, nothing in the lists used here, which does not prove it harmless
	Dust string `json:"dust" enums:"sensitises,genus,unlisted"`
	// Publication that says so
	DustSource string `json:"dust_source,omitzero"`
	// Change of a size across the growth rings for each percent of moisture, from 6 to 14 percent, as a share. This
	// figure and those below are absent where none is published or was at hand
	RadialCoefficient *SpeciesFigure `json:"radial_coefficient,omitzero"`
	// Change of a size along the growth rings, in the same way
	TangentialCoefficient *SpeciesFigure `json:"tangential_coefficient,omitzero"`
	// Shrinkage across the growth rings from green to ovendry, in percent
	RadialShrinkagePct *SpeciesFigure `json:"radial_shrinkage_pct,omitzero"`
	// Shrinkage along the growth rings, in the same way
	TangentialShrinkagePct *SpeciesFigure `json:"tangential_shrinkage_pct,omitzero"`
	// Shrinkage of the volume, in the same way
	VolumetricShrinkagePct *SpeciesFigure `json:"volumetric_shrinkage_pct,omitzero"`
	// Specific gravity: ovendry mass by the volume when green
	GravityGreen *SpeciesFigure `json:"gravity_green,omitzero"`
	// Specific gravity: ovendry mass by the volume at 12 percent of moisture
	Gravity12 *SpeciesFigure `json:"gravity_12,omitzero"`
}

// SpeciesFigure is a figure with where it stands.
type SpeciesFigure struct {
	// The figure
	Value float64 `json:"value"`
	// The publication and its table
	Source string `json:"source"`
	// Whether the publication, or a page that transcribes it, was read; false is from memory
	Confirmed bool `json:"confirmed"`
}

var dustNames = map[wood.Dust]string{wood.Sensitises: "sensitises", wood.OfItsGenus: "genus", wood.Unlisted: "unlisted"}

// speciesBody is the answer, which never changes.
var speciesBody = func() []byte {
	list := SpeciesList{Sources: []string{"names after the Wood Handbook, FPL-GTR-282", "gum class: common practice", "dust and figures: as each says"}}
	for _, s := range wood.All() {
		list.Species = append(list.Species, Species{
			Name: s.Name, Aliases: append([]string{}, s.Aliases...), WoodClass: calculator.WoodClass(s),
			Gum: calculator.GumNames[s.Gum], Dust: dustNames[s.Dust], DustSource: calculator.DustSources[s.DustSource],
			RadialCoefficient: figure(s.RadialCoefficient), TangentialCoefficient: figure(s.TangentialCoefficient),
			RadialShrinkagePct: figure(s.RadialShrinkage), TangentialShrinkagePct: figure(s.TangentialShrinkage),
			VolumetricShrinkagePct: figure(s.VolumetricShrinkage), GravityGreen: figure(s.GravityGreen), Gravity12: figure(s.Gravity12),
		})
	}
	return append(endpoint.JSONOf(list, length.Inch), '\n')
}()

// figure is a figure on the wire, nil if there is none.
func figure(f wood.Figure) *SpeciesFigure {
	if !f.Known() {
		return nil
	}
	return &SpeciesFigure{f.Value, f.Source, !f.FromMemory}
}

// showSpecies lists the species.
//
//	@Summary		Kinds of wood
//	@Description	The kinds of wood that requests can name, each with its aliases, the gum class that blade choice goes by, what is published about its dust, and the published figures of movement and weight, each with its source. A figure that is not published is left out.
//	@ID				species
//	@Tags			the shop
//	@Produce		json
//	@Success		200	{object}	SpeciesList
//	@Router			/v1/species [get]
func showSpecies(c echo.Context) error { return send(c, endpoint.JSON.MediaType, speciesBody) }
