package calculator

import (
	"math"

	"resawd/api/endpoint"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/price"
)

// PriceRequest asks what a job costs and what to ask for it.
type PriceRequest struct {
	Settings
	// What the boards cost
	WoodCost *endpoint.Money `json:"wood_cost,omitzero" validate:"required_without=BoardFootPrice,omitempty,gte=0"`
	// Price of a board foot, in place of wood_cost; needs board
	BoardFootPrice *endpoint.Money `json:"board_foot_price,omitzero" validate:"omitempty,gte=0"`
	// The board as it is sold, to find its board feet
	Board PriceBoard `json:"board,omitzero"`
	// Value of what is left over, which is credited
	LeftOverValue *endpoint.Money `json:"left_over_value,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// Share of the wood turned to dust, 0 to 1
	KerfShare *float64 `json:"kerf_share,omitzero" validate:"omitempty,gte=0,lte=1"`
	// Number of leaves to sell
	LeafCount *int `json:"leaf_count,omitzero" validate:"required,gte=1,lte=1000000"`
	// Number of leaves in a set
	SetSize *int `json:"set_size,omitzero" validate:"omitempty,gte=1,lte=1000000" absent:"1"`
	// Seconds of the run
	RunSeconds *float64 `json:"run_seconds,omitzero" validate:"required,gte=0,lte=100000000"`
	// Seconds of all other work: sanding, glueing, packing
	ExtraSeconds *float64 `json:"extra_seconds,omitzero" validate:"omitempty,gte=0,lte=100000000" absent:"0"`
	// Area of one face of every cut, in square units
	SawnArea *endpoint.Area `json:"sawn_area,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// Price of a blade; the blade's by default
	BladePrice *endpoint.Money `json:"blade_price,omitzero" validate:"omitempty,gte=0"`
	// Area that a blade saws before it is dull, in square units; the blade's by default
	BladeLifeArea *endpoint.Area `json:"blade_life_area,omitzero" validate:"omitempty,gt=0"`
	// Cost of tape, glue, screws and abrasives
	Consumables *endpoint.Money `json:"consumables,omitzero" validate:"omitempty,gte=0" absent:"0"`
	// What an hour of labour costs; the shop's by default
	LabourPerHour *endpoint.Money `json:"labour_per_hour,omitzero" validate:"omitempty,gte=0"`
	// What an hour of rent, power and the rest costs; the shop's by default
	OverheadPerHour *endpoint.Money `json:"overhead_per_hour,omitzero" validate:"omitempty,gte=0"`
	// Margin as a share of the price, 0 to 0.99
	Margin *float64 `json:"margin,omitzero" validate:"omitempty,gte=0,lte=0.99" absent:"0"`
	// Seconds of a pass beside its cut: handling, indexing and return; for pass_price
	PassSeconds *float64 `json:"pass_seconds,omitzero" validate:"omitempty,gte=0,lte=86400"`
	// Seconds to mount a billet, for billet_price
	SetupSeconds *float64 `json:"setup_seconds,omitzero" validate:"omitempty,gte=0,lte=86400"`
	// Speed of the board through the blade, for pass_length_price; 10 in a minute by default, 250 mm in a request in mm
	Feed *endpoint.Feed `json:"feed,omitzero" validate:"omitempty,gt=0"`
	// Height that stands in the blade, for pass_length_price
	StockHeight *length.Length `json:"stock_height,omitzero" validate:"omitempty,gt=0,within=..3m"`
}

// PriceBoard is a board as it is sold.
type PriceBoard struct {
	// Thickness of the board
	Thickness *length.Length `json:"thickness,omitzero" query:"board_thickness" validate:"omitempty,gt=0,within=..10m"`
	// Width of the board
	Width *length.Length `json:"width,omitzero" query:"board_width" validate:"omitempty,gt=0,within=..3m"`
	// Length of the board
	Length *length.Length `json:"length,omitzero" query:"board_length" validate:"omitempty,gt=0,within=..30m"`
}

