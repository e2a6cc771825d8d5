package calculator

import (
	"strings"

	"resawd/api/endpoint"
	"resawd/calc/dial"
	"resawd/calc/length"
	"resawd/calc/run"
)

// DialRequest asks how far to turn the dial at each cut.
type DialRequest struct {
	Settings
	// Thickness of every leaf
	LeafThickness *length.Length `json:"leaf_thickness,omitzero" validate:"required,gt=0,within=..1m"`
	// Wood turned to dust by one pass; the blade's by default
	Kerf *length.Length `json:"kerf,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Number of leaves
	LeafCount *int `json:"leaf_count,omitzero" validate:"omitempty,gte=1,lte=10000" absent:"1"`
	// Thickness taken off by a truing pass before the first leaf; 0 means no such pass
	Skim *length.Length `json:"skim,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Travel of the screw in one turn; the saw's by default
	Lead *length.Length `json:"lead,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Marks around the dial; the saw's by default
	DivisionsPerTurn *int `json:"divisions_per_turn,omitzero" validate:"omitempty,gte=1,lte=10000"`
	// The mark the dial stands at before the first move
	StartReading *int `json:"start_reading,omitzero" validate:"omitempty,gte=0,lte=9999" absent:"0"`
	// Travel of the screw before it must be wound back; the saw's by default
	Travel *length.Length `json:"travel,omitzero" validate:"omitempty,gt=0,within=..100m"`
	// How far the dial is turned back before the carriage returns, up to a turn
	Retract *length.Length `json:"retract,omitzero" validate:"omitempty,gte=0,within=..1m" absent:"0"`
	// Dial travel lost when the direction reverses; with a retract, the saw's by default
	Backlash *length.Length `json:"backlash,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// step turns the same divisions at every pass; position keeps every position within half a division of the ideal
	// one
	Rounding *string `json:"rounding,omitzero" validate:"omitempty,oneof=step position" absent:"step"`
	// Rounds the advance up to a step that is easy to count
	RoundUpTo *string `json:"round_up_to,omitzero" validate:"omitempty,oneof=division half_turn turn"`
}

// DialAnswer is the advance as the dial can set it, and every move.
type DialAnswer struct {
	// Kerf and leaf together, as asked for
	Advance length.Length `json:"advance"`
	// The advance that the dial can set
	AdvanceSet length.Length `json:"advance_set"`
	// The advance that the dial sets, in turns: what the hand turns
	Turns float64 `json:"turns"`
	// The advance asked for, in turns of the screw
	TurnsAsked float64 `json:"turns_asked"`
	// Whole turns of the advance that the dial sets
	WholeTurns int `json:"whole_turns"`
	// Divisions beyond the whole turns
	Divisions int `json:"divisions"`
	// Largest deviation of a leaf from the thickness asked for, thin or thick
	LeafDeviation length.Length `json:"leaf_deviation"`
	// Largest deviation of a position from the sum of the advances asked for
	PositionDeviation length.Length `json:"position_deviation"`
	// Every move in order
	Steps []DialStep `json:"steps"`
	// Every input, given or defaulted
	Used *DialRequest `json:"used"`
	endpoint.Notes
}

// DialStep is one move of the dial.
type DialStep struct {
	// Ordinal of the cut; absent for a re-zero
	Cut int `json:"cut,omitzero"`
	// What the move is for
	Purpose string `json:"purpose" enums:"skim,leaf,rezero"`
	// Position after the move, from the start
	Position length.Length `json:"position"`
	// The move as the dial sets it, in turns; negative where the screw is wound back
	Turns float64 `json:"turns"`
	// Whole turns of the move
	WholeTurns int `json:"whole_turns"`
	// Divisions beyond the whole turns
	Divisions int `json:"divisions"`
	// The mark the dial stands at after the move
	Reading int `json:"reading"`
	// Thickness of the leaf that this cut frees
	Leaf *length.Length `json:"leaf,omitzero"`
	// Thickness of the leaf less the thickness asked for
	Deviation *length.Length `json:"deviation,omitzero"`
}

// Table gives the rows that csv shows.
func (a *DialAnswer) Table() any { return a.Steps }

// Leaves counts the leaves.
func (a *DialAnswer) Leaves() int { return *a.Used.LeafCount }

var roundings = map[string]dial.Rounding{"step": dial.ByStep, "position": dial.ByPosition}

var roundUps = map[string]dial.RoundUp{"division": dial.ToDivision, "half_turn": dial.ToHalfTurn, "turn": dial.ToTurn}

var purposes = map[dial.Purpose]string{dial.Skim: "skim", dial.Leaf: "leaf", dial.Rezero: "rezero"}

