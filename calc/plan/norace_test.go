//go:build !race

package plan

// slower is how many times longer than usual a test may take.
const slower = 1
