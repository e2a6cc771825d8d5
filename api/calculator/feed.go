package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/fault"
	"resawd/calc/feed"
	"resawd/calc/length"
)

// FeedRequest asks how long a run takes and what its teeth do.
type FeedRequest struct {
	Settings
	// Length of the board along the cut
	CutLength *length.Length `json:"cut_length,omitzero" validate:"required,gt=0,within=..100m"`
	// Speed of the board through the blade, in length a minute
	Feed *endpoint.Feed `json:"feed,omitzero" validate:"required,gt=0"`
	// Number of cuts
	CutCount *int `json:"cut_count,omitzero" validate:"omitempty,gte=1,lte=10001" absent:"1"`
	// Travel at feed before the wood
	RunIn *length.Length `json:"run_in,omitzero" validate:"omitempty,gte=0,within=..100m" absent:"0"`
	// Travel at feed after it
	RunOut *length.Length `json:"run_out,omitzero" validate:"omitempty,gte=0,within=..100m" absent:"0"`
	// Speed of the carriage on its way back; without it the return is not counted
	ReturnFeed *endpoint.Feed `json:"return_feed,omitzero" validate:"omitempty,gt=0"`
	// Seconds of each cut to catch, number and measure the leaf
	HandleSeconds *float64 `json:"handle_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Seconds of each cut to unlock, turn, lock and read the dial again
	IndexSeconds *float64 `json:"index_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Seconds to set up the run, once
	SetupSeconds *float64 `json:"setup_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Cuts between two cleanings; the shop's by default
	CleanEvery *int `json:"clean_every,omitzero" validate:"omitempty,gte=1,lte=10001"`
	// Seconds of each cleaning
	CleanSeconds *float64 `json:"clean_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Height that stands in the blade; without it, what depends on it is left out
	StockHeight *length.Length `json:"stock_height,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// Teeth per inch; the blade's by default
	TPI *float64 `json:"tpi,omitzero" validate:"omitempty,gte=0.1,lte=100"`
	// Blade speed in ft/min with inch units, m/min with mm; in place of wheel_diameter and rpm
	BladeSpeed *endpoint.BladeSpeed `json:"blade_speed,omitzero" validate:"omitempty,gt=0"`
	// Diameter of the driven wheel; the saw's by default
	WheelDiameter *length.Length `json:"wheel_diameter,omitzero" validate:"omitempty,gt=0,within=..10m"`
	// Turns of the driven wheel a minute; the saw's by default
	RPM *float64 `json:"rpm,omitzero" validate:"omitempty,gt=0,lte=100000"`
	// Area of one gullet seen from the side, square units
	GulletArea *endpoint.Area `json:"gullet_area,omitzero" validate:"omitempty,gt=0"`
}

// FeedAnswer is times and speeds.
type FeedAnswer struct {
	// Seconds of one cut: its length, run-in and run-out at the feed
	CutSeconds float64 `json:"cut_seconds"`
	// Seconds of the whole run
	RunSeconds float64 `json:"run_seconds"`
	// Where the time goes
	Breakdown FeedBreakdown `json:"breakdown"`
	// Blade speed in ft/min with inch units, m/min with mm
	Speed endpoint.BladeSpeed `json:"speed"`
	// Travel of the board while one tooth passes
	FeedPerTooth endpoint.Bite `json:"feed_per_tooth"`
	// Teeth that stand in the wood at once
	TeethInCut *float64 `json:"teeth_in_cut,omitzero"`
	// Solid wood that a gullet carries through the cut, over the area of the gullet
	GulletFeedIndex *float64 `json:"gullet_feed_index,omitzero"`
	// Area of one sawn face made in a minute of cutting, square units
	SawnAreaPerMinute *endpoint.Area `json:"sawn_area_per_minute,omitzero"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *FeedRequest `json:"used"`
	endpoint.Notes
}

