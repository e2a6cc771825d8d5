package sheet

import (
	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
	"resawd/calc/price"
)

// lineTitles are the lines of a price as people read them.
var lineTitles = map[string]string{
	"wood": "Wood", "left_over": "Left over", "labour": "Labour", "overhead": "Overhead", "blade": "Blade",
	"consumables": "Consumables", "margin": "Margin",
}

// PriceLines are the lines of the price of the leaves that are not 0, with the total;
// none if the board has no price.
func (p runPage) PriceLines() (lines []figure) {
	if p.Price == nil {
		return nil
	}
	q := p.Price
	return append(quoteLines(q.Currency, q.Lines, q.Total),
		figure{"Each leaf", amountIn(q.Currency, q.LeafPrice)},
		figure{"Turned to dust", amountIn(q.Currency, q.DustValue)},
	)
}

// quoteLines are the lines of a quote that are not 0, with the total.
func quoteLines(currency string, quote []calculator.PriceLine, total endpoint.Money) (lines []figure) {
	for _, l := range quote {
		if l.Amount != 0 {
			lines = append(lines, figure{lineTitles[l.Name], amountIn(currency, l.Amount)})
		}
	}
	return append(lines, figure{"Total, " + currency, amountIn(currency, total)})
}

// amountIn writes an amount with the decimals of its currency.
func amountIn(currency string, amount endpoint.Money) string {
	return length.Length(amount).Fixed(endpoint.MoneyUnit, price.Decimals(currency))
}
