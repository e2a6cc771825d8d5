package api

import (
	"log/slog"
	"runtime"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api/endpoint"
	"resawd/api/sheet"
	"resawd/api/shop"
)

// TestRush: where all slots are taken, calculations wait for one. As soon as one
// had to be sent away, those that come wait less, until for as long as it was told
// to stay away nobody had to be.
func TestRush(t *testing.T) {
	const rushed = 5 * time.Millisecond
	synctest.Test(t, func(t *testing.T) {
		l := &newAdmission().small
		for range cap(l.slots) {
			if err := l.enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		refused := func(want time.Duration) {
			t.Helper()
			begin := time.Now()
			if err := l.enter(t.Context()); err == nil {
				t.Error("there was a slot")
			}
			if waited := time.Since(begin); waited != want {
				t.Errorf("it was sent away after %s, want %s", waited, want)
			}
		}
		var wait sync.WaitGroup
		const every = 3 * time.Millisecond // none comes in the moment in which another is sent away
		for came := time.Duration(0); came < 3*busyRetry; came += every {
			wait.Go(func() {
				if came < smallWait {
					refused(smallWait)
				} else {
					refused(rushed)
				}
			})
			time.Sleep(every)
		}
		wait.Wait()
		time.Sleep(busyRetry - time.Nanosecond)
		refused(rushed)
		time.Sleep(busyRetry)
		refused(smallWait)
		time.AfterFunc(rushed-time.Nanosecond, l.leave)
		if err := l.enter(t.Context()); err != nil {
			t.Errorf("a slot came free in time: %v", err)
		}
	})
}

// TestQueueIsBounded: of more calculations than may wait, those beyond are sent
// away at once.
func TestQueueIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := &newAdmission().small
		for range cap(l.slots) {
			if err := l.enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		for range maxWaiting {
			go func() { _ = l.enter(t.Context()) }()
		}
		synctest.Wait()
		begin := time.Now()
		if err := l.enter(t.Context()); err == nil || time.Since(begin) != 0 {
			t.Errorf("one too many: %v after %s", err, time.Since(begin))
		}
	})
}

// TestLines: where large calculations take all their slots, small ones have theirs,
// and what a search has found waits for a slot however long that takes.
func TestLines(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAdmission()
		for range cap(a.large.slots) {
			if err := a.lineOf(&asked{Calculator: &endpoint.Calculator{}, form: sheet.RunHTML}).enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		begin := time.Now()
		many := &asked{Calculator: &endpoint.Calculator{Many: true}, form: endpoint.JSON}
		if err := a.lineOf(many).enter(t.Context()); err == nil || time.Since(begin) != largeWait {
			t.Errorf("a batch had a slot, or was sent away after %s: %v", time.Since(begin), err)
		}
		if err := a.lineOf(&asked{Calculator: &endpoint.Calculator{}, form: endpoint.JSON}).enter(t.Context()); err != nil {
			t.Errorf("a small calculation: %v", err)
		}
		time.AfterFunc(time.Hour, a.large.leave)
		begin = time.Now()
		a.large.await()
		if waited := time.Since(begin); waited != time.Hour {
			t.Errorf("a plan was rendered after %s", waited)
		}
	})
}

// TestWorkersFollowProcessors: how much is worked on at once follows from the processors
// that Go counts, which a container's quota limits, not from those of the machine.
func TestWorkersFollowProcessors(t *testing.T) {
	demo, err := shop.Demo()
	if err != nil {
		t.Fatal(err)
	}
	for processors, want := range map[int]int{1: 3 + 1, 2: 6 + 1, 3: 9 + 2, 12: 36 + 4} {
		before := runtime.GOMAXPROCS(processors)
		s := New(Config{Shop: demo, Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry()})
		runtime.GOMAXPROCS(before)
		if got := s.Workers(); got != want {
			t.Errorf("with %d processors %d workers, want %d", processors, got, want)
		}
	}
}
