// Package trial has made-up orders, and a brute force to hold the planner against,
// for tests and benchmarks. Nothing else imports it.
package trial

import "resawd/calc/length"

// nm is a length, counted in nanometres.
type nm = length.Length
