//go:build race

package solver

// slower is how many times longer the race detector may take.
const slower = 10
