package price

import (
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// Pass is what a pass of the saw takes, beside its length.
type Pass struct {
	Rates
	Blade
	PassSeconds  float64 // handling, indexing and return
	SetupSeconds float64 // of a billet
	Feed         feed.Speed
	StockHeight  length.Length
}

// Prices are what a plan weighs against wood.
type Prices struct {
	Pass   Money // of a pass, whatever its length
	Length Money // of each unit of a pass's length
	Billet Money // of a billet mounted
}

// Passes gives the prices of passes and billets; the price by length is for so long a
// unit.
//
// Source: definitions (package comment).
// Valid: rates and blade as [NewQuote]; 0 <= seconds <= 1e8; 0 < feed <= 100 m/min; 0 <
// stock height, unit <= length.Max; prices within [Most].
func Passes(p Pass, unit length.Length) (Prices, error) {
	if err := fault.First(
		p.Rates.check(), p.Blade.check(),
		fault.Within("pass seconds", p.PassSeconds, 0, maxSeconds),
		fault.Within("setup seconds", p.SetupSeconds, 0, maxSeconds),
		fault.Above("feed", p.Feed, 0, feed.MaxSpeed),
		fault.Above("stock height", p.StockHeight, 0, length.Max),
		fault.Above("unit", unit, 0, length.Max),
	); err != nil {
		return Prices{}, err
	}
	second := float64(p.LabourPerHour+p.OverheadPerHour) / hour
	minutes := float64(unit) / float64(p.Feed)
	area := unit.In(length.Millimetre) * p.StockHeight.In(length.Millimetre)
	pass, err := rounded("pass price", second*p.PassSeconds)
	along, err2 := rounded("pass length price", second*60*minutes+float64(p.Price)*area/p.LifeMM2)
	billet, err3 := rounded("billet price", second*p.SetupSeconds)
	if err := fault.First(err, err2, err3); err != nil {
		return Prices{}, err
	}
	return Prices{Pass: pass, Length: along, Billet: billet}, nil
}
