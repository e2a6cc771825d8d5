//go:build race

package plan

// slower is how many times longer the race detector may take.
const slower = 10
