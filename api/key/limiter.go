package key

import (
	"math"
	"sync"
	"time"
)

// maxBuckets is how many callers a limiter tells apart. Those beyond share one bucket.
const maxBuckets = 10_000

// Limiter allows each caller a number of requests a second, and a larger number at
// once. It is safe for concurrent use.
type Limiter struct {
	rate, burst float64
	mu          sync.Mutex
	buckets     map[string]*bucket
	rest        bucket // of callers beyond maxBuckets
	swept       time.Time
}

// bucket is what a caller has left. It fills with time, up to the burst.
type bucket struct {
	left float64
	at   time.Time
}

// NewLimiter makes a limiter; rate is in requests a second.
func NewLimiter(rate float64, burst int) *Limiter {
	return &Limiter{rate: rate, burst: float64(burst), buckets: map[string]*bucket{}, rest: bucket{left: float64(burst)}}
}

// Take takes one request from a caller's bucket. If the bucket is empty it returns how
// long to wait.
func (l *Limiter) Take(caller string, now time.Time) (wait time.Duration, ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	b := l.bucket(caller, now)
	l.fill(b, now)
	if b.left < 1 {
		return time.Duration(math.Ceil((1 - b.left) / l.rate * float64(time.Second))), false
	}
	b.left--
	return 0, true
}

// fill adds what has accrued since the last time. A clock that was set back adds
// nothing.
func (l *Limiter) fill(b *bucket, now time.Time) {
	b.left = min(l.burst, b.left+l.rate*max(0, now.Sub(b.at).Seconds()))
	b.at = now
}

// bucket finds or makes a caller's bucket.
func (l *Limiter) bucket(caller string, now time.Time) *bucket {
	if b, ok := l.buckets[caller]; ok {
		return b
	}
	if len(l.buckets) >= maxBuckets {
		l.sweep(now)
	}
	if len(l.buckets) >= maxBuckets {
		return &l.rest
	}
	b := &bucket{l.burst, now}
	l.buckets[caller] = b
	return b
}

// sweep forgets callers whose buckets are full again. It does so once a second at most.
func (l *Limiter) sweep(now time.Time) {
	if since := now.Sub(l.swept); since >= 0 && since < time.Second {
		return
	}
	l.swept = now
	for caller, b := range l.buckets {
		if l.fill(b, now); b.left >= l.burst {
			delete(l.buckets, caller)
		}
	}
}
