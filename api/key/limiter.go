package key

import (
	"math"
	"sync"
	"time"
)

// maxBuckets bounds how many callers a limiter tells apart; those beyond share
// one bucket.
const maxBuckets = 10_000

// Limiter allows each caller so many requests a second, and a burst of more at
// once. It is safe for use by many at once.
type Limiter struct {
	rate, burst float64
	mu          sync.Mutex
	buckets     map[string]*bucket
	rest        bucket // of callers beyond maxBuckets
	swept       time.Time
}

// bucket holds what is left to a caller: it fills with time, up to the burst.
type bucket struct {
	left float64
	at   time.Time
}

// NewLimiter makes a limiter; the rate is in requests a second.
func NewLimiter(rate float64, burst int) *Limiter {
	return &Limiter{rate: rate, burst: float64(burst), buckets: map[string]*bucket{}, rest: bucket{left: float64(burst)}}
}

// Take takes a request of a caller off its bucket. Where nothing is left it
// gives how long to wait.
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

// fill adds what time has given; a clock that was set back gives nothing.
func (l *Limiter) fill(b *bucket, now time.Time) {
	b.left = min(l.burst, b.left+l.rate*max(0, now.Sub(b.at).Seconds()))
	b.at = now
}

// bucket finds a caller's bucket, or makes it.
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

// sweep forgets the callers whose buckets are full again, once a second at most.
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
