package calculator

import (
	"fmt"
	"math"
	"strconv"

	"resawd/api/endpoint"
	"resawd/api/rule"
	"resawd/api/shop"
	"resawd/calc/blade"
	"resawd/calc/feed"
	"resawd/calc/length"
	"resawd/calc/wood"
)

// BladeRequest asks which of the shop's blades suits a cut.
type BladeRequest struct {
	Settings
	// Height that stands in the blade
	StockHeight *length.Length `json:"stock_height,omitzero" validate:"required,gt=0,within=..3m"`
	// What the blade is to do
	Operation *string `json:"operation,omitzero" validate:"omitempty,oneof=resaw rip crosscut" default:"resaw"`
	// Kind of wood, for its gum class; in place of gum
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How much the wood clogs teeth with gum or resin
	Gum *string `json:"gum,omitzero" validate:"omitempty,oneof=low medium high" default:"low"`
	// What matters most
	Goal *string `json:"goal,omitzero" validate:"omitempty,oneof=finish recovery speed" default:"finish"`
	// Thickness of a leaf, for what the kerf costs; 0.05 in by default
	LeafThickness *length.Length `json:"leaf_thickness,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Speed of the board through the blade, length a minute; 10 in a minute by default
	Feed *endpoint.Feed `json:"feed,omitzero" validate:"omitempty,gt=0"`
	// Price of the board, for the money in the dust
	BoardPrice *endpoint.Money `json:"board_price,omitzero" validate:"omitempty,gte=0"`
}

// BladeAnswer is teeth and blades.
type BladeAnswer struct {
	// The fewest teeth per inch that suit
	TPILow float64 `json:"tpi_low"`
	// The most that suit
	TPIHigh float64 `json:"tpi_high"`
	// Of kerf_cost, where board_price is given
	Currency string `json:"currency,omitzero"`
	// The shop's blades, those that suit first
	Ranking []RankedBlade `json:"ranking"`
	// Where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *BladeRequest `json:"used"`
	endpoint.Notes
}

// RankedBlade is a blade with what speaks for and against it.
type RankedBlade struct {
	// Name in the shop file
	Blade string `json:"blade"`
	// Whether its teeth and its width are right
	Suits bool `json:"suits"`
	// From 0 to 1: teeth, width, tooth and goal in equal parts
	Score float64 `json:"score"`
	// What speaks for and against it
	Reasons []string `json:"reasons"`
	// Its kerf
	Kerf length.Length `json:"kerf"`
	// Share of the wood that its kerf turns to dust
	KerfLoss float64 `json:"kerf_loss"`
	// That share of board_price
	KerfCost *endpoint.Money `json:"kerf_cost,omitzero"`
}

// Table gives the rows that csv shows.
func (a *BladeAnswer) Table() any { return a.Ranking }

var (
	operations = map[string]blade.Operation{"resaw": blade.Resaw, "rip": blade.Rip, "crosscut": blade.Crosscut}
	goals      = map[string]blade.Goal{"finish": blade.Finish, "recovery": blade.Recovery, "speed": blade.Speed}
	forms      = map[string]blade.Form{"standard": blade.Regular, "skip": blade.Skip, "hook": blade.Hook}
	gums       = map[string]blade.Gum{"low": blade.LowGum, "medium": blade.MediumGum, "high": blade.HighGum}
)

// GumNames are the gum classes as the wire names them.
var GumNames = map[blade.Gum]string{blade.LowGum: "low", blade.MediumGum: "medium", blade.HighGum: "high"}

// Blade answers which blade to mount.
//
//	@Summary		Which blade to mount
//	@Description	Gives the teeth per inch that suit a stock height, a wood and a feed, and ranks the blades of the shop file with reasons, the share of the wood that each turns to dust and the money in it. All of it is common practice: teeth and feed are chosen together, and the table holds for a slow feed.
//	@ID				blade
//	@Tags			before the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		BladeRequest	true	"The fields of the calculator"
//	@Success		200		{object}	BladeAnswer
//	@Router			/v1/blade [post]
func Blade(c *endpoint.Call, q *BladeRequest) (*BladeAnswer, error) {
	saw, _ := machine(c, &q.Settings)
	orDefault(&q.Operation, "resaw")
	orDefault(&q.Goal, "finish")
	orDefault(&q.LeafThickness, 50*length.Thou)
	orDefault(&q.Feed, endpoint.Feed(10*length.Inch))
	fillGum(c, q)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	cut := blade.Cut{
		StockHeight: *q.StockHeight, LeafThickness: *q.LeafThickness, Feed: feed.Speed(*q.Feed),
		Operation: operations[*q.Operation], Gum: gums[*q.Gum], Goal: goals[*q.Goal],
	}
	teeth, err := blade.TeethPerInch(cut.StockHeight, cut.Operation, cut.Gum, cut.Feed)
	if err != nil {
		return nil, err
	}
	if q.Saw != nil && cut.StockHeight > *saw.CuttingHeight {
		c.Warn("the saw " + saw.Name + " takes stock up to " + c.Show(*saw.CuttingHeight) + " high")
	}
	ranking, err := blade.Rank(bladesOf(c.Shop, q.Blade), cut)
	if err != nil {
		return nil, err
	}
	a := &BladeAnswer{TPILow: teeth.Low, TPIHigh: teeth.High, Ranking: make([]RankedBlade, len(ranking)), Cautions: sawCautions(woodOf(q.Species)...), Used: q}
	for i, r := range ranking {
		a.Ranking[i] = ranked(c, r, q.BoardPrice)
	}
	if q.BoardPrice != nil {
		a.Currency = c.Shop.Currency
	}
	c.FromDemo("ranking")
	a.Sources = []string{
		"teeth per inch by stock height, feed and gum; form, tip and width of blades: common practice",
		"skip teeth for resawing: Oklahoma State University Extension NREM-5046",
		"kerf_loss = kerf / (kerf + leaf) (definition)",
	}
	return a, nil
}

// fillGum finds the gum class of a request by its species, unless it gives it.
func fillGum(c *endpoint.Call, q *BladeRequest) {
	if q.Species == nil {
		orDefault(&q.Gum, "low")
		return
	}
	if q.Gum != nil {
		c.Refuse("gum", "conflict", "cannot be given together with species, which has a gum class of its own")
		return
	}
	species, ok := wood.Find(*q.Species)
	if !ok {
		c.Refuse("species", "unknown_name", fmt.Sprintf("is %q, which is not in the table at /v1/species: give gum instead", *q.Species))
		return
	}
	gum := GumNames[species.Gum]
	q.Gum = &gum
}

// bladesOf gives the shop's blades as the calculation takes them, or only the
// one that is named.
func bladesOf(s *shop.Shop, only *string) []blade.Blade {
	var blades []blade.Blade
	for _, b := range s.Blades {
		if only == nil || *only == b.Name {
			blades = append(blades, blade.Blade{
				Name: b.Name, Width: *b.Width, BodyThickness: *b.BodyThickness, Kerf: *b.Kerf, TPI: *b.TPI,
				Form: forms[b.ToothForm], Carbide: b.Carbide,
			})
		}
	}
	return blades
}

func ranked(c *endpoint.Call, r blade.Ranked, boardPrice *endpoint.Money) RankedBlade {
	out := RankedBlade{Blade: r.Name, Suits: r.Suits, Score: r.Score, Reasons: make([]string, len(r.Reasons)), Kerf: r.Kerf, KerfLoss: r.Loss}
	for i, reason := range r.Reasons {
		out.Reasons[i] = reasonWords(c, reason)
	}
	if boardPrice != nil {
		out.KerfCost = new(endpoint.Money(math.Round(float64(*boardPrice) * r.Loss)))
	}
	return out
}

// reason words what speaks for or against a blade.
func reasonWords(c *endpoint.Call, r blade.Reason) string {
	value, limit := rule.Show(r.Value, c.Unit), rule.Show(r.Limit, c.Unit)
	switch r.Kind {
	case blade.TeethRight:
		return value + " teeth per inch suit"
	case blade.TeethTooFine:
		return value + " teeth per inch clog: at most " + limit + " suit"
	case blade.TeethTooCoarse:
		return value + " teeth per inch are rough: at least " + limit + " suit"
	case blade.WidthRight:
		return "a width of " + value + " keeps straight"
	case blade.WidthTooSmall:
		return "a width of " + value + " wanders: at least " + limit + " is wanted"
	case blade.FormClogs:
		return "standard teeth clog in gummy wood: skip or hook teeth are wanted"
	case blade.FormRough:
		return "skip and hook teeth are rough across the grain"
	case blade.CarbideRough:
		return "carbide tips are wider and rougher: kept for very dense or gummy wood"
	case blade.CarbideWanted:
		return "steel teeth dull soon in gummy wood: carbide lasts"
	case blade.KerfLost:
		loss, _ := r.Value.(float64)
		return "its kerf turns " + strconv.FormatFloat(100*loss, 'f', 0, 64) + " % of the wood to dust"
	}
	return value
}
