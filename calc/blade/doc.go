// Package blade tells how many teeth suit a stock height and ranks blades for a
// cut.
//
// All of it is common practice of the trade, with no published source: a table
// of teeth per inch by stock height at slow feed, and what moves it. The table,
// where the last rule wins when two overlap:
//
//	below 1.5 in         10
//	from 1.5 in          8 to 10   between the rules: both are right
//	from 2 in to 4 in    8
//	above 4 in           6
//	above 8 in           4 to 6
//	(next coarser)       3 to 4    from memory
//
// Teeth and feed are chosen together. A feed above 20 in/min, midway between the
// 10 in/min of a power feed and the 30 in/min of a hand, takes the next coarser
// row, and so does gummy wood; wood of medium gum takes the next row's low end
// beside its own high end. A crosscut takes the next finer row.
//
// A blade suits when its teeth are not finer than the row, which clog, and its
// width is neither less than keeps straight nor more than the saw takes. Teeth
// coarser than the row cut fast and leave a rougher face: a matter of finish and
// speed, not of whether the blade suits. Form, tip and goal order the blades too.
//
// The score is half the mean of four parts, each from 0 to 1, and another half
// for a blade that suits, so that one that does not never scores above one that
// does:
//
//	teeth   1 within the row, else how many times off: low/tpi and the like;
//	        1 for coarser ones too where speed is the goal
//	width   1 for 1/2 in, or for 3/4 in above 8 in of height; less in proportion,
//	        and so above the widest that the saw takes
//	tooth   form and tip, see below
//	goal    finish: tpi over the row's high end, at most 1;
//	        recovery: leaf / (leaf + kerf);
//	        speed: the row's low end over tpi, at most 1
//
// For tooth, gummy wood wants the room of skip or hook teeth and a crosscut
// regular teeth; carbide tips are rougher and are kept for gummy wood (and very
// dense wood, which is not asked for here). Half is lost by the wrong form and
// half by the wrong tip. For wood whose gum nobody knows the row stands as it is, and
// nothing is said of tips. That skip teeth are used for resawing is also said in
// Oklahoma State University Extension NREM-5046, "Efficient use of bandsaws in
// lumber manufacturing".
//
// Left out: prices (package price), the wear of a blade (package upkeep), and
// the rule of three teeth in the stock, which is meant for thin metal.
package blade
