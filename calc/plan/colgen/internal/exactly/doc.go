// Package exactly asks whether there is a plan with a given number of boards: by a
// relaxation that counts the waste, by dives from it, by listing all patterns that
// are within the waste, and by branch and price.
package exactly
