package wood

import (
	"resawd/calc/fault"
)

// Limits of the equilibrium: those of the printed table, 30 to 270 degF and 5 to
// 95 percent of humidity.
const (
	minHumidity = 5.0
	maxHumidity = 95.0
)

var (
	minTemperature = Celsius(30)
	maxTemperature = Celsius(270)
)

// Celsius gives degrees Celsius from degrees Fahrenheit.
//
// Source: definition: NIST Special Publication 811, appendix B.8.
func Celsius(fahrenheit float64) float64 { return (fahrenheit - 32) / 1.8 }

// EquilibriumMoisture gives the moisture content, in percent of the ovendry mass,
// that wood comes to in air of a temperature and a relative humidity.
//
// Source: Glass and Zelinka, Wood Handbook chapter 4, FPL-GTR-282 (2021) p. 4-3,
// eq. 4-5, in degrees Celsius; fitted by Simpson, Wood and Fiber 5(1) (1973) 41-49.
// Valid: -1.1 to 132.2 degrees Celsius (30 to 270 degrees Fahrenheit), 5 to 95
// percent: the span of table 4-2, which was calculated by it.
// Accuracy: a tenth of a percent is not physically meaningful; wood that dries
// stays above it and wood that takes up water below, 1 to 4 percent apart at 50
// percent of humidity; species differ at high humidity.
func EquilibriumMoisture(temperatureC, humidityPct float64) (pct float64, err error) {
	if err := fault.First(
		fault.Within("temperature c", temperatureC, minTemperature, maxTemperature),
		fault.Within("humidity pct", humidityPct, minHumidity, maxHumidity),
	); err != nil {
		return 0, err
	}
	return equilibrium(temperatureC, humidityPct/100), nil
}

// equilibrium is eq. 4-5, in its own letters; h is a share.
func equilibrium(t, h float64) float64 {
	w := 349 + 1.29*t + 0.0135*t*t
	k := 0.805 + 0.000736*t - 0.00000273*t*t
	k1 := 6.27 - 0.00938*t - 0.000303*t*t
	k2 := 1.91 + 0.0407*t - 0.000293*t*t
	kh := k * h
	return 1800 / w * (kh/(1-kh) + (k1*kh+2*k1*k2*kh*kh)/(1+k1*kh+k1*k2*kh*kh))
}

// Humidity gives the relative humidity, in percent, at which wood comes to a
// moisture content: [EquilibriumMoisture] the other way.
//
// Source: eq. 4-5 as in [EquilibriumMoisture], solved by halving.
// Valid: the temperatures of [EquilibriumMoisture], and a moisture content that
// it gives there.
func Humidity(temperatureC, moisturePct float64) (pct float64, err error) {
	if err := fault.Within("temperature c", temperatureC, minTemperature, maxTemperature); err != nil {
		return 0, err
	}
	at := func(pct float64) float64 { return equilibrium(temperatureC, pct/100) }
	low, high := minHumidity, maxHumidity
	if err := fault.Because(
		fault.Within("moisture pct", moisturePct, at(low), at(high)), "what air of 5 to 95 percent humidity gives at this temperature",
	); err != nil {
		return 0, err
	}
	for range 60 { // digitswap: as many as a float64 has bits, or some more
		if middle := (low + high) / 2; at(middle) < moisturePct {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}
