package engine

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/gopherdata/gophernotes/imports"

	"tautline/kernel/engine/generic"
	"tautline/kernel/engine/library"
)

// The interpreter's own table of packages is global. It is emptied, so that
// nothing can be imported behind our back, and filled for the moment of an
// import, under the lock.
var tableLock sync.Mutex

// importable lists what cells can import.
func importable() []string {
	all := slices.Concat(library.Paths(), generic.Paths())
	slices.Sort(all)
	return all
}

// importPackage makes a package known to the checker and gives the table that
// the interpreter needs; ok is false when cells cannot import it.
func (e *Engine) importPackage(path string) (table imports.Package, ok bool) {
	if generic.Has(path) {
		return imports.Package{}, e.importGeneric()
	}
	if p, ok := e.packages[path]; ok {
		return p, true
	}
	lib, ok := library.Load(path)
	if !ok {
		return imports.Package{}, false
	}
	table = imports.Package{Name: lib.Name, Binds: maps.Clone(lib.Binds), Types: lib.Types, Untypeds: lib.Untypeds, Proxies: lib.Proxies}
	table.LazyInit(path)
	for name := range lib.Untypeds {
		table.Binds[name] = reflect.ValueOf(0.0) // the interpreter wants them listed here too
	}
	for name, f := range e.own(path) {
		table.Binds[name] = reflect.ValueOf(f)
	}
	e.packages[path] = table
	e.mirror.importPackage(path, table)
	if path == "time" {
		e.quantities[e.mirror.typ(reflect.TypeFor[time.Duration]())] = Quantity{Noun: "a duration", Example: "3*time.Second", Whole: true}
	}
	return table, true
}

// importGeneric makes the packages of generic functions known to the checker;
// the interpreter never sees them.
func (e *Engine) importGeneric() bool {
	if e.mirror.packages["cmp"] != nil {
		return true
	}
	all, err := generic.Packages()
	maps.Copy(e.mirror.packages, all)
	return err == nil
}

// own lists one engine's own versions: printing goes to its output, and
// sleeping ends when the cell is stopped.
func (e *Engine) own(path string) map[string]any {
	switch path {
	case "fmt":
		// Without results, or the byte count would show as the cell's value.
		return map[string]any{
			"Print":   func(a ...any) { fmt.Fprint(e.out, a...) },
			"Println": func(a ...any) { fmt.Fprintln(e.out, a...) },
			"Printf":  func(format string, a ...any) { fmt.Fprintf(e.out, named(format, a), a...) },
			"Sprintf": func(format string, a ...any) string { return fmt.Sprintf(named(format, a), a...) },
			"Errorf":  func(format string, a ...any) error { return fmt.Errorf(named(format, a), a...) },
		}
	case "time":
		return map[string]any{"Sleep": e.sleep}
	}
	return nil
}

var errNoTypeName = errors.New("%T does not know the types of cells; write the name out")

// named refuses to print the type of a value of a cell's type, which package
// fmt would call by the name of its dress.
func named(format string, a []any) string {
	if strings.Contains(format, "%T") {
		for _, v := range a {
			if _, ok := dressOf(v); ok || v != nil && isProxy(v) {
				panic(errNoTypeName)
			}
		}
	}
	return format
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

// print stands in for the built-in print and println, which write to the
// process's own error stream whatever the interpreter is told.
func (e *Engine) print(line bool) func(...any) {
	if line {
		return func(a ...any) { fmt.Fprintln(e.errors, a...) }
	}
	return func(a ...any) { fmt.Fprint(e.errors, a...) }
}
