// Package relax holds the state of one search and solves the linear relaxation of a
// node of it by column generation, with a bound that is certified in whole numbers.
package relax
