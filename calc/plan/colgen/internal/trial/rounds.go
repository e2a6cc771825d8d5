package trial

import "resawd/calc/plan/internal/trial"

// Rounds is how many rounds a test makes, as in all tests of the planner.
func Rounds(full int) int { return trial.Rounds(full) }
