package calculator

import (
	"errors"
	"slices"

	"resawd/api/endpoint"
	"resawd/calc/dial"
	"resawd/calc/fault"
	"resawd/calc/length"
	"resawd/calc/run"
	"resawd/calc/yield"
)

// RunRequest asks for the run sheet of one board or billet.
type RunRequest struct {
	Settings
	// The board or billet to resaw
	Board RunBoard `json:"board"`
	// What to cut, in order: irreplaceable leaves first
	Leaves []RunLeaf `json:"leaves,omitzero" validate:"required_without=LeafThickness,excluded_with=LeafThickness,omitempty,min=1,max=100,dive"`
	// Thickness of every leaf, in place of leaves where all are alike
	LeafThickness *length.Length `json:"leaf_thickness,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Number of leaves of leaf_thickness; as many as the board gives if absent
	LeafCount *int `json:"leaf_count,omitzero" validate:"excluded_without=LeafThickness,omitempty,gte=1,lte=10000"`
	// Wood turned to dust by one pass; the blade's by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Whether the kerf is as the blade is sold or measured as advance less leaf; the blade's by default,
	// nominal for a kerf given without it
	KerfBasis *string `json:"kerf_basis,omitzero" validate:"omitempty,oneof=nominal measured"`
	// How much wider the kerf may come; by default 0 where it is measured, else 0.005 in, or 0.13 mm with units mm
	KerfMargin *length.Length `json:"kerf_margin,omitzero" validate:"omitempty,gte=0,within=..1in"`
	// Thickness taken off by the truing pass; 0 means no such pass
	Skim *length.Length `json:"skim,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Name of a fixing in the shop file
	Fixing *string `json:"fixing,omitzero" validate:"omitempty,max=60"`
	// Thickness that stays fixed to the fence; the fixing's by default
	HoldBack *length.Length `json:"hold_back,omitzero" validate:"omitempty,gte=0,within=..10m"`
	// fence saws every leaf off; rest counts what remains as the last leaf, which wants a flat back, a fixing
	// without metal that lets go, and hold_back 0
	LastLeaf *string `json:"last_leaf,omitzero" validate:"omitempty,oneof=fence rest" absent:"fence"`
	// Speed of the board through the blade, in length a minute
	Feed *endpoint.Feed `json:"feed,omitzero" validate:"omitempty,gt=0" absent:"10 in/min" metric:"250 mm/min"`
	// Travel at the feed before the wood
	RunIn *length.Length `json:"run_in,omitzero" validate:"omitempty,gte=0,within=..100m" absent:"0"`
	// Travel at the feed after the wood
	RunOut *length.Length `json:"run_out,omitzero" validate:"omitempty,gte=0,within=..100m" absent:"0"`
	// Travel of the screw in one turn; the saw's by default
	Lead *length.Length `json:"lead,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Marks around the dial; the saw's by default
	DivisionsPerTurn *int `json:"divisions_per_turn,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// Travel of the screw before it must be wound back; the saw's by default
	Travel *length.Length `json:"travel,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// The mark the dial stands at before the first move
	StartReading *int `json:"start_reading,omitzero" validate:"omitempty,gte=0,lte=9999" absent:"0"`
	// How far the dial is turned back before the carriage returns, up to a turn
	Retract *length.Length `json:"retract,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Dial travel lost when the direction reverses; with a retract, the saw's by default
	Backlash *length.Length `json:"backlash,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// step turns the same divisions at every pass; position keeps every position within half a division of the ideal
	// one
	Rounding *string `json:"rounding,omitzero" validate:"omitempty,oneof=step position" absent:"step"`
	// How far a leaf may be off, thin or thick
	Tolerance *length.Length `json:"tolerance,omitzero" validate:"omitempty,gte=0,within=..1in" absent:"0.003in" metric:"0.08mm"`
	// Cuts between two cleanings; the shop's by default
	CleanEvery *int `json:"clean_every,omitzero" validate:"omitempty,gte=1,lte=10001"`
	// Sawn area between two cleanings, in square units, if that comes first; the shop's by default
	CleanArea *endpoint.Area `json:"clean_area,omitzero" validate:"omitempty,gt=0"`
	// Seconds of each cut to catch, number and measure the leaf
	HandleSeconds *float64 `json:"handle_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Seconds of each cut to unlock, turn, lock and read the dial again
	IndexSeconds *float64 `json:"index_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Seconds to set up, once before the first cut
	SetupSeconds *float64 `json:"setup_seconds,omitzero" validate:"omitempty,gte=0,lte=86400" absent:"0"`
	// Margin as a share of the price, 0 to 0.99, for a board with a price
	Margin *float64 `json:"margin,omitzero" validate:"omitempty,gte=0,lte=0.99" absent:"0"`
	// Work done since each care of the shop file; the set-up then lists what is due before this board
	Upkeep []UpkeepDone `json:"upkeep,omitzero" validate:"omitempty,max=100,dive"`
	// What has been sawn of this run, which then goes on from there; all other fields are those of the sheet that was
	// begun
	Done RunDone `json:"done,omitzero"`
	// Teeth per inch; the blade's by default
	TPI *float64 `json:"tpi,omitzero" validate:"omitempty,gte=0.1,lte=100"`
	// Blade speed in ft/min with inch units, m/min with mm; in place of wheel_diameter and rpm
	BladeSpeed *endpoint.BladeSpeed `json:"blade_speed,omitzero" validate:"omitempty,gt=0"`
	// Diameter of the driven wheel; the saw's by default
	WheelDiameter *length.Length `json:"wheel_diameter,omitzero" validate:"omitempty,gt=0,within=..10m"`
	// Turns of the driven wheel a minute; the saw's by default
	RPM *float64 `json:"rpm,omitzero" validate:"omitempty,gt=0,lte=100000"`
}

// RunBoard is a board or billet as mounted.
type RunBoard struct {
	// Name that the leaves are marked with
	Name *string `json:"name,omitzero" query:"board_name" validate:"omitempty,min=1,max=60" absent:"billet"`
	// Kind of wood
	Species *string `json:"species,omitzero" query:"board_species" validate:"omitempty,max=60"`
	// Thickness from the face of the fence to the highest point
	Thickness *length.Length `json:"thickness,omitzero" query:"board_thickness" validate:"required,gt=0,within=..10m"`
	// Height that stands in the blade
	Width *length.Length `json:"width,omitzero" query:"board_width" validate:"required,gt=0,within=..3m"`
	// Length along the cut
	Length *length.Length `json:"length,omitzero" query:"board_length" validate:"required,gt=0,within=..30m"`
	// Bow over the board's length, which the truing pass takes off beside the skim; for a cupped or twisted board,
	// flatten gives the skim and the hold-back to use here
	Bow *length.Length `json:"bow,omitzero" query:"board_bow" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Moisture content in percent of the ovendry mass, compared with what the air of the shop keeps
	MoisturePct *float64 `json:"moisture_pct,omitzero" query:"board_moisture_pct" validate:"omitempty,gte=0,lte=250"`
	// Price of the board; with it the answer has the price of the leaves
	Price *endpoint.Money `json:"price,omitzero" query:"board_price" validate:"omitempty,gte=0"`
}

