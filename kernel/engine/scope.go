package engine

import (
	"fmt"
	"go/token"
	"go/types"
	"maps"
)

// A scope is what the cells so far have declared and imported. Each run works
// on a copy and puts it in place only as far as it came.
type scope struct {
	symbols map[string]symbol
	imports map[string]string // the name in cells -> import path
}

// A symbol is one declared name. A name that is declared again with another
// type gets a new place in the interpreter, so that what was built with the
// earlier one keeps its meaning; with the same type it keeps its place, so that
// functions follow when a cell with a number in it is changed and run again.
type symbol struct {
	object types.Object
	inner  string // what the interpreter calls it
}

func newScope() scope {
	return scope{symbols: map[string]symbol{}, imports: map[string]string{}}
}

func (s scope) clone() scope {
	return scope{symbols: maps.Clone(s.symbols), imports: maps.Clone(s.imports)}
}

// declare adds an object under its name, in place of an earlier one.
func (e *Engine) declare(s scope, obj types.Object) {
	delete(s.imports, obj.Name())
	sym := symbol{obj, e.innerName(s, obj)}
	s.symbols[obj.Name()] = sym
	e.inner[obj] = sym.inner
	if t, ok := obj.(*types.TypeName); ok && !t.IsAlias() {
		e.cellTypes[t.Name()] = t
	}
}

func (e *Engine) innerName(s scope, obj types.Object) string {
	name := obj.Name()
	if old, ok := s.symbols[name]; ok && sameSlot(old.object, obj) {
		return old.inner
	}
	if _, isType := obj.(*types.TypeName); isType {
		return name // resolved once, when compiled; later ones do not disturb
	}
	e.renamed[name]++
	if n := e.renamed[name]; n > 1 {
		// No identifier can hold a middle dot, so this meets no other name.
		return fmt.Sprintf("%s·%d", name, n)
	}
	return name
}

// sameSlot tells whether a new object can take the place of an old one.
func sameSlot(old, obj types.Object) bool {
	switch obj.(type) {
	case *types.Var:
		_, ok := old.(*types.Var)
		return ok && types.Identical(old.Type(), obj.Type())
	case *types.Func:
		_, ok := old.(*types.Func)
		return ok && types.Identical(old.Type(), obj.Type())
	}
	return false
}

// addImport makes a package known under a name.
func (s scope) addImport(name, path string) {
	delete(s.symbols, name)
	s.imports[name] = path
}

// fill puts words, imports and earlier declarations where the checker looks
// for names. The package is made afresh for each check: names cannot be taken
// out of a package's scope again. Names that the checker will declare in the
// package itself are left out.
func (e *Engine) fill(p *types.Package, s scope, anew map[string]bool) {
	for _, obj := range e.words.Scope().Names() {
		p.Scope().Insert(e.words.Scope().Lookup(obj))
	}
	for name, path := range s.imports {
		if anew[name] {
			continue
		}
		p.Scope().Insert(types.NewPkgName(token.NoPos, p, name, e.mirror.packages[path]))
	}
	for name, sym := range s.symbols {
		if anew[name] {
			continue
		}
		p.Scope().Insert(sym.object)
	}
}