// Dial answers how far to turn the dial.
//
//	@Summary		How far to turn the dial at each cut
//	@Description	Turns advances (kerf + leaf) into whole divisions of a graduated dial on a lead screw: the advance it can set, what rounding does to leaves and positions, and every move with its reading.
//	@Description	An advance that is not a whole number of divisions is rounded: step turns the same divisions every time, so leaves are alike and the position drifts; position sets each position as near as the dial can, so leaves differ by up to one division.
//	@ID				dial
//	@Tags			at the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		DialRequest	true	"The fields of the calculator"
//	@Success		200		{object}	DialAnswer
//	@Router			/v1/dial [post]
func Dial(c *endpoint.Call, q *DialRequest) (*DialAnswer, error) {
	saw, blade := machine(c, &q.Settings)
	fill(c, "kerf", &q.Kerf, blade.Kerf, blade.owner)
	fill(c, "lead", &q.Lead, saw.Lead, saw.owner)
	fill(c, "divisions_per_turn", &q.DivisionsPerTurn, saw.DivisionsPerTurn, saw.owner)
	fill(c, "travel", &q.Travel, saw.Travel, saw.owner)
	setting := dial.Setting{
		Screw: dial.Screw{Lead: *q.Lead, DivisionsPerTurn: *q.DivisionsPerTurn},
		Kerf:  *q.Kerf, Travel: *q.Travel, Retract: *q.Retract, StartReading: *q.StartReading,
		Rounding: roundings[*q.Rounding],
	}
	if q.RoundUpTo != nil {
		setting.RoundUp = roundUps[*q.RoundUpTo]
	}
	table, err := dial.Schedule(dial.Job{Setting: setting, LeafThickness: *q.LeafThickness, LeafCount: *q.LeafCount, Skim: *q.Skim})
	if err != nil {
		return nil, err
	}
	if *q.Retract > 0 {
		fill(c, "backlash", &q.Backlash, saw.Backlash, saw.owner)
		warnRetract(c, setting, *q.Backlash)
	}
	if table.FarOff(*q.LeafThickness) {
		c.Warn(q.farOff(c.Show(table.LeafDeviation)))
	}
	return dialAnswer(q, setting.Screw, table), nil
}

var dialSources = []string{
	"advance = kerf + leaf thickness (definition)",
	"turns = advance / lead, one division = lead / divisions per turn (definition of the lead)",
}

// warnRetract warns if a retract does not move the board.
func warnRetract(c *endpoint.Call, s dial.Setting, backlash length.Length) {
	if dial.BackedOff(s.Distance(s.DivisionsUp(s.Retract)), backlash) == 0 {
		c.Warn(strings.NewReplacer("{value}", c.Show(s.Retract), "{limit}", c.Show(backlash)).Replace(runWords[run.RetractLost]))
	}
}

// farOff says that leaves come off by more than a tenth, and why.
func (q *DialRequest) farOff(by string) string {
	if q.RoundUpTo != nil {
		return "rounded up, the leaves come " + by + " thicker than asked: more than a tenth"
	}
	return "the dial cannot be set finely enough: rounded to its divisions, leaves come up to " + by + " off, more than a tenth of their thickness"
}

func dialAnswer(q *DialRequest, screw dial.Screw, table dial.Table) *DialAnswer {
	a := &DialAnswer{
		Advance: table.Advance, AdvanceSet: table.AdvanceSet, Turns: setTurns(screw, table.Divisions), TurnsAsked: screw.Turns(table.Advance),
		LeafDeviation: table.LeafDeviation, PositionDeviation: table.PositionDeviation,
		Steps: make([]DialStep, len(table.Steps)),
		Used:  q,
	}
	a.WholeTurns, a.Divisions = screw.Split(table.Divisions)
	for i := range table.Steps {
		a.Steps[i] = dialStep(screw, &table.Steps[i])
	}
	a.Sources = dialSources
	return a
}

// setTurns is a number of divisions in turns.
func setTurns(screw dial.Screw, divisions int64) float64 {
	return float64(divisions) / float64(screw.DivisionsPerTurn)
}

func dialStep(screw dial.Screw, s *dial.Step) DialStep {
	step := DialStep{
		Cut: s.Cut, Purpose: purposes[s.Purpose], Position: s.Position, Reading: s.Reading,
		Turns: setTurns(screw, s.Divisions),
	}
	step.WholeTurns, step.Divisions = screw.Split(s.Divisions)
	if s.Purpose == dial.Leaf {
		step.Leaf, step.Deviation = &s.Thickness, &s.Deviation
	}
	return step
}
