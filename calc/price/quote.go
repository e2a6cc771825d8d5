package price

import (
	"math"

	"resawd/calc/fault"
)

// Limits: ten thousand passes of three hours each; a square kilometre of sawn area; a
// margin that makes the price a hundred times the cost.
const (
	maxSeconds = 1e8
	maxAreaMM2 = 1e12
	maxMargin  = 0.99
	maxLeaves  = 1_000_000
	maxRate    = 1_000_000 * Unit
	hour       = 3600.0
)

// Rates are what an hour costs in a shop.
type Rates struct {
	LabourPerHour   Money
	OverheadPerHour Money
}

// Blade is what a blade costs and how much it saws before it is dull.
type Blade struct {
	Price   Money
	LifeMM2 float64
}

// Job is what a quote rests on.
type Job struct {
	Rates
	Blade
	WoodCost     Money
	LeftOver     Money   // value of what is left, credited
	KerfShare    float64 // of the wood, turned to dust
	LeafCount    int
	SetSize      int // leaves in a set
	RunSeconds   float64
	ExtraSeconds float64 // sanding, glueing, packing
	SawnAreaMM2  float64
	Consumables  Money
	Margin       float64 // share of the price
}

// Kind is the kind of a line.
type Kind int

// The kinds of a line, in their order.
const (
	Wood Kind = iota
	LeftOver
	Labour
	Overhead
	BladeWear
	Consumables
	Margin
	kinds
)

// Quote is what to ask. Lines are in the order of their kinds and add up to Total.
type Quote struct {
	Lines     []Money
	Total     Money // in minor units
	LeafPrice Money // before rounding to minor units, as is all that follows
	SetPrice  Money
	OneMore   Money // price of a leaf if the same board gave one leaf more
	Dust      Money // the wood's cost that turned to dust
}

// NewQuote gives the quote of a job in a currency with a minor unit.
//
// Source: definitions (package comment).
// Valid: 0 <= amounts <= 1 000 000 000, rates a thousandth of that; left over at most
// the wood's cost; 0 <= kerf share <= 1; 1 <= leaves, set size <= 1 000 000; 0 <=
// seconds <= 1e8; 0 <= sawn area <= 1e12 mm2; 0 < life <= 1e12 mm2; 0 <= margin <=
// 0.99; a total within the amounts.
func NewQuote(job Job, minor Money) (Quote, error) {
	if err := job.check(); err != nil {
		return Quote{}, err
	}
	exact, total, err := job.lines()
	if err != nil {
		return Quote{}, err
	}
	lines, err := Round(exact, minor)
	if err != nil {
		return Quote{}, err
	}
	leaf := float64(total) / float64(job.LeafCount)
	return Quote{
		Lines: lines, Total: nearest(total, minor),
		LeafPrice: Money(math.Round(leaf)), SetPrice: Money(math.Round(leaf * float64(job.SetSize))),
		OneMore: Money(math.Round(float64(total) / float64(job.LeafCount+1))),
		Dust:    times(job.WoodCost, job.KerfShare),
	}, nil
}

// lines gives the lines and their sum, in ten-thousandths.
func (job Job) lines() (lines []Money, total Money, err error) {
	hours := (job.RunSeconds + job.ExtraSeconds) / hour
	lines = make([]Money, kinds)
	lines[Wood], lines[LeftOver], lines[Consumables] = job.WoodCost, -job.LeftOver, job.Consumables
	lines[Labour], lines[Overhead] = times(job.LabourPerHour, hours), times(job.OverheadPerHour, hours)
	if lines[BladeWear], err = rounded("blade wear", float64(job.Price)*(job.SawnAreaMM2/job.LifeMM2)); err != nil {
		return nil, 0, err
	}
	var cost Money
	for _, l := range lines {
		cost += l
	}
	if total, err = rounded("total", float64(cost)/(1-job.Margin)); err != nil {
		return nil, 0, err
	}
	lines[Margin] = total - cost
	return lines, total, nil
}

func (job Job) check() error {
	return fault.First(
		job.Rates.check(), job.Blade.check(),
		amount("wood cost", job.WoodCost, Most),
		fault.Because(amount("left over value", job.LeftOver, job.WoodCost), "what the wood cost"),
		fault.Within("kerf share", job.KerfShare, 0, 1),
		fault.Within("leaf count", job.LeafCount, 1, maxLeaves),
		fault.Within("set size", job.SetSize, 1, maxLeaves),
		fault.Within("run seconds", job.RunSeconds, 0, maxSeconds),
		fault.Within("extra seconds", job.ExtraSeconds, 0, maxSeconds),
		fault.Within("sawn area", job.SawnAreaMM2, 0, maxAreaMM2),
		amount("consumables", job.Consumables, Most),
		fault.Within("margin", job.Margin, 0, maxMargin),
	)
}

func (r Rates) check() error {
	return fault.First(amount("labour per hour", r.LabourPerHour, maxRate), amount("overhead per hour", r.OverheadPerHour, maxRate))
}

func (b Blade) check() error {
	return fault.First(amount("blade price", b.Price, Most), fault.Above("blade life area", b.LifeMM2, 0, maxAreaMM2))
}

func amount(quantity string, m, most Money) error { return fault.Within(quantity, m, 0, most) }
