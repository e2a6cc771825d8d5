package main

import (
	"bufio"
	"io"
	"sync"
	"time"
)

// flushAfter is the longest that a line waits to be written.
const flushAfter = 100 * time.Millisecond

// lineBuffer gathers the lines of a log, so that a busy service does not pay for
// a write with every request.
type lineBuffer struct {
	mu      sync.Mutex
	w       *bufio.Writer
	waiting bool // a flush is due
}

func newLineBuffer(w io.Writer) *lineBuffer { return &lineBuffer{w: bufio.NewWriterSize(w, 32<<10)} }

// Write takes one line.
func (b *lineBuffer) Write(line []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.waiting {
		b.waiting = true
		time.AfterFunc(flushAfter, b.Flush)
	}
	return b.w.Write(line)
}

// Flush writes what waits. A log that cannot be written has nowhere to say so.
func (b *lineBuffer) Flush() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.waiting = false
	_ = b.w.Flush()
}