// RunLeaf is leaves that are all alike.
type RunLeaf struct {
	// What the leaves are for
	Name *string `json:"name,omitzero" validate:"omitempty,min=1,max=60"`
	// Thickness of each leaf
	Thickness *length.Length `json:"thickness,omitzero" validate:"required,gt=0,within=..1m"`
	// Number of leaves; if absent, which only the last entry allows, as many as the board gives
	Count *int `json:"count,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// How many leaves in a row must be consecutive
	Matched *int `json:"matched,omitzero" validate:"omitempty,gte=1,lte=10000" absent:"1"`
	// How each leaf is divided into copies of a part when it is off, for its mark and its drawing; left whole without
	// it
	Divided RunDivided `json:"divided,omitzero"`
}

// RunAnswer is the run sheet.
type RunAnswer struct {
	// Digest of the build, the shop file and used: the same sheet has the same ID
	ID string `json:"id"`
	// The run as a whole, or where it goes on what remains of it
	Summary RunSummary `json:"summary"`
	// What to do before the first cut, in order
	Setup []string `json:"setup"`
	// The routine of every cut, in order
	PerCut []string `json:"per_cut"`
	// Cuts made before, if the run goes on
	CutsDone []RunCutDone `json:"cuts_done"`
	// Every cut and re-zero in order; if the run goes on, those that remain
	Cuts []RunCut `json:"cuts"`
	// What to do with the leaves and the saw when the last leaf is off, in order
	After []string `json:"after"`
	// Price of the leaves, if the board has one; absent if the run goes on
	Price *RunPrice `json:"price,omitzero"`
	// Cautions where a hand or a lung is at risk
	Cautions []string `json:"cautions"`
	// Every input, given or defaulted
	Used *RunRequest `json:"used"`
	endpoint.Notes

	spans []span // the leaves of each entry
}

// RunSummary is the run as a whole, or where it goes on what remains of it.
type RunSummary struct {
	// Number of leaves that come off
	LeafCount int `json:"leaf_count"`
	// Number of leaves that come off if every kerf is wider by kerf_margin and the cuts are worked out anew
	LeafCountLeast int `json:"leaf_count_least"`
	// Number of cuts, the truing pass included
	CutCount int `json:"cut_count"`
	// Number of stops to clean
	CleanCount int `json:"clean_count"`
	// Number of times that the screw is wound back
	RezeroCount int `json:"rezero_count"`
	// Seconds of all cuts, run-in and run-out included
	CuttingSeconds float64 `json:"cutting_seconds"`
	// Seconds of the whole run, with what handle_seconds, index_seconds and setup_seconds add
	RunSeconds float64 `json:"run_seconds"`
	// Thickness that the truing pass uses up: skim, bow and kerf
	SkimLoss length.Length `json:"skim_loss"`
	// All of the thickness that stays on the fence
	LeftOnFence length.Length `json:"left_on_fence"`
	// Thickness that stays beyond the hold-back
	Remainder length.Length `json:"remainder"`
	// Leaf wood out divided by wood in, 0 to 1; where the run goes on, by what was left on the fence
	Recovery float64 `json:"recovery"`
	// Share of the board that the kerfs turn to dust, as price takes it, 0 to 1; where the run goes on, by what was left
	// on the fence
	KerfShare float64 `json:"kerf_share"`
	// Thickness of the last leaf where it is the rest
	LastLeafThickness *length.Length `json:"last_leaf_thickness,omitzero"`
	// Largest deviation of a leaf by the dial's rounding
	LeafDeviation length.Length `json:"leaf_deviation"`
	// Largest deviation of a position by the dial's rounding
	PositionDeviation length.Length `json:"position_deviation"`
	// Blade speed in ft/min with inch units, m/min with mm
	Speed endpoint.BladeSpeed `json:"speed"`
	// Travel of the board while one tooth passes
	FeedPerTooth endpoint.Bite `json:"feed_per_tooth"`
	// The coarsest teeth per inch of the practice table for the board's width
	TPILow float64 `json:"tpi_low"`
	// The finest teeth per inch of the practice table; finer ones clog
	TPIHigh float64 `json:"tpi_high"`
	// Whether the blade suits, as the blade calculator says
	BladeSuits bool `json:"blade_suits"`
	// How gummy the wood is; unknown if the species is not given or not in the table
	Gum string `json:"gum" enums:"low,medium,high,unknown"`
	// Area of one face of every cut, in square units
	SawnArea endpoint.Area `json:"sawn_area"`
}

// RunCut is one row of the sheet.
type RunCut struct {
	// Ordinal of the cut; absent for a re-zero and for the rest
	Cut int `json:"cut,omitzero"`
	// What the row is for; rest is the last leaf where it is what remains, with no move and no cut
	Purpose string `json:"purpose" enums:"skim,leaf,rezero,rest"`
	// Ordinal of the leaf that comes off
	Leaf int `json:"leaf,omitzero"`
	// What the leaf is for
	Name string `json:"name,omitzero"`
	// What to write on the leaf
	Mark string `json:"mark,omitzero"`
	// Thickness that comes off beside the kerf
	Thickness *length.Length `json:"thickness,omitzero"`
	// Thickness that comes off with the kerf
	Advance *length.Length `json:"advance,omitzero"`
	// Turns of the dial in this move, as it is set; negative where the screw is wound back
	Turns float64 `json:"turns"`
	// Whole turns of the move
	WholeTurns int `json:"whole_turns"`
	// Divisions beyond the whole turns
	Divisions int `json:"divisions"`
	// The mark the dial stands at after the move
	Reading int `json:"reading"`
	// Whole turns from the zero mark, after the move
	TurnTally int `json:"turn_tally"`
	// Position after the move, from the start
	Position length.Length `json:"position"`
	// Seconds of the cut
	CutSeconds float64 `json:"cut_seconds"`
	// Thickness on the fence after the cut
	BoardLeft length.Length `json:"board_left"`
	// What to do before the cut: clean, rezero
	Stops []string `json:"stops"`
}

// Table gives the rows that csv shows.
func (a *RunAnswer) Table() any { return a.Cuts }

// Leaves counts the leaves.
func (a *RunAnswer) Leaves() int { return a.Summary.LeafCount }

// defaultTolerance is common practice for leaves that are sanded afterwards.
func defaultTolerance(c *endpoint.Call) length.Length {
	return inUnits(c, 3*length.Thou, 80*length.Micrometre)
}

// Run answers with the run sheet.
//
//	@Summary		The run sheet of a board
//	@Description	Composes the whole run of one board or billet: the truing pass, then each leaf; the dial move, reading and turn tally of every cut; stops to clean and to wind the screw back, never within a matched set; the marks of the leaves; times, blade speed and feed per tooth; what stays on the fence; set-up, routine and cautions. Leaves come off in the order given; the last entry may go without a count and then takes what is left.
//	@ID				run
//	@Tags			at the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		RunRequest	true	"The fields of the calculator"
//	@Success		200		{object}	RunAnswer
//	@Router			/v1/run [post]
func Run(c *endpoint.Call, q *RunRequest) (*RunAnswer, error) {
	in := runInput(c, q)
	q.checkDivided(c)
	if err := c.Checked(); err != nil {
		return nil, err
	}
	speed, err := bladeSpeed(q.BladeSpeed, q.WheelDiameter, q.RPM)
	if err != nil {
		return nil, err
	}
	in.Saw.BladeSpeed = speed
	sheet, err := run.Compose(in)
	if err != nil {
		return nil, q.place(err)
	}
	return runAnswer(c, q, in, sheet)
}

func runAnswer(c *endpoint.Call, q *RunRequest, in run.Input, sheet run.Sheet) (*RunAnswer, error) {
	for _, w := range sheet.Warnings {
		c.Warn(runWarning(c, w, q))
	}
	warnGap(c, q)
	words := benchOf(c, q)
	due, err := dueForRun(c, q, &sheet.Summary)
	if err != nil {
		return nil, err
	}
	cost, err := priced(c, q, &sheet.Summary)
	if err != nil {
		return nil, err
	}
	done, err := cutsDone(c, q, sheet.Done)
	if err != nil {
		return nil, err
	}
	spans := q.spans(sheet.Done, sheet.Cuts)
	a := &RunAnswer{
		CutsDone: done, spans: spans,
		Summary: summaryOf(sheet.Summary, in), Setup: slices.Concat(due, words.setup(sheet.Done)), PerCut: words.perCut(), Cuts: make([]RunCut, len(sheet.Cuts)),
		After: words.after(c, spans), Price: cost, Cautions: q.cautions(), Used: q,
	}
	for i := range sheet.Cuts {
		a.Cuts[i] = runCut(q, &sheet.Cuts[i])
	}
	a.ID = c.Digest(q.begun())
	a.Sources = []string{
		"advance = kerf + leaf; a leaf is the difference of two positions less one kerf (definition)",
		"turns = advance / lead (definition of the lead)",
		"blade speed = pi x wheel diameter x rpm; feed per tooth = feed x tooth pitch / blade speed (saw theory, from memory)",
		"teeth per inch by stock height, order of leaves, stops, set-up and routine (common practice)",
		"dust limits: OSHA wood dust page; guarding: 29 CFR 1910.213(i), WAC 296-806-48042",
	}
	if q.Board.MoisturePct != nil {
		a.Sources = append(a.Sources, "equilibrium moisture content: Wood Handbook eq. 4-5 (FPL-GTR-282, p. 4-3); movement: eq. 13-2 and 13-3, tables 13-5, 4-3 and 4-4; 2 points: common practice")
	}
	return a, nil
}

// place says where in the request an error about one entry stands.
func (q *RunRequest) place(err error) error {
	var entry *fault.Entry
	var out *fault.OutOfRange
	if errors.As(err, &out) && (out.Quantity == "board width" || out.Quantity == "board length") && out.Why != "" {
		out.Why += " (saw " + *q.Saw + ")"
	}
	if q.LeafThickness != nil && errors.As(err, &entry) {
		return endpoint.At("leaf_", entry.Err)
	}
	return err
}

func summaryOf(s run.Summary, in run.Input) RunSummary {
	out := RunSummary{
		LeafCount: s.LeafCount, LeafCountLeast: s.LeafCountLeast, CutCount: s.CutCount, CleanCount: s.CleanCount, RezeroCount: s.RezeroCount,
		CuttingSeconds: s.Time.CuttingSeconds, RunSeconds: s.TotalSeconds, SkimLoss: s.SkimLoss, LeftOnFence: s.LeftOnFence, Remainder: s.Remainder,
		Recovery: s.Recovery, KerfShare: s.KerfShare, LeafDeviation: s.LeafDeviation, PositionDeviation: s.PositionDeviation,
		Speed: endpoint.BladeSpeed(in.Saw.BladeSpeed), FeedPerTooth: endpoint.Bite(s.FeedPerToothMM), TPILow: s.Teeth.Low, TPIHigh: s.Teeth.High,
		BladeSuits: s.BladeSuits, Gum: GumNames[in.Gum], SawnArea: endpoint.Area(s.SawnAreaMM2),
	}
	if in.LastLeaf == yield.Rest {
		out.LastLeafThickness = &s.LastLeafThickness
	}
	return out
}

// PurposeRest is the purpose of the last leaf where it is what remains.
const PurposeRest = "rest"

// StopClean is the stop that has no row of its own among the cuts.
const StopClean = "clean"

var stopNames = map[run.Stop]string{run.Clean: StopClean, run.Rezero: "rezero"}

func runCut(q *RunRequest, c *run.Cut) RunCut {
	out := RunCut{
		Cut: c.Cut, Purpose: purposes[c.Purpose], Leaf: c.Leaf, Name: c.Name, Mark: q.markOf(c),
		Turns: c.Turns, WholeTurns: c.WholeTurns, Divisions: c.Divisions, Reading: c.Reading, TurnTally: c.TurnTally,
		Position: c.Position, CutSeconds: c.CutSeconds, BoardLeft: c.BoardLeft, Stops: make([]string, len(c.Stops)),
	}
	switch {
	case c.Rest:
		out.Purpose, out.Thickness = PurposeRest, &c.Thickness
	case c.Purpose != dial.Rezero:
		out.Thickness, out.Advance = &c.Thickness, &c.Advance
	}
	for i, s := range c.Stops {
		out.Stops[i] = stopNames[s]
	}
	return out
}
