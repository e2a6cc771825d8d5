package api

import (
	"context"
	"time"
)

// searching is what a long calculation may know of who waits for it. Its zero
// value searches at once.
type searching struct {
	longest   time.Duration      // the longest time limit allowed, 0: the usual one
	timeLimit time.Duration      // in place of the request's, 0: none
	progress  func(PlanProgress) // told whenever the search gets better
}

// search runs a long calculation within its time limit. The calculation gives
// the best it has when its context ends.
func (c *call) search(limit time.Duration, work func(context.Context) error) error {
	ctx, cancel := context.WithTimeout(c, limit)
	defer cancel()
	return work(ctx)
}
