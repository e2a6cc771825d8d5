package calculator

import (
	"fmt"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/endpoint"
)

// BatchRequest asks many calculators at once.
type BatchRequest struct {
	// The calls, answered in order
	Requests []BatchCall `json:"requests,omitzero" validate:"required,min=1,max=1000,dive"`
}

// BatchCall asks one calculator.
type BatchCall struct {
	// Path of a calculator, such as /v1/dial. A batch takes no plans, tables or other batches
	Path *string `json:"path,omitzero" validate:"required,max=60"`
	// The fields of the calculator's request
	Body *endpoint.Object `json:"body,omitzero" validate:"required" swaggertype:"object"`
}

// BatchAnswer is the answers of a batch.
type BatchAnswer struct {
	// Digest of the build, the shop file and the requests
	ID string `json:"id"`
	// An answer for each call, in order
	Answers []BatchResult `json:"answers"`

	leaves, size int
	full         bool // whether a call went beyond the limits, so that those after it are refused
	endpoint.Bare
}

// BatchResult is the answer of one call.
type BatchResult struct {
	// The HTTP status that the call would have had alone
	Status int `json:"status"`
	// Its answer in JSON, or the problem that it met
	Body endpoint.Object `json:"body" swaggertype:"object"`
}

// Leaves counts the leaves.
func (a *BatchAnswer) Leaves() int { return a.leaves }

// What the answer of a batch may hold, however many calls it has.
const (
	maxBatchLeaves = 10_000
	maxBatchBytes  = 4 << 20
)

// Batch answers calls of other calculators, each with a status of its own.
//
//	@Summary		Many calculators in one request
//	@Description	Answers up to 1000 calls of calculators in order, each with the status and the body that it would have had alone: one that is refused stops no other. All answers together have 10000 leaves and 4 MiB at most; the call that goes beyond that and all after it are refused. Plans and tables have requests of their own.
//	@ID				batch
//	@Tags			in bulk
//	@Accept			json
//	@Produce		json
//	@Param			request	body		BatchRequest	true	"The fields of the calculator"
//	@Success		200		{object}	BatchAnswer
//	@Router			/v1/batch [post]
func Batch(calculators []endpoint.Calculator) func(*endpoint.Call, *BatchRequest) (*BatchAnswer, error) {
	return func(c *endpoint.Call, q *BatchRequest) (*BatchAnswer, error) {
		for i := range q.Requests {
			_ = (*jsontext.Value)(q.Requests[i].Body).Compact() // cannot fail: it has been read as JSON
		}
		a := &BatchAnswer{ID: c.Digest(q), Answers: make([]BatchResult, len(q.Requests))}
		for i := range q.Requests {
			if err := c.Err(); err != nil {
				return nil, err
			}
			answer, err := a.call(c, calculators, &q.Requests[i])
			if err != nil {
				return nil, err
			}
			a.Answers[i] = answer
		}
		return a, nil
	}
}

// call answers one call.
func (a *BatchAnswer) call(c *endpoint.Call, calculators []endpoint.Calculator, one *BatchCall) (BatchResult, error) {
	if a.full {
		return refused(c, errBatchFull)
	}
	body, leaves, err := answered(c, calculators, one)
	if err != nil {
		return refused(c, err)
	}
	switch {
	case a.leaves+leaves > maxBatchLeaves:
		err = endpoint.Fail(endpoint.InvalidFields, "with this answer the batch would have %d leaves, and %d are the limit: send this call and those after it in another batch", a.leaves+leaves, maxBatchLeaves)
	case a.size+len(body) > maxBatchBytes:
		err = endpoint.Fail(endpoint.InvalidFields, "with this answer the batch would have more than %d bytes: send this call and those after it in another batch", maxBatchBytes)
	default:
		a.leaves += leaves
		a.size += len(body)
		return BatchResult{statusOK, body}, nil
	}
	a.full = true
	return refused(c, err)
}

var errBatchFull = endpoint.Fail(endpoint.InvalidFields, "a call before this one went beyond what a batch may hold: send them in another batch")

// refused answers a call with the problem of an error.
func refused(c *endpoint.Call, err error) (BatchResult, error) {
	p := endpoint.ProblemOf(err)
	if p.Type == endpoint.InternalError.Path() {
		return BatchResult{}, err // for the log
	}
	p.Instance = c.ID
	return BatchResult{p.Status, endpoint.JSONOf(p, c.Unit)}, nil
}

// statusOK is the HTTP status of an answer.
const statusOK = 200

// answered asks the calculator of a call, and counts the leaves of its answer.
func answered(c *endpoint.Call, calculators []endpoint.Calculator, one *BatchCall) (body []byte, leaves int, err error) {
	for i := range calculators {
		k := &calculators[i]
		if k.Path != *one.Path || k.Long {
			continue
		}
		if c.Allows != nil {
			if err := c.Allows(k.Path); err != nil {
				return nil, 0, err
			}
		}
		own := &endpoint.Call{Context: c, Shop: c.Shop, Build: c.Build}
		answer, err := k.Solve(own, endpoint.Body(*one.Body))
		if err != nil {
			return nil, 0, k.Located(err, true)
		}
		if l, ok := answer.(interface{ Leaves() int }); ok {
			leaves = l.Leaves()
		}
		body, err = k.Append(nil, answer, endpoint.JSON, endpoint.View{Unit: own.Unit})
		return trimmed(body), leaves, err
	}
	return nil, 0, endpoint.Fail(endpoint.NotFound, "%s", noCalculator(*one.Path))
}

// trimmed cuts off the newline at the end of an answer.
func trimmed(body []byte) []byte {
	if n := len(body); n > 0 && body[n-1] == '\n' {
		return body[:n-1]
	}
	return body
}

func noCalculator(path string) string {
	return fmt.Sprintf("no calculator that a batch can ask has the path %q", path)
}
