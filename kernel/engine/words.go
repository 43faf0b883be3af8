package engine

import (
	"maps"
	"reflect"

	"github.com/gopherdata/gophernotes/imports"
)

// Words are the names that every cell can say without importing anything.
// Cells cannot give them another meaning.
type Words struct {
	// Binds holds functions and constants by name. A value of a basic kind is
	// a constant.
	Binds map[string]reflect.Value
	// Types holds types by name.
	Types map[string]reflect.Type
	// Untypeds holds constants without a type, as the interpreter's table
	// writes them: "float:0.5", "int:3".
	Untypeds map[string]string
	// Proxies let types that a cell declares stand for an interface.
	Proxies map[string]reflect.Type
	// Quantities says how sentences name the types that carry a unit.
	Quantities map[reflect.Type]Quantity
	// Aliases offers words for names that people use elsewhere, in small
	// letters: "kg", "mbar".
	Aliases map[string]string
	// Examples gives an expression for types that have no unit: Mask("nasal",
	// "medium") for a mask.
	Examples map[reflect.Type]string
	// Show, if not nil, gives the forms by media type of values whose types are
	// not the words' own: a plot, an image.
	Show func(value any) (data map[string]any, ok bool)
}

// A Quantity is how a sentence speaks of a type that carries a unit.
type Quantity struct {
	Noun    string // "a force"
	Example string // "3*N"
	Bare    bool   // a number without a unit is as good: a share of 0.6
	Whole   bool   // Go counts it in whole numbers, and ratios are usual
}

// wordsPath names the words in the interpreter's table; nobody can import it.
const wordsPath = "tautline/words"

// table writes the words as a package of the interpreter's table, which wants
// constants without a type listed among the others too.
func (w Words) table() imports.Package {
	binds := maps.Clone(w.Binds)
	for name := range w.Untypeds {
		binds[name] = reflect.ValueOf(0.0)
	}
	typs, proxies := maps.Clone(w.Types), maps.Clone(w.Proxies)
	if typs == nil {
		typs = map[string]reflect.Type{}
	}
	if proxies == nil {
		proxies = map[string]reflect.Type{}
	}
	typs[carrierName], proxies[carrierName] = reflect.TypeFor[carrier](), reflect.TypeFor[proxyCarrier]()
	p := imports.Package{Name: "words", Binds: binds, Types: typs, Untypeds: w.Untypeds, Proxies: proxies}
	p.LazyInit(wordsPath)
	return p
}

// has tells whether a name is one of the words.
func (w Words) has(name string) bool {
	_, bind := w.Binds[name]
	_, typ := w.Types[name]
	_, untyped := w.Untypeds[name]
	return bind || typ || untyped
}
