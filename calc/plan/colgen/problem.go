package colgen

import "math"

// Unlimited is the Quantity of a kind of board that never runs out.
const Unlimited = -1

// Limits of a problem. They keep costs and bounds within 64-bit integers, with
// MaxTotal on the dearest board for every copy wanted.
const (
	MaxItems    = 5_000
	MaxKinds    = 10_000
	MaxDemand   = 1_000_000
	MaxCost     = int64(1) << 40
	MaxTotal    = int64(1) << 52
	MaxQuantity = math.MaxInt32
	MaxCapacity = int64(1) << 50 // and largest size
)

// Problem is a cutting-stock problem: cover Demand from boards of Kinds.
type Problem struct {
	Kinds    []Kind  // the kinds of board
	Capacity []int64 // of a board of each kind, in any unit
	Size     []int64 // of each item, in that unit
	Demand   []int   // copies wanted of each item, 0 allowed
}

// Kind is a kind of board: what one costs and how many there are.
type Kind struct {
	Cost     int64 // of one board, 0 to MaxCost, in any unit
	Quantity int   // boards on the rack, or Unlimited
}

// Piece is some copies of one item in a pattern.
type Piece struct {
	Item  int // index into Problem.Demand
	Count int // at least 1
}

// Pattern says what is cut from one board of a kind.
// Items occur once each, in rising order.
type Pattern struct {
	Kind   int
	Pieces []Piece
}

// Use is a pattern and the number of boards cut to it.
type Use struct {
	Pattern
	Copies int
}

// Options steer a search. The zero value searches without limit.
type Options struct {
	// WorkLimit ends the search after that many elementary steps (about a
	// thousand million in a second or two); 0 means no limit.
	WorkLimit int64
	// Seed varies the randomised restarts. The same seed gives the same result.
	Seed uint64
	// Progress is called whenever the cost or the bound improves.
	Progress func(Progress)
}

// Progress is how far a search has come.
type Progress struct {
	Found      bool  // there is a plan; otherwise Cost means nothing
	Cost       int64 // of the best plan
	LowerBound int64 // certified
}

// Status says what a Result is.
type Status int

// The statuses.
const (
	Unknown    Status = iota // no plan was found and none was ruled out
	Infeasible               // proven: the boards cannot cover the demands
	Feasible                 // a plan, with a bound on the least cost
	Optimal                  // a plan of proven least cost
)

// String returns the status in lower case.
func (s Status) String() string {
	return [...]string{"unknown", "infeasible", "feasible", "optimal"}[s]
}

// Stop says why a search ended.
type Stop int

// The reasons.
const (
	ByProof Stop = iota // the question is settled
	ByWork              // the work limit was reached, or all methods are exhausted
	ByTime              // the context ended
)

// String returns the reason as one word.
func (s Stop) String() string { return [...]string{"proof", "work", "time"}[s] }

// Result is what a search found.
type Result struct {
	Status     Status
	StoppedBy  Stop
	Cost       int64   // of Plan; 0 without one
	LowerBound int64   // certified in integers: no plan costs less
	Gap        float64 // (Cost - LowerBound)/Cost, 0 when Cost is 0
	Plan       []Use   // sorted by kind and pieces; may cut more than the demand
	// ItemPrice is an estimate from the linear program of what one more copy of each
	// item would cost. Nil when no linear program was solved.
	ItemPrice []float64
	Stats     Stats
}

// Stats counts what a search did.
type Stats struct {
	Work    int64 // elementary steps
	Columns int   // patterns generated
	Dives   int

	MemoryFull bool // something was left out for want of memory
}

// Gap is (cost - bound)/cost, 0 when cost is 0.
//
// Source: definition.
func Gap(cost, bound int64) float64 {
	if cost == 0 {
		return 0
	}
	return float64(cost-bound) / float64(cost)
}
