package endpoint

import (
	"context"
	"errors"
	"runtime"
	"time"
)

// Queue lets a few searches be worked on at once and a few more wait, first
// come, first served. A calculator never stands in it, and a processor is left
// to answer calculators where there are two.
type Queue struct {
	workers chan struct{}   // holds a token for each search being worked on
	places  chan struct{}   // and one for each that is worked on or waits
	stop    context.Context //nolint:containedctx // it ends with the service, not with a call
	retry   time.Duration   // when to ask again where all places are taken
	cause   error           // of the end of searches when the service stops: ErrStopping and the calculation's own
}

// NewQueue makes a queue; workers 0 is one less than there are processors, but
// at least one and at most four. Whoever finds it full is told to ask again after the time given.
// The function closes the queue for good; shutdown is what the calculation knows
// as the cause of that.
func NewQueue(workers, waiting int, retry time.Duration, shutdown error) (*Queue, context.CancelFunc) {
	if workers <= 0 {
		workers = min(max(1, runtime.GOMAXPROCS(0)-1), maxWorkers)
	}
	stop, cancel := context.WithCancel(context.Background())
	q := &Queue{make(chan struct{}, workers), make(chan struct{}, workers+max(0, waiting)), stop, retry, errors.Join(ErrStopping, shutdown)}
	return q, cancel
}

// maxWorkers is how many workers there are where nobody says: each search has a
// share of the memory.
const maxWorkers = 4

// Workers is how many searches may be worked on at once.
func (q *Queue) Workers() int { return cap(q.workers) }

// Running is how many searches are being worked on.
func (q *Queue) Running() int { return len(q.workers) }

// Waiting is how many stand in the queue.
func (q *Queue) Waiting() int { return max(0, len(q.places)-len(q.workers)) }

// take takes a place in the queue. Whoever has one calls the function to give
// it back.
func (q *Queue) take() (leave func(), err error) {
	if q.stop.Err() != nil {
		return nil, ErrStopping
	}
	select {
	case q.places <- struct{}{}:
		return func() { <-q.places }, nil
	default:
		return nil, &Failure{
			ProblemType: Unavailable, retry: q.retry,
			detail: "all workers are busy and the queue is full: ask again when Retry-After says",
		}
	}
}

// turn waits for a worker and gives a function to let it go.
func (q *Queue) turn(ctx context.Context) (done func(), err error) {
	select {
	case q.workers <- struct{}{}:
		if q.stop.Err() != nil { // it was given up by a search that the stop ended
			<-q.workers
			return nil, ErrStopping
		}
		return func() { <-q.workers }, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// ErrStopping and ErrGone say why a search was given up.
var (
	ErrStopping = &Failure{ProblemType: Unavailable, retry: stoppingRetry, detail: "the service is stopping: ask again when Retry-After says"}
	ErrGone     = &Failure{ProblemType: ClientGone, detail: "the client left before the answer was ready"}
)

// stoppingRetry is how long a service usually takes to come back.
const stoppingRetry = 5 * time.Second

// until gives a context that ends with the caller's, with ErrGone as its cause,
// or when the queue is closed, with ErrStopping.
func (q *Queue) until(ctx context.Context) (context.Context, func()) {
	within, cancel := context.WithCancelCause(context.WithoutCancel(ctx))
	gone := context.AfterFunc(ctx, func() { cancel(ErrGone) })
	stopped := context.AfterFunc(q.stop, func() { cancel(q.cause) })
	return within, func() { gone(); stopped(); cancel(nil) }
}
