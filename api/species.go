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
	// How much it clogs teeth with gum or resin
	Gum string `json:"gum" enums:"low,medium,high"`
}

// speciesBody is the whole answer, which never changes.
var speciesBody = func() []byte {
	list := SpeciesList{Sources: []string{"names after the Wood Handbook, FPL-GTR-282", "gum class: common practice"}}
	for _, s := range wood.All() {
		list.Species = append(list.Species, Species{s.Name, calculator.GumNames[s.Gum]})
	}
	return append(endpoint.AppendJSON(nil, list, length.Inch), '\n')
}()

// showSpecies lists the species.
//
//	@Summary		The species there are
//	@Description	The kinds of wood that requests can name, with the gum class that blade choice goes by.
//	@ID				species
//	@Tags			the shop
//	@Produce		json
//	@Success		200	{object}	SpeciesList
//	@Router			/v1/species [get]
func showSpecies(c echo.Context) error { return send(c, endpoint.JSON.MediaType, speciesBody) }
