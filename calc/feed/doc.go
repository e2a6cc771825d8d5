// Package feed tells how fast the blade runs, how much each tooth takes, and
// how long the cuts and the whole run last.
//
// Lengths are [length.Length], speeds [Speed], times seconds, areas square
// millimetres. With D the diameter of the wheels, f the feed, v the blade speed,
// p the tooth pitch (an inch over the teeth per inch), h the height of the stock
// and A the area of one gullet seen from the side:
//
//	v = pi D rpm         the blade runs as fast as the rim of its wheel
//	b = f p / v          feed per tooth: how far the board moves while one pitch passes
//	h / p                teeth in the cut
//	b h / A              gullet feed index: solid wood a gullet takes, over its room
//
// They are the standard formulas of saw theory, here from memory: no printed
// source was at hand. The first is geometry and the next two follow from it.
//
// Left out: a verdict on feed per tooth or on the gullet feed index. The figures
// that are printed are for mills and do not fit feeding by hand or a small
// power feed. Also left out are the force and power of the cut, which need the
// wood's specific resistance.
package feed
