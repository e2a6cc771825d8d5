// Package price tells what a job costs and what to ask for it, what its dust is
// worth, and what one pass of the saw costs in this shop.
//
// Money counts ten-thousandths of the currency's unit, in whole numbers ([Money]).
// A quote is made of lines:
//
//	wood         what the boards cost
//	left over    what is left of them, as a credit
//	labour       (run + extra seconds) * labour an hour / 3600
//	overhead     (run + extra seconds) * overhead an hour / 3600
//	blade        price of a blade * sawn area / the area it saws in its life
//	consumables  tape, glue, screws, abrasives
//	margin       total - cost, where total = cost / (1 - margin): a share of the price
//
// Each is rounded to a ten-thousandth, halves away from zero. For the quote, the
// total is rounded to the currency's minor unit (ISO 4217), and the lines are
// rounded so that they add up to it: all of them down, and then up again by one
// minor unit those that lost most (the method of largest remainders).
//
// With r = labour and overhead a second, a pass costs its seconds of handling,
// indexing and return times r; each unit of its length r over the feed, and the
// blade over its life for the height it saws; and a billet its set-up seconds times
// r. These are what a plan weighs against wood.
//
// Board feet. Hardwood is sold by the board foot, 144 cubic inches. The exact volume
// and the tally of the trade differ: the tally counts whole feet of length, rounds
// the surface measure (width in inches times length in feet over 12) to a whole
// number and counts thinner stock as one inch.
//
// Left out: taxes, discounts, and the capital that stock ties up.
//
// Sources: definitions of cost accounting; ISO 4217, list one, for minor units;
// the rules of the National Hardwood Lumber Association for the tally, as the
// American Hardwood Export Council gives them (americanhardwood.org).
package price
