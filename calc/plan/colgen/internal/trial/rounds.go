package trial

import "testing"

// Rounds is how many rounds a test makes: all of them, or a tenth with -short.
func Rounds(full int) int {
	if testing.Short() {
		return max(1, full/10)
	}
	return full
}
