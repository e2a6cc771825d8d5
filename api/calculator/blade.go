package calculator

import (
	"fmt"
	"math"
	"strconv"
	"strings"

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
	Operation *string `json:"operation,omitzero" validate:"omitempty,oneof=resaw rip crosscut" absent:"resaw"`
	// Kind of wood, for its gum class; a wood that is not in the table has none
	Species *string `json:"species,omitzero" validate:"omitempty,max=60"`
	// How much the wood clogs teeth with gum or resin; that of the species by default, otherwise unknown
	Gum *string `json:"gum,omitzero" validate:"omitempty,oneof=low medium high unknown"`
	// What matters most
	Goal *string `json:"goal,omitzero" validate:"omitempty,oneof=finish recovery speed" absent:"finish"`
	// Thickness of a leaf, to find what the kerf costs
	LeafThickness *length.Length `json:"leaf_thickness,omitzero" validate:"omitempty,gt=0,within=..1m" absent:"0.05in"`
	// Speed of the board through the blade, in length a minute
	Feed *endpoint.Feed `json:"feed,omitzero" validate:"omitempty,gt=0" absent:"10 in/min" metric:"250 mm/min"`
	// Price of the board, to find the money in the dust
	BoardPrice *endpoint.Money `json:"board_price,omitzero" validate:"omitempty,gte=0"`
}

// BladeAnswer is teeth and blades.
type BladeAnswer struct {
	// The coarsest teeth per inch of the practice table; coarser ones cut fast and leave a rougher face
	TPILow float64 `json:"tpi_low"`
	// The finest teeth per inch of the practice table; finer ones clog
	TPIHigh float64 `json:"tpi_high"`
	// Currency of kerf_cost; present with board_price
	Currency string `json:"currency,omitzero"`
	// The shop's blades, those that suit first
	Ranking []RankedBlade `json:"ranking"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *BladeRequest `json:"used"`
	endpoint.Notes
}

// RankedBlade is a blade with what speaks for and against it.
type RankedBlade struct {
	// Name in the shop file
	Blade string `json:"blade"`
	// Whether its teeth are not too fine, it is wide enough to keep straight, and the saw takes it
	Suits bool `json:"suits"`
	// Score from 0 to 1: half for a blade that suits, and the rest for teeth, width, tooth form and goal in equal parts
	Score float64 `json:"score"`
	// What speaks for and against it
	Reasons []string `json:"reasons"`
	// Kerf of the blade
	Kerf length.Length `json:"kerf"`
	// Share of the wood that its kerf turns to dust
	KerfLoss float64 `json:"kerf_loss"`
	// Share of board_price that its kerf turns to dust
	KerfCost *endpoint.Money `json:"kerf_cost,omitzero"`
}

// Table gives the rows that csv shows.
func (a *BladeAnswer) Table() any { return a.Ranking }

var (
	operations = map[string]blade.Operation{"resaw": blade.Resaw, "rip": blade.Rip, "crosscut": blade.Crosscut}
	goals      = map[string]blade.Goal{"finish": blade.Finish, "recovery": blade.Recovery, "speed": blade.Speed}
	forms      = map[string]blade.Form{"standard": blade.Regular, "skip": blade.Skip, "hook": blade.Hook}
	gums       = map[string]blade.Gum{"low": blade.LowGum, "medium": blade.MediumGum, "high": blade.HighGum, "unknown": blade.UnknownGum}
)

// GumNames are the names of the gum classes on the wire.
var GumNames = map[blade.Gum]string{blade.LowGum: "low", blade.MediumGum: "medium", blade.HighGum: "high", blade.UnknownGum: "unknown"}

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
	q.Saw = &saw.Name
	fillGum(c, q)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	cut := blade.Cut{
		StockHeight: *q.StockHeight, LeafThickness: *q.LeafThickness, Feed: feed.Speed(*q.Feed),
		Operation: operations[*q.Operation], Gum: gums[*q.Gum], Goal: goals[*q.Goal], WidestBlade: endpoint.ValueOr(saw.WidestBlade, 0),
	}
	teeth, err := blade.TeethPerInch(cut.StockHeight, cut.Operation, cut.Gum, cut.Feed)
	if err != nil {
		return nil, err
	}
	if cut.StockHeight > *saw.CuttingHeight {
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

// fillGum sets the gum class to that of the species, unless the request gives it.
func fillGum(c *endpoint.Call, q *BladeRequest) {
	if q.Species == nil {
		orDefault(&q.Gum, "unknown")
		return
	}
	gum := gumOf(c, *q.Species)
	if gum == blade.UnknownGum {
		orDefault(&q.Gum, "unknown")
		return
	}
	orDefault(&q.Gum, GumNames[gum])
	if gums[*q.Gum] != gum {
		c.Refuse("gum", "conflict", fmt.Sprintf("is %q, while that of %s is %s: give one of the two", *q.Gum, *q.Species, GumNames[gum]))
	}
}

// gumOf finds the gum class of a wood, or of all woods that share a name. A name that
// is not in the table has none, and raises a warning.
func gumOf(c *endpoint.Call, name string) blade.Gum {
	meant := wood.Meant(name)
	if len(meant) == 0 {
		c.Warn(fmt.Sprintf("no wood called %q is known here: whether it is gummy is unknown", name))
		return blade.UnknownGum
	}
	names := make([]string, len(meant))
	alike := true
	for i, s := range meant {
		names[i] = spoken(s.Name, meant[i:i+1])
		alike = alike && s.Gum == meant[0].Gum
	}
	if !alike {
		c.Warn(fmt.Sprintf("%q may be several woods, of which some are gummier than others: name %s", name, rule.Alternatives(names)))
		return blade.UnknownGum
	}
	return meant[0].Gum
}

// bladesOf lists the shop's blades, or only the one that is named.
func bladesOf(s *shop.Shop, only *string) []blade.Blade {
	var blades []blade.Blade
	for _, b := range s.Blades {
		if only == nil || *only == b.Name {
			blades = append(blades, bladeOf(&b))
		}
	}
	return blades
}

func bladeOf(b *shop.Blade) blade.Blade {
	return blade.Blade{
		Name: b.Name, Width: *b.Width, BodyThickness: *b.BodyThickness, Kerf: *b.Kerf, TPI: *b.TPI,
		Form: forms[b.ToothForm], Carbide: b.Carbide,
	}
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

// inShop writes a value as people read it at the saw, a length without the zeros at its
// end.
func inShop(c *endpoint.Call, value any) string {
	l, ok := value.(length.Length)
	if !ok {
		return rule.Show(value, c.Unit)
	}
	number, unit, _ := strings.Cut(rounded(c, l), " ")
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".") + " " + unit
}

// reasonWords says what speaks for or against a blade.
func reasonWords(c *endpoint.Call, r blade.Reason) string {
	value, limit := inShop(c, r.Value), inShop(c, r.Limit)
	switch r.Kind {
	case blade.TeethRight:
		return value + " teeth per inch suit"
	case blade.TeethTooFine:
		return value + " teeth per inch clog: at most " + limit + " suit"
	case blade.TeethCoarse:
		return value + " teeth per inch cut fast and leave a rough face: " + limit + " or more leave a finer one"
	case blade.WidthRight:
		return "a width of " + value + " keeps straight"
	case blade.WidthTooSmall:
		return "a width of " + value + " wanders: at least " + limit + " is wanted"
	case blade.WidthTooLarge:
		return "a width of " + value + " does not go on the saw, which takes " + limit + " at most"
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
