package endpoint

import (
	"context"
	"errors"
	"time"
)

// Search is what a long calculation may know about the client that waits for it. Its
// zero value searches at once, for as long as the request says.
type Search struct {
	LongestLimit time.Duration      // the longest time limit that a request may ask for; that of the calculator when 0
	TimeLimit    time.Duration      // in place of the request's; none when 0
	Queue        *Queue             // where to wait for a worker; no waiting when nil
	Waits        func()             // called when the request has been found good and has a place in the queue; may be nil
	Progress     func(progress any) // called with a struct for the wire whenever the search finds something better; may be nil
	Took         time.Duration      // how long the search took, once it has ended
}

// Run runs a long calculation within its time limit. When its context ends, work
// returns nil if it has an answer, the best so far, which then counts unless the client
// has left; if it has none it returns an error, which becomes errStopping if the
// service stops. errStopping is among the causes of the context's end, too.
func (s *Search) Run(caller context.Context, limit time.Duration, work func(context.Context) error) error {
	if s.Queue == nil {
		ctx, cancel := context.WithTimeout(caller, limit)
		defer cancel()
		return work(ctx)
	}
	leave, err := s.Queue.take()
	if err != nil {
		return err
	}
	defer leave()
	within, end := s.Queue.until(caller)
	defer end()
	if s.Waits != nil {
		s.Waits()
	}
	done, err := s.Queue.turn(within)
	if err != nil {
		return err
	}
	defer done()
	start := time.Now()
	ctx, cancel := context.WithTimeout(within, limit)
	defer cancel()
	err = work(ctx)
	s.Took = time.Since(start)
	switch cause := context.Cause(within); {
	case errors.Is(cause, ErrGone), err != nil && cause != nil:
		return cause
	default:
		return err
	}
}
