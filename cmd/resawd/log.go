package main

import (
	"bufio"
	"io"
	"sync"
	"time"
)

// flushAfter is the longest time that a line waits to be written.
const flushAfter = 100 * time.Millisecond

// lineBuffer gathers the lines of a log, so that a busy service does not make a system
// call for each request.
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

// Flush writes the lines that wait. If the log cannot be written, there is nowhere to
// report it.
func (b *lineBuffer) Flush() {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.waiting = false
	_ = b.w.Flush()
}