// PriceAnswer is a quote.
type PriceAnswer struct {
	// Currency of every amount
	Currency string `json:"currency"`
	// What the job costs, in whole minor units of the currency; they add up to the total
	Lines []PriceLine `json:"lines"`
	// Price to ask
	Total endpoint.Money `json:"total"`
	// Price of one leaf, before rounding to minor units
	LeafPrice endpoint.Money `json:"leaf_price"`
	// Price of one set, before rounding to minor units
	SetPrice endpoint.Money `json:"set_price"`
	// Price of one leaf if the same boards gave one more
	LeafPriceOneMore endpoint.Money `json:"leaf_price_one_more"`
	// Cost of the dust: what a kerf of nothing would save
	DustValue *endpoint.Money `json:"dust_value,omitzero"`
	// Board feet by the tally of the trade
	TallyFeet *float64 `json:"tally_feet,omitzero"`
	// Exact board feet
	BoardFeet *float64 `json:"board_feet,omitzero"`
	// Cost of a pass whatever its length, as the plan takes it
	PassPrice *endpoint.Money `json:"pass_price,omitzero"`
	// Cost of each unit of a pass's length, as the plan takes it
	PassLengthPrice *endpoint.Money `json:"pass_length_price,omitzero"`
	// Cost of mounting a billet, as the plan takes it
	BilletPrice *endpoint.Money `json:"billet_price,omitzero"`
	// Every input, given or defaulted
	Used *PriceRequest `json:"used"`
	endpoint.Notes
}

// PriceLine is one line of a quote.
type PriceLine struct {
	// What the amount is for
	Name string `json:"name" enums:"wood,left_over,labour,overhead,blade,consumables,margin"`
	// The amount; negative where it is credited
	Amount endpoint.Money `json:"amount"`
}

// Table gives the rows that csv shows.
func (a *PriceAnswer) Table() any { return a.Lines }

var lineNames = []string{
	price.Wood: "wood", price.LeftOver: "left_over", price.Labour: "labour", price.Overhead: "overhead",
	price.BladeWear: "blade", price.Consumables: "consumables", price.Margin: "margin",
}

// Price answers what to ask.
//
//	@Summary		What a job costs, and what to ask for it
//	@Description	Gives the lines of a quote (wood with what is left over, labour, overhead, the blade by the area it sawed, consumables, margin) in whole minor units of the currency that add up to the total, the price of a leaf and of a set, the money in the dust, and what a pass and a mounted billet cost in this shop, as the plan takes them.
//	@ID				price
//	@Tags			after the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		PriceRequest	true	"The fields of the calculator"
//	@Success		200		{object}	PriceAnswer
//	@Router			/v1/price [post]
func Price(c *endpoint.Call, q *PriceRequest) (*PriceAnswer, error) {
	fillPrice(c, q)
	a := &PriceAnswer{Currency: c.Shop.Currency, Used: q}
	if err := fault.First(c.Checked(), a.buy(c, q)); err != nil {
		return nil, err
	}
	job := price.Job{
		Rates: price.Rates{LabourPerHour: price.Money(*q.LabourPerHour), OverheadPerHour: price.Money(*q.OverheadPerHour)},
		Blade: price.Blade{Price: price.Money(*q.BladePrice), LifeMM2: float64(*q.BladeLifeArea)}, SawnAreaMM2: float64(*q.SawnArea),
		WoodCost: price.Money(*q.WoodCost), LeftOver: price.Money(*q.LeftOverValue), KerfShare: endpoint.ValueOr(q.KerfShare, 0),
		LeafCount: *q.LeafCount, SetSize: *q.SetSize, RunSeconds: *q.RunSeconds, ExtraSeconds: *q.ExtraSeconds,
		Consumables: price.Money(*q.Consumables), Margin: *q.Margin,
	}
	quote, err := price.NewQuote(job, price.MinorUnit(c.Shop.Currency))
	if err != nil {
		return nil, err
	}
	a.Lines = linesOf(quote)
	a.Total, a.LeafPrice, a.SetPrice, a.LeafPriceOneMore = endpoint.Money(quote.Total), endpoint.Money(quote.LeafPrice), endpoint.Money(quote.SetPrice), endpoint.Money(quote.OneMore)
	if q.KerfShare != nil {
		a.DustValue = new(endpoint.Money(quote.Dust))
	}
	a.Sources = append(a.Sources,
		"total = cost / (1 - margin); labour and overhead by the seconds, the blade by its sawn area over its life (definition)",
		"minor unit of the currency: ISO 4217; lines rounded by largest remainders",
	)
	err = a.passes(c, q, job)
	return a, err
}

