// Package length holds exact lengths: whole nanometres, read from and written
// to the notations of a workshop.
//
// One inch is 25.4 mm exactly (international yard and pound agreement, 1959;
// NIST Handbook 44, Appendix C), so a thousandth of an inch is 25 400 nm, a
// sixty-fourth is 396 875 nm and a micrometre is 1 000 nm: inch decimals,
// binary inch fractions down to 1/64 and metric sizes all add up with no
// drift. Text is read digit by digit, never by way of a float. What is finer
// than a nanometre is rounded to the nearest one, halves to even.
//
// A bare number takes the unit its reader names. A bare quarter size such as
// 8/4 is the lumber trade's name for a rough thickness and is always read in
// inches; [QuarterSize] reports it, so that a caller can ask for the measured
// thickness.
//
// The fractions, primes, quotation marks, minus signs and spaces that phones and word
// processors put in place of those of a keyboard are read as what was typed: 6½, 3’ 2”.
//
// Left out: areas and volumes, which are products of lengths and belong to the
// packages that need them.
package length
