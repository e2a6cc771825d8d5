package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/dial"
	"resawd/calc/length"
)

// BacklashRequest asks how to come from one position to another.
type BacklashRequest struct {
	Settings
	// The position the dial stands at now, from its zero
	From *length.Length `json:"from,omitzero" validate:"required,gte=0,within=..100m"`
	// The position wanted
	To *length.Length `json:"to,omitzero" validate:"required,gte=0,within=..100m"`
	// Dial travel lost when the direction reverses; the saw's by default
	Backlash *length.Length `json:"backlash,omitzero" validate:"omitempty,gte=0,within=..1m"`
	// Travel of the screw in one turn; the saw's by default
	Lead *length.Length `json:"lead,omitzero" validate:"omitempty,gt=0,within=..1m"`
	// Marks around the dial; the saw's by default
	DivisionsPerTurn *int `json:"divisions_per_turn,omitzero" validate:"omitempty,gte=1,lte=10000"`
}

// BacklashAnswer is the moves that end with the backlash out.
type BacklashAnswer struct {
	// The moves in order; none where the positions are the same
	Moves []DialMove `json:"moves"`
	// Every input, given or defaulted
	Used *BacklashRequest `json:"used"`
	endpoint.Notes
}

// DialMove is one motion of the dial.
type DialMove struct {
	// Forward is toward the blade
	Direction string `json:"direction" enums:"forward,back"`
	// Dial travel of the move
	Distance length.Length `json:"distance"`
	// The move in turns as set: what the hand turns, to the nearest division
	Turns float64 `json:"turns"`
	// Whole turns of the move
	WholeTurns int `json:"whole_turns"`
	// Divisions beyond the whole turns
	Divisions int `json:"divisions"`
	// The mark the dial stands at after the move
	Reading int `json:"reading"`
}

// Table gives the rows that csv shows.
func (a *BacklashAnswer) Table() any { return a.Moves }

// Backlash answers how to come to a position so that the last motion is forward.
//
//	@Summary		How to come back from an overshoot
//	@Description	Gives the moves from one position to another so that the last motion is forward: one move to a target ahead; for a target behind, back by the smallest whole number of turns that exceeds the distance and the backlash together, then forward onto the target. It is for before the cut: once a cut is made at a wrong position, keep it.
//	@ID				backlash
//	@Tags			at the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		BacklashRequest	true	"The fields of the calculator"
//	@Success		200		{object}	BacklashAnswer
//	@Router			/v1/backlash [post]
func Backlash(c *endpoint.Call, q *BacklashRequest) (*BacklashAnswer, error) {
	saw, _ := machine(c, &q.Settings)
	fill(c, "backlash", &q.Backlash, saw.Backlash, saw.owner)
	fill(c, "lead", &q.Lead, saw.Lead, saw.owner)
	fill(c, "divisions_per_turn", &q.DivisionsPerTurn, saw.DivisionsPerTurn, saw.owner)
	screw := dial.Screw{Lead: *q.Lead, DivisionsPerTurn: *q.DivisionsPerTurn}
	moves, err := dial.Approach(screw, dial.Span{From: *q.From, To: *q.To}, *q.Backlash)
	if err != nil {
		return nil, err
	}
	a := &BacklashAnswer{Moves: make([]DialMove, len(moves)), Used: q}
	for i, m := range moves {
		a.Moves[i] = DialMove{Direction: "forward", Distance: m.Distance, Turns: setTurns(screw, m.Divisions), Reading: m.Reading}
		a.Moves[i].WholeTurns, a.Moves[i].Divisions = screw.Split(m.Divisions)
		if m.Back {
			a.Moves[i].Direction = "back"
		}
	}
	if *q.To < *q.From {
		c.Warn("this is for before the cut; once a cut is made at a wrong position, keep it: the next position is the actual one plus the advance")
	}
	a.Sources = []string{"always end a dial move forward; back by whole turns first (common practice)"}
	return a, nil
}
