// Package calc is the book of calculations; each package below it is a chapter.
//
//	length    exact lengths: parsing, formatting
//	fault     the kinds of error that calculations return
//	yield     leaves from a board
//	dial      turns, divisions, schedules, backlash
//	feed      time, blade speed, feed per tooth, gullet load
//	blade     teeth for the stock, blades ranked
//	target    the thickness to aim at, and how many leaves to saw
//	align     blade, travel and face: parallel, square, and what to turn
//	gauge     measured leaves: variation, charts, capability, kerf, the next advance
//	wood      kinds of wood, moisture, movement, weight
//	rail      sag, vibration and supports of the rail
//	flatten   warped boards: skim, hold-back, crosscut first or not
//	laminate  leaves glued up, flat or bent
//	price     cost, quote, and what a pass costs
//	upkeep    what is due, and symptoms with their remedies
//	run       the run sheet, composed of the others
//	plan      which boards to cut for an order, with proof
//	lp        linear programs, for plan
//
// A chapter is pure: it reads and writes nothing, has no clock, and knows
// neither HTTP nor the names of the wire.
package calc
