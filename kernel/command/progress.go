package command

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync/atomic"
	"time"

	"golang.org/x/term"
)

// quietFor is how long a person waits before wanting to know what goes on.
const quietFor = time.Second

// progress says on a terminal that work is going on once it takes longer than a
// second, and wipes the line when stop is called. Elsewhere it says nothing.
func progress(stderr io.Writer, what string) (stop func()) {
	_, stop = progressSteps(stderr, what)
	return stop
}

// progressSteps is progress that says how far the work is.
func progressSteps(stderr io.Writer, what string) (say func(string), stop func()) {
	f, ok := stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return func(string) {}, func() {}
	}
	var step atomic.Value
	step.Store("")
	done, over := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(over)
		wait := time.NewTimer(quietFor)
		defer wait.Stop()
		for shown := false; ; wait.Reset(quietFor / 4) {
			select {
			case <-done:
				if shown {
					fmt.Fprint(f, "\r\x1b[K")
				}
				return
			case <-wait.C:
			}
			fmt.Fprintf(f, "\r\x1b[Ktautline: %s ... %s", what, step.Load())
			shown = true
		}
	}()
	return func(s string) { step.Store(s) }, func() {
		close(done)
		<-over
	}
}

// bar draws how far the work is.
func bar(done, of int) string {
	const wide = 24
	n := wide * done / max(1, of)
	return fmt.Sprintf("[%s%s] %d of %d", strings.Repeat("#", n), strings.Repeat(".", wide-n), done, of)
}
