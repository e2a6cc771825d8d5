package sheet

// PriceLines are the lines of the price of a plan's leaves, with the total; none if the
// plan has no price.
func (p planPage) PriceLines() []figure {
	if p.Price == nil {
		return nil
	}
	return quoteLines(p.Price.Currency, p.Price.Lines, p.Price.Total)
}

// priceFacts are the same for a workbook.
func (a planned) priceFacts() (list []fact) {
	if a.Price == nil {
		return nil
	}
	for _, l := range a.Price.Lines {
		if l.Amount != 0 {
			list = append(list, fact{"Price: " + lineTitles[l.Name], l.Amount, a.Price.Currency})
		}
	}
	return append(list, fact{"Price: total", a.Price.Total, a.Price.Currency})
}
