package engine

import (
	"go/types"
	"maps"
)

// Help is what words can tell about themselves while a cell is being typed.
type Help struct {
	// Strings lists the texts that a function or method takes, by its name and
	// by the number of the argument.
	Strings map[string][][]string
	// Docs tells what names mean: "Straps", or "Point.Leak" for a member.
	Docs map[string]Doc
}

// Teach lets the engine answer questions about its words in more than types.
func (e *Engine) Teach(h Help) { e.help.Store(&h) }

func (e *Engine) taught() Help {
	if h := e.help.Load(); h != nil {
		return *h
	}
	return Help{}
}

// A knowledge is what the notebook has declared when no cell runs. Questions about
// a text that is being typed are answered from the last one, so that they wait
// for no cell. Nothing in it changes once it is made.
type knowledge struct {
	words    *types.Package
	symbols  map[string]types.Object
	imports  map[string]*types.Package // by their name in cells
	packages map[string]*types.Package // by path
}

// publish puts the present state where questions find it. It runs on the
// engine's goroutine, between cells.
func (e *Engine) publish() {
	k := &knowledge{words: e.words, symbols: map[string]types.Object{}, imports: map[string]*types.Package{},
		packages: maps.Clone(e.mirror.packages)}
	for name, s := range e.scope.symbols {
		k.symbols[name] = s.object
	}
	for name, path := range e.scope.imports {
		if p := e.mirror.packages[path]; p != nil {
			k.imports[name] = p
		}
	}
	e.known.Store(k)
}
