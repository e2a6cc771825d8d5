package calculator

import (
	"fmt"
	"strconv"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/wood"
)

// MoistureRequest asks how wood moves and what it weighs.
type MoistureRequest struct {
	Settings
	// Kind of wood, for its figures; without it the answer has only the equilibrium
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How the board was sawn from the log: flatsawn width runs along the growth rings, quartersawn across them
	Sawn *string `json:"sawn,omitzero" validate:"omitempty,oneof=flat quarter" absent:"flat"`
	// Temperature of the air in degrees Celsius; the shop's by default
	TemperatureC *float64 `json:"temperature_c,omitzero" validate:"omitempty,gte=-1.1,lte=132.2"`
	// Temperature of the air in degrees Fahrenheit
	TemperatureF *float64 `json:"temperature_f,omitzero" validate:"omitempty,gte=30,lte=270"`
	// Relative humidity of the air in percent; the shop's by default
	HumidityPct *float64 `json:"humidity_pct,omitzero" validate:"omitempty,gte=5,lte=95"`
	// Moisture content of the wood in percent, in place of humidity_pct
	MoisturePct *float64 `json:"moisture_pct,omitzero" validate:"omitempty,gte=0,lte=250"`
	// Temperature where the wood goes, in degrees Celsius; the same by default
	ToTemperatureC *float64 `json:"to_temperature_c,omitzero" validate:"omitempty,gte=-1.1,lte=132.2"`
	// Temperature where the wood goes, in degrees Fahrenheit
	ToTemperatureF *float64 `json:"to_temperature_f,omitzero" validate:"omitempty,gte=30,lte=270"`
	// Relative humidity where the wood goes, in percent
	ToHumidityPct *float64 `json:"to_humidity_pct,omitzero" validate:"omitempty,gte=5,lte=95"`
	// Moisture content that the wood comes to, in percent, in place of to_humidity_pct
	ToMoisturePct *float64 `json:"to_moisture_pct,omitzero" validate:"omitempty,gte=0,lte=250"`
	// Width of the piece
	Width *length.Length `json:"width,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Thickness of the piece
	Thickness *length.Length `json:"thickness,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Length of the piece, for its mass
	Length *length.Length `json:"length,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Number of pieces
	Count *int `json:"count,omitzero" validate:"omitempty,gte=1,lte=10000" absent:"1"`
}

// MoistureAnswer is moisture, movement and mass.
type MoistureAnswer struct {
	// Moisture content of the wood in percent: that of its equilibrium, or as given
	EMCPct float64 `json:"emc_pct"`
	// Relative humidity in percent that keeps wood at moisture_pct; absent where no air of 5 to 95 percent does
	HumidityHeldPct *float64 `json:"humidity_held_pct,omitzero"`
	// Moisture content that the wood comes to, in percent
	ToEMCPct *float64 `json:"to_emc_pct,omitzero"`
	// How much the width changes; absent without a published figure
	WidthChange *length.Length `json:"width_change,omitzero"`
	// How much the thickness changes; absent without a published figure
	ThicknessChange *length.Length `json:"thickness_change,omitzero"`
	// Density at emc_pct in kg/m3; absent without a published figure
	DensityKGM3 *float64 `json:"density_kg_m3,omitzero"`
	// Mass of one piece in kg
	MassKG *float64 `json:"mass_kg,omitzero"`
	// Mass of all pieces in kg
	TotalMassKG *float64 `json:"total_mass_kg,omitzero"`
	// Every input, given or defaulted
	Used *MoistureRequest `json:"used"`
	endpoint.Notes
}

// Moisture answers how wood moves.
//
//	@Summary		How wood moves with the air, and what it weighs
//	@Description	Gives the equilibrium moisture content from temperature and humidity (and the humidity from a moisture content), how much width and thickness of a piece change on the way to another climate, and its density and mass, by the figures of the Wood Handbook. A species without a published figure says so and gets none.
//	@ID				moisture
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		MoistureRequest	true	"The fields of the calculator"
//	@Success		200		{object}	MoistureAnswer
//	@Router			/v1/moisture [post]
func Moisture(c *endpoint.Call, q *MoistureRequest) (*MoistureAnswer, error) {
	fillMoisture(c, q)
	species, known := speciesOf(c, q.Species)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	a := &MoistureAnswer{Used: q}
	a.Sources = []string{"equilibrium moisture content: Wood Handbook eq. 4-5 (FPL-GTR-282, p. 4-3); a tenth of a percent is not physically meaningful"}
	t := celsius(q.TemperatureC, q.TemperatureF)
	var err error
	if a.EMCPct, err = emc(t, q.HumidityPct, q.MoisturePct); err != nil {
		return nil, err
	}
	if held, err := wood.Humidity(t, a.EMCPct); err == nil && q.MoisturePct != nil {
		a.HumidityHeldPct = &held
	}
	if known {
		if err := a.addMass(c, q, species); err != nil {
			return nil, err
		}
	}
	if q.ToHumidityPct == nil && q.ToMoisturePct == nil {
		return a, nil
	}
	to, err := emc(celsius(q.ToTemperatureC, q.ToTemperatureF), q.ToHumidityPct, q.ToMoisturePct)
	if err != nil {
		return nil, endpoint.At("to_", err)
	}
	a.ToEMCPct = &to
	if known {
		err = a.addMovement(c, q, species)
	}
	return a, err
}

// fillMoisture fills in the shop's climate, and refuses what is given twice.
func fillMoisture(c *endpoint.Call, q *MoistureRequest) {
	machine(c, &q.Settings)
	for _, pair := range []struct {
		a, b  bool
		names [2]string
	}{
		{q.TemperatureC != nil, q.TemperatureF != nil, [2]string{"temperature_c", "temperature_f"}},
		{q.HumidityPct != nil, q.MoisturePct != nil, [2]string{"humidity_pct", "moisture_pct"}},
		{q.ToTemperatureC != nil, q.ToTemperatureF != nil, [2]string{"to_temperature_c", "to_temperature_f"}},
		{q.ToHumidityPct != nil, q.ToMoisturePct != nil, [2]string{"to_humidity_pct", "to_moisture_pct"}},
	} {
		if pair.a && pair.b {
			c.Refuse(pair.names[0], "conflict", "cannot be given together with "+pair.names[1]+": they say the same thing")
		}
	}
	if q.ToHumidityPct == nil && q.ToMoisturePct == nil && (q.ToTemperatureC != nil || q.ToTemperatureF != nil) {
		c.Refuse("to_humidity_pct", "required", "is missing: give it or to_moisture_pct beside a temperature")
	}
	if q.TemperatureF == nil {
		fill(c, "temperature_c", &q.TemperatureC, c.Shop.Climate.TemperatureC, theShop)
	}
	if q.TemperatureC == nil && q.TemperatureF == nil {
		c.Refuse("temperature_c", "required", "is missing: give it or temperature_f, since the shop file has no climate")
	}
	if q.MoisturePct == nil {
		fill(c, "humidity_pct", &q.HumidityPct, c.Shop.Climate.HumidityPct, theShop)
	}
	if q.HumidityPct == nil && q.MoisturePct == nil {
		c.Refuse("humidity_pct", "required", "is missing: give it or moisture_pct, since the shop file has no climate")
	}
	if q.ToTemperatureC == nil && q.ToTemperatureF == nil && q.ToHumidityPct != nil {
		q.ToTemperatureC, q.ToTemperatureF = q.TemperatureC, q.TemperatureF
	}
}

// celsius is a temperature that was given in either scale.
func celsius(c, f *float64) float64 {
	if c == nil && f != nil {
		return wood.Celsius(*f)
	}
	return endpoint.ValueOr(c, 0)
}

// emc is the moisture content given, or else that of wood in equilibrium with the air.
func emc(temperatureC float64, humidity, moisture *float64) (float64, error) {
	if moisture != nil {
		return *moisture, nil
	}
	return wood.EquilibriumMoisture(temperatureC, *humidity)
}

// speciesOf finds a species in the table. One that is asked for and not there is a
// fault.
func speciesOf(c *endpoint.Call, name *string) (wood.Species, bool) {
	if name == nil {
		return wood.Species{}, false
	}
	species, ok := wood.Find(*name)
	if !ok {
		c.Refuse("species", "unknown_name", noOneWood(*name))
	}
	return species, ok
}

// noOneWood says why a name stands for no wood: nobody knows it, or several woods have
// it.
func noOneWood(name string) string {
	meant := wood.Meant(name)
	if len(meant) == 0 {
		return fmt.Sprintf("is %q, which is not in the table at /v1/species", name)
	}
	names := make([]string, len(meant))
	for i, s := range meant {
		names[i] = strconv.Quote(s.Name)
	}
	return fmt.Sprintf("is %q, which several woods are called: give %s", name, rule.Alternatives(names))
}

// addMass adds density and mass.
func (a *MoistureAnswer) addMass(c *endpoint.Call, q *MoistureRequest, species wood.Species) error {
	density, ok, err := species.Density(a.EMCPct)
	if err != nil {
		return err
	}
	if !ok {
		c.Warn("no specific gravity of " + species.Name + " is published in the tables used here, or it was not at hand: no density and no mass")
		return nil
	}
	a.DensityKGM3 = &density
	a.Sources = append(a.Sources, "density = 1000 G (1 + moisture) with G at that moisture (Wood Handbook, FPL-GTR-190, p. 4-10 to 4-12); G of "+species.Name+": "+figureWords(gravityOf(species)))
	if q.Width == nil || q.Thickness == nil || q.Length == nil {
		return nil
	}
	mass, err := wood.Mass(density, *q.Thickness, *q.Width, *q.Length)
	a.MassKG, a.TotalMassKG = &mass, new(mass*float64(*q.Count))
	return err
}

func gravityOf(s wood.Species) wood.Figure {
	if s.Gravity12.Known() {
		return s.Gravity12
	}
	return s.GravityGreen
}

// addMovement adds how width and thickness change.
func (a *MoistureAnswer) addMovement(c *endpoint.Call, q *MoistureRequest, species wood.Species) error {
	across, through := wood.Tangential, wood.Radial
	if *q.Sawn == "quarter" {
		across, through = through, across
	}
	err := a.move(c, "width", species, across, q.Width, &a.WidthChange)
	err2 := a.move(c, "thickness", species, through, q.Thickness, &a.ThicknessChange)
	return fault.First(err, err2)
}

var directions = map[wood.Direction]string{wood.Tangential: "tangential", wood.Radial: "radial"}

// move adds how one size changes, and the figure that this rests on.
func (a *MoistureAnswer) move(c *endpoint.Call, field string, species wood.Species, d wood.Direction, size *length.Length, to **length.Length) error {
	if size == nil {
		return nil
	}
	moved, err := species.Movement(*size, d, a.EMCPct, *a.ToEMCPct)
	if err != nil {
		return err
	}
	what := directions[d] + " figure of " + species.Name
	switch moved.Method {
	case wood.NoFigure:
		c.Warn("no " + what + " is published in the tables used here, or it was not at hand: the change of " + field + " is not given")
		return nil
	case wood.BeyondTheRange:
		c.Warn("the " + what + " holds between 6 and 14 percent of moisture only: the change of " + field + " is not given")
		return nil
	case wood.ByCoefficient:
		a.Sources = append(a.Sources, field+" change = size x coefficient x moisture change, from 6 to 14 percent (Wood Handbook eq. 13-2, FPL-GTR-190); "+what+": "+figureWords(moved.Figure))
	case wood.ByShrinkage:
		a.Sources = append(a.Sources, field+" change by total shrinkage, from 30 percent down (Wood Handbook eq. 13-3, FPL-GTR-190, its form from memory); "+what+": "+figureWords(moved.Figure))
	}
	*to = &moved.Change
	return nil
}

// figureWords writes a figure with its source.
func figureWords(f wood.Figure) string {
	text := fmt.Sprint(f.Value, ", ", f.Source)
	if f.FromMemory {
		text += ", from memory: unconfirmed"
	}
	return text
}
