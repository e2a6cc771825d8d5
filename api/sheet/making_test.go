package sheet

import (
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"resawd/calc/length"
)

// TestOneWorkbookAtATime: of workbooks that are asked for at once, each is made when the
// one before it is done.
func TestOneWorkbookAtATime(t *testing.T) {
	var making, made atomic.Int64
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			_, err := writeWorkbook("a", "b", length.Inch, func(*workbook) {
				if n := making.Add(1); n > 1 {
					t.Errorf("%d are made at once", n)
				}
				time.Sleep(10 * time.Millisecond) // in which another would begin
				making.Add(-1)
				made.Add(1)
			})
			if err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if made.Load() != 4 {
		t.Errorf("%d are made", made.Load())
	}
}
