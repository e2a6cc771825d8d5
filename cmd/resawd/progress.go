package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"resawd/api/calculator"
)

// liveLine is a line of a terminal that is written over and over. Without a terminal it
// writes nothing.
type liveLine struct {
	w    io.Writer // nil without a terminal
	last time.Time
	used bool
}

// progressLine makes a line on a writer, if that is a terminal.
func progressLine(w io.Writer) *liveLine {
	if file, ok := w.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			return &liveLine{w: w}
		}
	}
	return &liveLine{}
}

// lineEvery is the shortest time between two writes, which keeps the line readable.
const lineEvery = 100 * time.Millisecond

// show writes how far a search has come.
func (l *liveLine) show(progress any) {
	if p, ok := progress.(calculator.PlanProgress); ok {
		l.tell("best cost %s, bound %s, gap %.2f %%, %.1f s (Ctrl-C takes this plan)", p.Cost.Tell(0), p.LowerBound.Tell(0), 100*p.Gap, p.Seconds)
	}
}

// tell writes the line, unless it was written a moment ago.
func (l *liveLine) tell(format string, args ...any) {
	if l.w == nil || time.Since(l.last) < lineEvery {
		return
	}
	l.last, l.used = time.Now(), true
	fmt.Fprintf(l.w, "\r\x1b[K"+format, args...)
}

// clear removes the line.
func (l *liveLine) clear() {
	if l.used {
		fmt.Fprint(l.w, "\r\x1b[K")
	}
}
