package sheet

import (
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/price"
)

// lineTitles are the lines of a price as people read them.
var lineTitles = map[string]string{
	"wood": "Wood", "left_over": "Left over", "labour": "Labour", "overhead": "Overhead", "blade": "Blade",
	"consumables": "Consumables", "margin": "Margin",
}

// PriceLines are the lines of the price of the leaves that are not nothing, with the
// total; none where the board has no price.
func (p runPage) PriceLines() (lines []figure) {
	if p.Price == nil {
		return nil
	}
	show := func(amount endpoint.Money) string {
		return length.Length(amount).Fixed(endpoint.MoneyUnit, price.Decimals(p.Price.Currency))
	}
	for _, l := range p.Price.Lines {
		if l.Amount != 0 {
			lines = append(lines, figure{lineTitles[l.Name], show(l.Amount)})
		}
	}
	return append(lines,
		figure{"Total, " + p.Price.Currency, show(p.Price.Total)},
		figure{"Each leaf", show(p.Price.LeafPrice)},
		figure{"Turned to dust", show(p.Price.DustValue)},
	)
}
