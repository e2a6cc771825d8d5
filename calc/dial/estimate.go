package dial

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"resawd/calc/fault"
	"resawd/calc/length"
)

// MaxPairs is the most pairs that an estimate takes.
const MaxPairs = 1_000

// Limits of a confidence: that of a coin, and more than any shop measures.
const (
	minConfidence = 0.5
	maxConfidence = 0.9999
)

// Pair is what an indicator on the carriage reads with the dial at one and the same
// mark, reached by turning forward and reached by turning back.
type Pair struct{ Forward, Back length.Length }

// Estimate is a backlash with its confidence interval.
type Estimate struct{ Backlash, Low, High length.Length }

// EstimateBacklash gives the backlash as the mean difference of paired readings,
// whichever way the indicator counts. Its low end is never below 0.
//
// Source: definition; the interval of a mean difference by Student's t, e-Handbook
// 7.3.1.1 (paired observations).
// Valid: 2 to [MaxPairs] pairs, readings within 1 m either way, 0.5 <= confidence <=
// 0.9999. A fault of one pair is a *[fault.Entry].
// Accuracy: rounded to a nanometre.
func EstimateBacklash(pairs []Pair, confidence float64) (Estimate, error) {
	if err := fault.First(
		fault.Within("pairs", len(pairs), 2, MaxPairs),
		fault.Within("confidence", confidence, minConfidence, maxConfidence),
	); err != nil {
		return Estimate{}, err
	}
	differences := make([]float64, len(pairs))
	for i, p := range pairs {
		if err := fault.First(
			fault.Within("forward", p.Forward, -maxLead, maxLead),
			fault.Within("back", p.Back, -maxLead, maxLead),
		); err != nil {
			return Estimate{}, &fault.Entry{List: "pairs", Index: i, Err: err}
		}
		differences[i] = float64(p.Forward - p.Back)
	}
	n := float64(len(pairs))
	mean, sd := stat.MeanStdDev(differences, nil)
	mean = math.Abs(mean)
	margin := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile((1+confidence)/2) * sd / math.Sqrt(n)
	nearest := func(nm float64) length.Length { return length.Length(math.Round(nm)) }
	return Estimate{nearest(mean), nearest(max(0, mean-margin)), nearest(mean + margin)}, nil
}
