// Package solve solves problems of one dimension by cheap methods first and expensive
// ones last, and stops as soon as a plan meets the bound.
//
// Sources: as in package colgen; each package below it names its own.
//
// Left out: choosing among plans of equal cost.
package solve
