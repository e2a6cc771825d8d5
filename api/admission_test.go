package api

import (
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// TestRush: where all slots are taken, calculations wait for one for a while. Once
// there has been no end to those that wait for that long, who comes then is sent
// away at once.
func TestRush(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a := newAdmission()
		for range cap(a.slots) {
			if err := a.enter(t.Context()); err != nil {
				t.Fatal(err)
			}
		}
		const every, come = 5 * time.Millisecond, 100
		var waited [come]time.Duration
		var wait sync.WaitGroup
		for i := range come {
			wait.Go(func() {
				begin := time.Now()
				if err := a.enter(t.Context()); err == nil {
					t.Error("there was a slot")
				}
				waited[i] = time.Since(begin)
			})
			time.Sleep(every)
		}
		wait.Wait()
		for i, w := range waited {
			want := maxWait
			if time.Duration(i)*every > maxWait {
				want = pressed
			}
			if w != want {
				t.Errorf("the one that came after %s was sent away after %s, want %s", time.Duration(i)*every, w, want)
			}
		}
		time.AfterFunc(2*pressed, a.leave)
		if err := a.enter(t.Context()); err != nil {
			t.Errorf("after the rush: %v", err)
		}
	})
}
