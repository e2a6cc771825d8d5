//go:build !race

package solver

// slower is how many times longer than usual a test may take.
const slower = 1
