package trial

import "testing"

// Rounds is how many rounds a test makes: all of them, or a tenth with -short and under
// the race detector, which takes some ten times as long.
func Rounds(full int) int {
	if Few() {
		return max(1, full/10)
	}
	return full
}

// Few tells whether tests make a tenth of their rounds.
func Few() bool { return testing.Short() || raced }
