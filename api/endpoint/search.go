package endpoint

import (
	"context"
	"errors"
	"time"
)

// Search is what a long calculation may know of who waits for it. Its zero value
// searches at once, as long as the request says.
type Search struct {
	LongestLimit time.Duration      // the longest time limit that a request may ask; as long as the calculator allows when 0
	TimeLimit    time.Duration      // in place of the request's, 0: none
	Queue        *Queue             // where to wait for a worker, nil: no waiting
	Waits        func()             // told when the request is good and stands in the queue, if not nil
	Progress     func(progress any) // told whenever the search gets better, a struct for the wire, if not nil
	Took         time.Duration      // how long the search went on, when it has ended
}

// Run runs a long calculation within its time limit. The calculation gives the
// best it has when its context ends, and that is the answer, unless the client
// left. A calculation that has nothing yet gives an error; where the service
// stops, that becomes ErrStopping, which is the cause of the context's end, too.
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
