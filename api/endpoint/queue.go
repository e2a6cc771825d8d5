package endpoint

import (
	"context"
	"errors"
	"runtime"
	"time"
)

// Queue lets a few searches run at once and a few more wait, first come, first served.
// Calculators do not go through it; on two processors or more, one is left for them.
type Queue struct {
	workers chan struct{}   // holds a token for each search that runs
	places  chan struct{}   // holds a token for each search that runs or waits
	stop    context.Context //nolint:containedctx // it ends with the service, not with a call
	retry   time.Duration   // when to ask again if all places are taken
	cause   error           // why searches end when the service stops: errStopping, joined with the calculation's own error
}

// NewQueue makes a queue. If workers is 0, there is one less than there are processors,
// but at least one and at most four. A request that finds the queue full is told to ask
// again after retry. The function closes the queue for good; shutdown joins the cause
// with which the contexts of its searches then end.
func NewQueue(workers, waiting int, retry time.Duration, shutdown error) (*Queue, context.CancelFunc) {
	if workers <= 0 {
		workers = min(max(1, runtime.GOMAXPROCS(0)-1), maxWorkers)
	}
	stop, cancel := context.WithCancel(context.Background())
	q := &Queue{make(chan struct{}, workers), make(chan struct{}, workers+max(0, waiting)), stop, retry, errors.Join(errStopping, shutdown)}
	return q, cancel
}

// maxWorkers is the most workers that there are by default: each search takes its share
// of the memory.
const maxWorkers = 4

// Workers is how many searches may be worked on at once.
func (q *Queue) Workers() int { return cap(q.workers) }

// Running is how many searches are running.
func (q *Queue) Running() int { return len(q.workers) }

// Waiting is how many searches wait for a worker.
func (q *Queue) Waiting() int { return max(0, len(q.places)-len(q.workers)) }

// take takes a place in the queue. The caller gives it back by calling leave.
func (q *Queue) take() (leave func(), err error) {
	if q.stop.Err() != nil {
		return nil, errStopping
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

// turn waits for a worker. The caller lets it go by calling done.
func (q *Queue) turn(ctx context.Context) (done func(), err error) {
	select {
	case q.workers <- struct{}{}:
		if q.stop.Err() != nil { // the worker came free because the service stops
			<-q.workers
			return nil, errStopping
		}
		return func() { <-q.workers }, nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// errStopping and ErrGone say why a search was given up.
var (
	errStopping = &Failure{ProblemType: Unavailable, retry: stoppingRetry, detail: "the service is stopping: ask again when Retry-After says"}
	ErrGone     = &Failure{ProblemType: ClientGone, detail: "the client left before the answer was ready"}
)

// stoppingRetry is how long a service usually takes to come back.
const stoppingRetry = 5 * time.Second

// until returns a context that ends when the caller's does, with the cause ErrGone, or
// when the queue is closed, with the cause errStopping.
func (q *Queue) until(ctx context.Context) (context.Context, func()) {
	within, cancel := context.WithCancelCause(context.WithoutCancel(ctx))
	gone := context.AfterFunc(ctx, func() { cancel(ErrGone) })
	stopped := context.AfterFunc(q.stop, func() { cancel(q.cause) })
	return within, func() { gone(); stopped(); cancel(nil) }
}
