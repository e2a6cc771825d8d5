package calculator

import (
	"fmt"
	"math"
	"slices"

	"resawd/api/endpoint"
	"resawd/calc/price"
	"resawd/calc/run"
	"resawd/calc/upkeep"
	"resawd/calc/wood"
)

// offPoints is how many points of moisture a board may differ from the shop.
//
// Source: common practice.
const offPoints = 2.0

// after lists what to do with the leaves once the last one is off.
//
// Source: common practice.
func (b bench) after(c *endpoint.Call, spans []span) []string {
	steps := []string{
		"Keep the leaves in order, and stack them on stickers of one thickness, stickers above one another, with a weight on top.",
		"Let them rest before they are sanded, a day at least: until two weighings a day apart are alike.",
	}
	if words, ok := b.moistureWords(c); ok {
		steps = append(steps, words)
	}
	steps = append(steps, b.dividing(spans)...)
	return append(steps, "Unplug the saw. Clean blade, wheels and rail, slacken the blade, and look for embers before the dust is emptied.")
}

// moistureWords says what the board's moisture will do in this shop, and warns if it is
// far off.
func (b bench) moistureWords(c *endpoint.Call) (string, bool) {
	air := c.Shop.Climate
	if b.Board.MoisturePct == nil || air.TemperatureC == nil {
		return "", false
	}
	keeps, err := wood.EquilibriumMoisture(*air.TemperatureC, *air.HumidityPct)
	if err != nil {
		return "", false // a shop file with such a climate is refused
	}
	c.FromDemo("climate")
	off := *b.Board.MoisturePct - keeps
	words := fmt.Sprintf("The board has %.1f percent of moisture, and the air of this shop keeps wood at %.1f", *b.Board.MoisturePct, keeps)
	if math.Abs(off) > offPoints {
		c.Warn(words + ": more than 2 points apart, so the leaves will move and cup; let the board come closer first, or leave more for sanding and let the leaves rest longer")
	}
	return words + b.movementWords(c, keeps) + ".", true
}

// movementWords says how the width of a flatsawn leaf changes, if the wood has a
// figure.
func (b bench) movementWords(c *endpoint.Call, toPct float64) string {
	species, ok := woodNamed(b.Board.Species)
	if !ok {
		return ""
	}
	moved, err := species.Movement(*b.Board.Width, wood.Tangential, *b.Board.MoisturePct, toPct)
	if err != nil || !moved.Figure.Known() || moved.Change == 0 {
		return ""
	}
	way, change := "swells", moved.Change
	if change < 0 {
		way, change = "shrinks", -change
	}
	return ": flatsawn, a leaf " + way + " by " + rounded(c, change) + " across its width"
}

func woodNamed(name *string) (wood.Species, bool) {
	if name == nil {
		return wood.Species{}, false
	}
	return wood.Find(*name)
}

// bowWords says how to mount a bowed board.
//
// Source: common practice.
func (b bench) bowWords() string {
	if *b.Board.Bow == 0 {
		return ""
	}
	return " It is bowed: put its hollow face to the fence, so that it stands on its ends and does not rock, and fill the gap of " + b.show(*b.Board.Bow) + " with shims where it is fixed."
}

// warnGap warns if a bowed board stands off the fence by more than the hold-back covers
// beside the fixing.
func warnGap(c *endpoint.Call, q *RunRequest) {
	bow := *q.Board.Bow
	if needed := *findFixing(c, q.Fixing).HoldBack + bow; bow > 0 && *q.HoldBack < needed {
		c.Warn("behind its bow the board stands " + c.Show(bow) + " off the fence: hold back " + c.Show(needed) + ", or the last leaves run out into the gap or the fixing; see flatten")
	}
}

// dueForRun lists what is due before this board, and what comes due while it is sawn.
// It is empty if the request does not count the work done.
func dueForRun(c *endpoint.Call, q *RunRequest, s *run.Summary) ([]string, error) {
	steps := []string{}
	if len(q.Upkeep) == 0 {
		return steps, nil
	}
	before, err := careOf(c, "upkeep", q.Upkeep, upkeep.Count{})
	if err != nil {
		return nil, err
	}
	after, err := careOf(c, "upkeep", q.Upkeep, upkeep.Count{Cuts: s.CutCount, AreaMM2: s.SawnAreaMM2, Hours: s.Time.CuttingSeconds / 3600})
	if err != nil {
		return nil, err
	}
	for _, care := range before {
		if care.share >= 1 {
			steps = append(steps, "Due before this board: "+care.Name+".")
		}
	}
	for _, care := range after {
		if care.share >= 1 && !slices.Contains(steps, "Due before this board: "+care.Name+".") {
			steps = append(steps, "Comes due while this board is sawn: "+care.Name+". Do it now, or stop for it.")
		}
	}
	c.FromDemo("upkeep")
	return steps, nil
}

// RunPrice is what the leaves of a run cost.
type RunPrice struct {
	// Currency of every amount
	Currency string `json:"currency"`
	// Wood, labour, overhead, blade and margin, in whole minor units of the currency; they add up to the total
	Lines []PriceLine `json:"lines"`
	// Price to ask for the leaves
	Total endpoint.Money `json:"total"`
	// Price of one leaf, before rounding to minor units
	LeafPrice endpoint.Money `json:"leaf_price"`
	// Cost of the dust of every cut
	DustValue endpoint.Money `json:"dust_value"`
}

// priced is the price of a run's leaves. It is nil if the board has no price, and if
// the run goes on, since the price stands on the sheet that was begun.
func priced(c *endpoint.Call, q *RunRequest, s *run.Summary) (*RunPrice, error) {
	if q.Board.Price == nil || q.Done.Cuts != nil || s.LeafCount == 0 {
		return nil, nil //nolint:nilnil // a board without a price has no price
	}
	blade, _ := c.Shop.Blade(*q.Blade)
	quote, lines, err := quoted(c, blade, price.Job{
		WoodCost: price.Money(*q.Board.Price), KerfShare: s.KerfShare, LeafCount: s.LeafCount, SetSize: 1,
		RunSeconds: s.TotalSeconds, SawnAreaMM2: s.SawnAreaMM2, Margin: *q.Margin,
	})
	if err != nil {
		return nil, err
	}
	return &RunPrice{c.Shop.Currency, lines, endpoint.Money(quote.Total), endpoint.Money(quote.LeafPrice), endpoint.Money(quote.Dust)}, nil
}
