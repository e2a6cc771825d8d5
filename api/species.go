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
	// By name
	Species []Species `json:"species"`
	// What the list rests on
	Sources []string `json:"sources"`
}

// Species is a kind of wood.
type Species struct {
	// Name that requests use, whatever the case
	Name string `json:"name"`
	// What requests may call it as well
	Aliases []string `json:"aliases"`
	// How much it clogs teeth with gum or resin
	Gum string `json:"gum" enums:"low,medium,high"`
	// What is published of its dust: sensitises, that the species sensitises skin or lungs; genus, that others of its
	// genus do; unlisted, nothing in the lists used here, which does not prove it harmless
	Dust string `json:"dust" enums:"sensitises,genus,unlisted"`
	// Where that was read
	DustSource string `json:"dust_source,omitzero"`
}

var dustNames = map[wood.Dust]string{wood.Sensitises: "sensitises", wood.OfItsGenus: "genus", wood.Unlisted: "unlisted"}

// speciesBody is the whole answer, which never changes.
var speciesBody = func() []byte {
	list := SpeciesList{Sources: []string{"names after the Wood Handbook, FPL-GTR-282", "gum class: common practice", "dust: as dust_source says of each"}}
	for _, s := range wood.All() {
		list.Species = append(list.Species, Species{
			s.Name, append([]string{}, s.Aliases...), calculator.GumNames[s.Gum], dustNames[s.Dust], calculator.DustSources[s.DustSource],
		})
	}
	return append(endpoint.AppendJSON(nil, list, length.Inch), '\n')
}()

// showSpecies lists the species.
//
//	@Summary		Kinds of wood
//	@Description	The kinds of wood that requests can name, each with its aliases, the gum class that blade choice goes by, and what is published of its dust.
//	@ID				species
//	@Tags			the shop
//	@Produce		json
//	@Success		200	{object}	SpeciesList
//	@Router			/v1/species [get]
func showSpecies(c echo.Context) error { return send(c, endpoint.JSON.MediaType, speciesBody) }