func fillPrice(c *endpoint.Call, q *PriceRequest) {
	_, blade := machine(c, &q.Settings)
	fill(c, "blade_price", &q.BladePrice, money(blade.Price), blade.owner)
	fill(c, "blade_life_area", &q.BladeLifeArea, shopArea(c, blade.LifeArea), blade.owner)
	fill(c, "labour_per_hour", &q.LabourPerHour, money(c.Shop.Rates.LabourPerHour), theShop)
	fill(c, "overhead_per_hour", &q.OverheadPerHour, money(c.Shop.Rates.OverheadPerHour), theShop)
	if q.StockHeight != nil {
		orDefault(&q.Feed, defaultFeed(c))
	} else if q.Feed != nil {
		c.Refuse("feed", "conflict", "has no effect without stock_height")
	}
	board := q.Board != PriceBoard{}
	switch {
	case q.BoardFootPrice == nil && board:
		c.Refuse("board", "conflict", "has no effect without board_foot_price")
	case q.BoardFootPrice != nil && (q.Board.Thickness == nil || q.Board.Width == nil || q.Board.Length == nil):
		c.Refuse("board", "required", "needs its thickness, width and length for a price by the board foot")
	}
}

// money is an amount of the shop file.
func money(amount *float64) *endpoint.Money {
	return new(endpoint.Money(math.Round(*amount * float64(endpoint.MoneyUnit))))
}

// buy prices a board by its board feet.
func (a *PriceAnswer) buy(c *endpoint.Call, q *PriceRequest) error {
	if q.BoardFootPrice == nil || q.Board.Thickness == nil || q.Board.Width == nil || q.Board.Length == nil {
		return nil
	}
	board := price.Board{Thickness: *q.Board.Thickness, Width: *q.Board.Width, Length: *q.Board.Length}
	exact, err := price.BoardFeet(board)
	tally, err2 := price.Tally(board)
	a.BoardFeet, a.TallyFeet = &exact, &tally
	cost := endpoint.Money(math.Round(float64(*q.BoardFootPrice) * tally))
	if orDefault(&q.WoodCost, cost); *q.WoodCost != cost {
		c.Refuse("wood_cost", "conflict", "is "+q.WoodCost.Tell(c.Unit)+", while the board comes to "+cost.Tell(c.Unit)+" by board_foot_price: give one of the two")
	}
	a.Sources = append(a.Sources, "tally of board feet: National Hardwood Lumber Association, as in americanhardwood.org (grading sawn lumber, measurement)")
	return fault.First(err, err2)
}

// passes adds the prices that a plan takes, as far as the request says what they rest
// on.
func (a *PriceAnswer) passes(c *endpoint.Call, q *PriceRequest, job price.Job) error {
	pass := price.Pass{
		Rates: job.Rates, Blade: job.Blade, PassSeconds: endpoint.ValueOr(q.PassSeconds, 0), SetupSeconds: endpoint.ValueOr(q.SetupSeconds, 0),
		Feed: feed.Speed(endpoint.ValueOr(q.Feed, defaultFeed(c))), StockHeight: endpoint.ValueOr(q.StockHeight, length.Inch),
	}
	prices, err := price.Passes(pass, c.Unit)
	if err != nil {
		return err
	}
	if q.PassSeconds != nil {
		a.PassPrice = new(endpoint.Money(prices.Pass))
	}
	if q.StockHeight != nil {
		a.PassLengthPrice = new(endpoint.Money(prices.Length))
	}
	if q.SetupSeconds != nil {
		a.BilletPrice = new(endpoint.Money(prices.Billet))
	}
	return nil
}
