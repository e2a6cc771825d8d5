package calculator

import (
	"resawd/api/endpoint"
	"resawd/api/shop"
	"resawd/calc/length"
	"resawd/calc/plan"
	"resawd/calc/price"
)

// PlanPrice is what the leaves of a plan cost by the shop's rates.
type PlanPrice struct {
	// Currency of every amount
	Currency string `json:"currency"`
	// Wood, less the value of what is left over, labour and overhead by the time of the runs, blade and margin, in whole
	// minor units of the currency; they add up to the total
	Lines []PriceLine `json:"lines"`
	// Price to ask for the leaves
	Total endpoint.Money `json:"total"`
}

// planWork is what the runs of a plan take.
type planWork struct {
	seconds, areaMM2 float64
	known            bool // whether every billet has a run sheet
}

// add counts the run of a billet that as many boards have.
func (w *planWork) add(run *RunAnswer, copies int) {
	w.seconds += float64(copies) * run.Summary.RunSeconds
	w.areaMM2 += float64(copies) * float64(run.Summary.SawnArea)
}

// priced is the price of a plan's leaves. It is nil if a board that is taken has no
// price, or a billet no run sheet.
func (a *PlanAnswer) priced(c *endpoint.Call, q *PlanRequest, p *plan.Plan, work planWork) *PlanPrice {
	if len(p.Taken) == 0 || !work.known {
		return nil
	}
	job := price.Job{LeafCount: a.Stats.LeafCount, SetSize: 1, RunSeconds: work.seconds, SawnAreaMM2: work.areaMM2, Margin: endpoint.ValueOr(q.Margin, 0)}
	for _, t := range p.Taken {
		board := &q.Boards[t.Board]
		if board.Price == nil {
			return nil
		}
		job.WoodCost += price.Money(t.Copies) * price.Money(*board.Price)
	}
	for _, l := range a.LeftOver {
		if !l.TooThin {
			job.LeftOver += price.Money(l.Copies) * price.Money(l.Value)
		}
	}
	blade, _ := c.Shop.Blade(*q.Blade)
	quote, lines, err := quoted(c, blade, job)
	if err != nil {
		c.Warn("there is no price, since it cannot be computed here: " + err.Error())
		return nil
	}
	return &PlanPrice{c.Shop.Currency, lines, endpoint.Money(quote.Total)}
}

// quoted is the quote of a job by the shop's rates and the price and life of a blade.
func quoted(c *endpoint.Call, blade *shop.Blade, job price.Job) (price.Quote, []PriceLine, error) {
	job.Rates = price.Rates{LabourPerHour: price.Money(*money(c.Shop.Rates.LabourPerHour)), OverheadPerHour: price.Money(*money(c.Shop.Rates.OverheadPerHour))}
	job.Blade = price.Blade{Price: price.Money(*money(blade.Price)), LifeMM2: float64(*shopArea(c, blade.LifeArea))}
	quote, err := price.NewQuote(job, price.MinorUnit(c.Shop.Currency))
	if err != nil {
		return quote, nil, err
	}
	c.FromDemo("price")
	return quote, linesOf(quote), nil
}

// linesOf lists the lines of a quote.
func linesOf(quote price.Quote) (lines []PriceLine) {
	for i, amount := range quote.Lines {
		lines = append(lines, PriceLine{lineNames[i], endpoint.Money(amount)})
	}
	return lines
}

// billetPrices splits the price of a board among its billets, by their faces. Each is
// nil if the request gives no price.
func (q *PlanRequest) billetPrices(t plan.Taken) []*endpoint.Money {
	prices := make([]*endpoint.Money, len(t.Billets))
	board := &q.Boards[t.Board]
	if board.Price == nil || board.Width == nil || board.Length == nil {
		return prices
	}
	faces := make([]float64, len(t.Billets))
	for i, b := range t.Billets {
		faces[i] = b.Width.In(length.Millimetre) * b.Length.In(length.Millimetre)
	}
	shares, err := price.Shares(price.Money(*board.Price), faces)
	if err != nil {
		return prices
	}
	for i := range shares {
		prices[i] = new(endpoint.Money(shares[i]))
	}
	return prices
}
