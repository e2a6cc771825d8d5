package plan

import (
	"resawd/calc/fault"
	"resawd/calc/length"
)

// Stretch is where a piece lies along the length of a board, or across its
// width.
type Stretch struct{ From, To length.Length }

// Line is a cut: the edge of the piece that it frees, and the wood beside that
// edge that turns to dust.
type Line struct {
	At     length.Length
	Kerf   Stretch
	Piece  int  // index of the piece
	Before bool // the kerf lies before the line: an end, a defect or an offcut comes off
}

// Lines returns the cuts, in order, that part pieces from a room: one behind
// each piece that does not end with the room, and one before a piece that does
// not begin where the last cut ended. Next to another cut or an end, a kerf is
// only as wide as the wood there.
//
// Source: definition.
// Valid: pieces in order, within the room, with a kerf between neighbours.
func Lines(pieces []Stretch, room, kerf length.Length) ([]Line, error) {
	if err := fault.First(fault.Within("room", room, 0, MaxSize), fault.Within("kerf", kerf, 0, MaxSize)); err != nil {
		return nil, err
	}
	var lines []Line
	var free length.Length // where wood that is not cut begins
	for i, p := range pieces {
		if err := fault.First(fault.Within("piece from", p.From, free, room), fault.Above("piece to", p.To, p.From, room)); err != nil {
			return nil, err
		}
		if p.From > free {
			lines = append(lines, Line{p.From, Stretch{max(free, p.From-kerf), p.From}, i, true})
		}
		free = p.To + kerf
		if p.To < room {
			lines = append(lines, Line{p.To, Stretch{p.To, min(free, room)}, i, false})
		}
	}
	return lines, nil
}
