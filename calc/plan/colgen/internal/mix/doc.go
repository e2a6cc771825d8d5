// Package mix searches the numbers of boards of several kinds. Dual prices turn into
// surrogate rows that every plan meets; the mixes that meet them all are tried in
// the order of their cost, each filled or ruled out. It has the dives, too, which
// round a relaxation to a plan and leave what is left of it to a mix.
package mix
