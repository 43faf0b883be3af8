package command

import (
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// quietFor is how long a person waits before wanting to know what goes on.
const quietFor = time.Second

// progress says on a terminal that work is going on once it takes longer than a
// second, and wipes the line when stop is called. Elsewhere it says nothing.
func progress(stderr io.Writer, what string) (stop func()) {
	f, ok := stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return func() {}
	}
	done, over := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(over)
		select {
		case <-done:
			return
		case <-time.After(quietFor):
		}
		fmt.Fprintf(f, "tautline: %s ...", what)
		<-done
		fmt.Fprint(f, "\r\x1b[K")
	}()
	return func() {
		close(done)
		<-over
	}
}
