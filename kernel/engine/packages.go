package engine

import (
	"context"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/gopherdata/gophernotes/imports"
)

// allowed lists the packages that cells can import. Nothing in them reaches
// files, network, processes or memory.
var allowed = []string{"errors", "fmt", "math", "math/rand", "sort", "strconv", "strings", "time"}

// removed lists what is taken out of those packages, and why: fmt.Scan reads
// the process's own input, LoadLocation reads files, timers call back from
// goroutines or hand out channels, which cells do not have.
var removed = map[string][]string{
	"fmt": {"Scan", "Scanf", "Scanln", "Fscan", "Fscanf", "Fscanln"},
	"time": {"LoadLocation", "LoadLocationFromTZData", "After", "AfterFunc", "Tick",
		"NewTicker", "NewTimer", "Ticker", "Timer"},
}

// The interpreter's table of packages is global. Once our part is copied out
// the table stays empty, so that nothing can be imported behind our back; it
// is filled for the moment of an import, under the lock.
var (
	tableLock sync.Mutex
	table     map[string]imports.Package
)

func allowedTable() map[string]imports.Package {
	if table != nil {
		return table
	}
	table = make(map[string]imports.Package)
	for _, path := range allowed {
		table[path] = trimmed(imports.Packages[path], removed[path])
	}
	clear(imports.Packages)
	return table
}

// trimmed copies a package without the names that cells may not use, and with
// its variables as they are now: a cell that set time.UTC would set it for the
// whole process.
func trimmed(p imports.Package, names []string) imports.Package {
	p.Binds, p.Types = maps.Clone(p.Binds), maps.Clone(p.Types)
	for _, name := range names {
		delete(p.Binds, name)
		delete(p.Types, name)
	}
	for name, v := range p.Binds {
		if v.CanSet() {
			p.Binds[name] = reflect.ValueOf(v.Interface())
		}
	}
	return p
}

// newPackages makes one engine's packages: printing goes to its own output,
// and sleeping ends when the cell is stopped.
func (e *Engine) newPackages() map[string]imports.Package {
	packages := maps.Clone(allowedTable())
	bind := func(path, name string, f any) {
		p := packages[path]
		p.Binds = maps.Clone(p.Binds)
		p.Binds[name] = reflect.ValueOf(f)
		packages[path] = p
	}
	// Without results, or the byte count would show as the cell's value.
	bind("fmt", "Print", func(a ...any) { fmt.Fprint(e.out, a...) })
	bind("fmt", "Println", func(a ...any) { fmt.Fprintln(e.out, a...) })
	bind("fmt", "Printf", func(format string, a ...any) { fmt.Fprintf(e.out, format, a...) })
	bind("time", "Sleep", e.sleep)
	return packages
}

// sleep is time.Sleep that stops when the cell does.
func (e *Engine) sleep(d time.Duration) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-e.context().Done():
		panic(context.Cause(e.context()))
	}
}

func (e *Engine) importable() string {
	return strings.Join(slices.Sorted(maps.Keys(e.packages)), ", ")
}

// printTo stands in for the built-in print and println, which write to the
// process's own error stream whatever the interpreter is told.
func printTo(out io.Writer, line bool) func(...any) {
	if line {
		return func(a ...any) { fmt.Fprintln(out, a...) }
	}
	return func(a ...any) { fmt.Fprint(out, a...) }
}
