package api

import (
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// TestRush: where all slots are taken, calculations wait for one. As soon as one
// had to be sent away, those that come wait less, until for as long as it was told
// to stay away nobody had to be.
func TestRush(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAdmission()
		for range cap(a.slots) {
			if err := a.enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		refused := func(want time.Duration) {
			t.Helper()
			begin := time.Now()
			if err := a.enter(t.Context()); err == nil {
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
				if came < maxWait {
					refused(maxWait)
				} else {
					refused(rushWait)
				}
			})
			time.Sleep(every)
		}
		wait.Wait()
		time.Sleep(busyRetry - time.Nanosecond)
		refused(rushWait)
		time.Sleep(busyRetry)
		refused(maxWait)
		time.AfterFunc(rushWait-time.Nanosecond, a.leave)
		if err := a.enter(t.Context()); err != nil {
			t.Errorf("a slot came free in time: %v", err)
		}
	})
}

// TestQueueIsBounded: of more calculations than may wait, those beyond are sent
// away at once.
func TestQueueIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAdmission()
		for range cap(a.slots) {
			if err := a.enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		for range maxWaiting {
			go func() { _ = a.enter(t.Context()) }()
		}
		synctest.Wait()
		begin := time.Now()
		if err := a.enter(t.Context()); err == nil || time.Since(begin) != 0 {
			t.Errorf("one too many: %v after %s", err, time.Since(begin))
		}
	})
}

// TestGiveWay: a calculation that gives way goes on after those that wait, and
// keeps its slot where nobody does.
func TestGiveWay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAdmission()
		for range cap(a.slots) {
			if err := a.enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		a.giveWay()
		if len(a.slots) != cap(a.slots) {
			t.Fatal("a slot was left that nobody waits for")
		}
		const takes = 10 * time.Millisecond
		for range 3 {
			go func() {
				if err := a.enter(t.Context()); err != nil {
					t.Error(err)
				}
				time.Sleep(takes)
				a.leave()
			}()
		}
		synctest.Wait()
		begin := time.Now()
		a.giveWay()
		if waited := time.Since(begin); waited != 3*takes {
			t.Errorf("it went on after %s, want %s", waited, 3*takes)
		}
	})
}
