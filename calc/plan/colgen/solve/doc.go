// Package solve solves problems of one dimension, from the cheap methods to the
// dear ones, and stops as soon as a plan meets the bound.
//
// Sources: as of package colgen; each room names its own.
//
// Left out: choosing among plans of equal cost.
package solve
