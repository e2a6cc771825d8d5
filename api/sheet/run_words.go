package sheet

import (
	"fmt"

	"resawd/api/calculator"
	"resawd/calc/length"
)

// What to do between two cuts, with the saw unplugged whenever hands come near the
// blade or the screw comes off the board.
//
// Source: common practice.
const (
	makeSafe   = "Switch off, wait until the blade has stopped, and unplug. "
	goOn       = " Everybody clear: plug in, and go on."
	cleanWords = "Clean. " + makeSafe + "Wipe the blade, the carriage wheels and the rail; look at the teeth." + goOn
)

// rezeroWords say how to wind the screw back while the board stays where it is. The
// screw goes back one turn more than wanted and forward again, so that it pushes as
// before.
func rezeroWords(q *calculator.RunRequest, c *calculator.RunCut, reading int) string {
	text := "Re-zero. " + makeSafe
	if *q.Retract > 0 {
		text += fmt.Sprintf("Unlock, turn the dial forward to %d to take up the retract, and lock. ", reading)
	}
	return text + fmt.Sprintf("The locked cross-slide holds the board: leave it locked, and uncouple the screw from it. Wind the screw back %s, then forward 1 turn, and couple it again: the dial stands at %d, turn %d.",
		count(1-c.WholeTurns, "whole turn"), reading, c.TurnTally) + goOn
}

// restWords say that what remains is the last leaf.
func restWords(c *calculator.RunCut, unit length.Length) string {
	return fmt.Sprintf("The rest is leaf %d, %s thick: no cut. %sLet go of it, write its number and mark on it, and ease its edges: %s.",
		c.Leaf, fixed(*c.Thickness, unit), makeSafe, c.Mark)
}

// backWords say how to back the board off before the carriage returns; they are empty
// without a retract.
func backWords(q *calculator.RunRequest, reading int) string {
	if *q.Retract == 0 {
		return ""
	}
	screw := q.Screw()
	back := screw.DivisionsUp(*q.Retract)
	turns, divisions := screw.Split(back)
	return fmt.Sprintf("Board clear of the blade: unlock, back %s + %d to %d, lock, return.",
		count(turns, "turn"), divisions, screw.Reading(reading, -back))
}
