// Package library holds what cells can import: tables of names and values of
// Go's own packages, gonum and gonum/plot, made by a generator. A package's
// table is made when a cell first asks for it, so that starting stays quick.
//
// The packages are chosen so that nothing in them reaches files, the network,
// other processes or memory; the few names that would are left out of the
// tables, with the reason (see refused.go).
package library

import (
	"maps"
	"reflect"
	"slices"
	"sync"
)

//go:generate go run ./generate

// A Package is what reflection can hold of a package.
type Package struct {
	Name     string
	Binds    map[string]reflect.Value // functions, variables and constants with a type
	Types    map[string]reflect.Type  // types without parameters
	Untypeds map[string]string        // constants without a type: "int:3"
	Proxies  map[string]reflect.Type  // for interfaces: what a cell's type is wrapped in
	Generic  []string                 // names that take type parameters, which reflection cannot hold
}

// packages is filled by the generated files.
var packages = map[string]func() Package{}

// Paths lists the import paths, sorted.
func Paths() []string { return slices.Sorted(maps.Keys(packages)) }

// Has tells whether cells can import a path.
func Has(path string) bool {
	_, ok := packages[path]
	return ok
}

var (
	lock   sync.Mutex
	loaded = map[string]Package{}
)

// Load gives a package's table without the names that cells may not use.
// Tables are shared: whoever wants another value in one copies the map.
func Load(path string) (Package, bool) {
	lock.Lock()
	defer lock.Unlock()
	if p, ok := loaded[path]; ok {
		return p, true
	}
	load, ok := packages[path]
	if !ok {
		return Package{}, false
	}
	p := load()
	trim(path, &p)
	loaded[path] = p
	return p, true
}

// trim takes out what is refused, and gives variables as they are now: a cell
// that set time.UTC would set it for the whole process.
func trim(path string, p *Package) {
	for name := range p.Binds {
		if _, no := refused[path+"."+name]; no {
			delete(p.Binds, name)
		}
	}
	for name := range p.Types {
		if _, no := refused[path+"."+name]; no {
			delete(p.Types, name)
			delete(p.Proxies, name)
		}
	}
	for name := range p.Binds {
		if f, ok := replaced[path+"."+name]; ok {
			p.Binds[name] = reflect.ValueOf(f)
		}
	}
	for name, v := range p.Binds {
		if v.CanSet() {
			p.Binds[name] = reflect.ValueOf(v.Interface())
		}
	}
}
