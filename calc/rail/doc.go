// Package rail tells how far the rail under the carriage sags, how it vibrates
// and where to support it.
//
// A rail is a beam of one section and one material: E is its modulus of
// elasticity, I the second moment of area of its section, m its mass a length,
// w = m g its weight a length, P a load standing on it, L its length. Lengths are
// [length.Length]; E is in GPa, density in kg/m3, stiffness E I in N m2, mass in
// kg/m, load in N. g is 9.80665 m/s2, the standard value.
//
//	supports at both ends   5 w L^4 / (384 E I) + P L^3 / (48 E I), P in the middle
//	cantilever                w L^4 / (8 E I)   + P L^3 / (3 E I),  P at the free end
//	first frequency         (B / 2 pi) sqrt(E I / (m L^4)), B = (beta L)^2:
//	                        9.87 on both ends, 3.52 for a cantilever
//
// The sag formulas stand in every table of beams (Roark's Formulas for Stress and
// Strain, table 8.1, from memory); the frequencies are in Thomson, Theory of
// Vibration with Applications, table 9.5-1.
//
// An overhanging rail stands on two supports, each an inset a from its end, S =
// L - 2a apart. Beam theory gives, relative to the supports,
//
//	middle  5 w S^4 / (384 E I) - w a^2 S^2 / (16 E I)
//	ends    w a (3 a^3 + 6 a^2 S - S^3) / (24 E I)
//	load    P S^3 / (48 E I) in the middle, P a^2 (S + a) / (3 E I) at an end
//
// and beta as the smallest root of the condition that the free ends, the supports and
// the rail's continuity make for shapes that are alike on both sides of the middle
// (frequency.go); those that are opposite vibrate faster.
//
// Best supports: the Airy points, S = L / sqrt(3), keep the ends parallel; the
// Bessel points, S = 0.5594 L, keep the length; between them and the places of
// equal sag of middle and ends there is little to choose, and all sag some forty
// times less than a rail on its ends.
//
// Common practice: a rail of up to 4 ft needs no support of its own, one of more
// than 5 ft gets its ends supported.
//
// Left out: the mass of the carriage in the frequency (it lowers it), damping,
// shear (a rail is long beside its height), and joints that give.
package rail
