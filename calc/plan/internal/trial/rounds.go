package trial

import (
	"os"
	"strconv"
)

// few is the share of its rounds that a test makes where RESAWD_ROUNDS does not say.
const few = 0.1

// Rounds is how many rounds a test of made-up orders makes: a tenth of the full number,
// or RESAWD_ROUNDS times the full number. The gate makes all of them (1).
func Rounds(full int) int { return max(1, int(share()*float64(full))) }

// Few tells whether tests make less than all of their rounds.
func Few() bool { return share() < 1 }

// share is how much of their full number of rounds tests make.
func share() float64 {
	if s, err := strconv.ParseFloat(os.Getenv("RESAWD_ROUNDS"), 64); err == nil && s > 0 {
		return s
	}
	return few
}