// FeedBreakdown is where the seconds of a run go.
type FeedBreakdown struct {
	// Seconds at the feed, in wood and in air
	CuttingSeconds float64 `json:"cutting_seconds"`
	// Seconds of the carriage's way back
	ReturningSeconds float64 `json:"returning_seconds"`
	// Seconds to catch, number and measure leaves
	HandlingSeconds float64 `json:"handling_seconds"`
	// Seconds to turn the dial
	IndexingSeconds float64 `json:"indexing_seconds"`
	// Seconds before the first cut
	SettingUpSeconds float64 `json:"setting_up_seconds"`
	// Seconds of the stops for cleaning
	CleaningSeconds float64 `json:"cleaning_seconds"`
}

// Feed answers how fast and how long.
//
//	@Summary		How long a run takes and what its teeth do
//	@Description	Gives the time of a cut and of a run with its parts, the blade speed from wheel and rpm, the feed per tooth, the teeth in the cut, the gullet feed index and the area sawn a minute. It passes no verdict: published mill figures do not fit feeding by hand.
//	@ID				feed
//	@Tags			at the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		FeedRequest	true	"The fields of the calculator"
//	@Success		200		{object}	FeedAnswer
//	@Router			/v1/feed [post]
func Feed(c *endpoint.Call, q *FeedRequest) (*FeedAnswer, error) {
	fillFeed(c, q)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	speed, err := bladeSpeed(q.BladeSpeed, q.WheelDiameter, q.RPM)
	if err != nil {
		return nil, err
	}
	cleanings, err := feed.CleanCount(*q.CutCount, *q.CleanEvery)
	pass := feed.Pass{CutLength: *q.CutLength, RunIn: *q.RunIn, RunOut: *q.RunOut, Feed: feed.Speed(*q.Feed)}
	job := feed.Job{
		Pass: pass, CutCount: *q.CutCount, HandleSeconds: *q.HandleSeconds, IndexSeconds: *q.IndexSeconds,
		SetupSeconds: *q.SetupSeconds, CleanCount: cleanings, CleanSeconds: *q.CleanSeconds,
	}
	if q.ReturnFeed != nil {
		job.ReturnFeed = feed.Speed(*q.ReturnFeed)
	}
	cut, err2 := feed.CutSeconds(pass)
	parts, err3 := feed.RunTime(job)
	tooth, err4 := feed.PerTooth(pass.Feed, speed, *q.TPI)
	if err := fault.First(err, err2, err3, err4); err != nil {
		return nil, err
	}
	a := &FeedAnswer{
		CutSeconds: cut, RunSeconds: parts.Total(), Breakdown: FeedBreakdown(parts),
		Speed: endpoint.BladeSpeed(speed), FeedPerTooth: endpoint.Bite(tooth), Cautions: sawCautions(), Used: q,
	}
	a.Sources = []string{
		"time = distance / feed (definition)",
		"blade speed = pi x wheel diameter x rpm (saw theory, from memory)",
		"feed per tooth = feed x tooth pitch / blade speed (saw theory, from memory)",
	}
	if err := a.inStock(q, tooth); err != nil {
		return nil, err
	}
	return a, nil
}

// inStock adds what depends on the height of the stock.
func (a *FeedAnswer) inStock(q *FeedRequest, biteMM float64) error {
	if q.StockHeight == nil {
		return nil
	}
	teeth, err := feed.TeethInCut(*q.StockHeight, *q.TPI)
	area, err2 := feed.SawnAreaPerMinute(feed.Speed(*q.Feed), *q.StockHeight)
	a.TeethInCut, a.SawnAreaPerMinute = &teeth, new(endpoint.Area(area))
	if q.GulletArea == nil {
		return fault.First(err, err2)
	}
	index, err3 := feed.GulletFeedIndex(biteMM, *q.StockHeight, float64(*q.GulletArea))
	a.GulletFeedIndex = &index
	a.Sources = append(a.Sources, "gullet feed index = feed per tooth x stock height / gullet area (saw theory, from memory)")
	return fault.First(err, err2, err3)
}

func fillFeed(c *endpoint.Call, q *FeedRequest) {
	saw, blade := machine(c, &q.Settings)
	fill(c, "clean_every", &q.CleanEvery, c.Shop.Care.CleanEvery, theShop)
	fill(c, "tpi", &q.TPI, blade.TPI, blade.owner)
	fillSpeed(c, saw, &q.BladeSpeed, &q.WheelDiameter, &q.RPM)
}
