package calculator

import (
	"resawd/api/endpoint"
	"resawd/calc/dial"
	"resawd/calc/length"
)

// BacklashEstimateRequest asks what the backlash is.
type BacklashEstimateRequest struct {
	Settings
	// Pairs of readings of an indicator on the carriage, the dial at the same mark for both readings of a pair
	Pairs []ReadingPair `json:"pairs,omitzero" validate:"required,min=2,max=1000,dive"`
	// Confidence of the interval
	Confidence *float64 `json:"confidence,omitzero" validate:"omitempty,gte=0.5,lte=0.9999" absent:"0.95"`
}

// ReadingPair is two readings at one mark of the dial.
type ReadingPair struct {
	// Reading after the dial came to the mark forward
	Forward *length.Length `json:"forward,omitzero" validate:"required,within=-1m..1m"`
	// Reading after it came to the mark backward
	Back *length.Length `json:"back,omitzero" validate:"required,within=-1m..1m"`
}

// BacklashEstimateAnswer is the backlash with its interval.
type BacklashEstimateAnswer struct {
	// The mean difference of the pairs
	Backlash length.Length `json:"backlash"`
	// Low end of the confidence interval, at least 0
	Low length.Length `json:"low"`
	// High end of the confidence interval: what to allow for when backing off
	High length.Length `json:"high"`
	// Every input, given or defaulted
	Used *BacklashEstimateRequest `json:"used"`
	endpoint.Notes
}

// BacklashEstimate answers what the backlash is.
//
//	@Summary		The backlash, from paired indicator readings
//	@Description	Stand an indicator against the carriage. Come to a mark of the dial forward and read it, go past, come back to the same mark and read again: that is a pair. The backlash is the mean difference, with its confidence interval; do it at several marks.
//	@ID				backlash_estimate
//	@Tags			at the saw
//	@Accept			json
//	@Produce		json
//	@Param			request	body		BacklashEstimateRequest	true	"The fields of the calculator"
//	@Success		200		{object}	BacklashEstimateAnswer
//	@Router			/v1/backlash/estimate [post]
func BacklashEstimate(c *endpoint.Call, q *BacklashEstimateRequest) (*BacklashEstimateAnswer, error) {
	machine(c, &q.Settings)
	pairs := make([]dial.Pair, len(q.Pairs))
	for i, p := range q.Pairs {
		pairs[i] = dial.Pair{Forward: *p.Forward, Back: *p.Back}
	}
	e, err := dial.EstimateBacklash(pairs, *q.Confidence)
	if err != nil {
		return nil, err
	}
	if e.Low == 0 {
		c.Warn("the readings do not show whether there is any backlash: take more pairs, or an indicator with finer marks")
	}
	a := &BacklashEstimateAnswer{Backlash: e.Backlash, Low: e.Low, High: e.High, Used: q}
	a.Sources = []string{"mean difference of paired readings with Student's t (NIST/SEMATECH e-Handbook of Statistical Methods, 7.3.1.1)"}
	return a, nil
}
