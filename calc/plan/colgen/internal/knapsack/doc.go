// Package knapsack finds the patterns of a board that are worth most, and bounds on
// what any pattern is worth: a table of upper bounds over a grid of capacities, then
// a search that the table guides. It also lists all patterns that are worth a floor.
package knapsack
