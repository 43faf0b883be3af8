package engine

import (
	"cmp"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"unicode/utf8"
)

// mostMatches bounds what is offered; nobody reads more.
const mostMatches = 500

// longest is the longest text that is looked at while it is typed, in bytes.
const longest = 30_000

// Complete offers what may stand at the cursor in place of the text from start
// to end; all three count code points. It runs nothing, and may be called from
// any goroutine while a cell runs: it then knows what was declared before.
func (e *Engine) Complete(code string, cursor int) (matches []string, start, end int) {
	cursor = min(max(cursor, 0), utf8.RuneCountInString(code))
	defer func() {
		if recover() != nil { // half a text can take the checker by surprise
			matches, start, end = nil, cursor, cursor
		}
	}()
	k := e.known.Load()
	if k == nil || len(code) > longest {
		return nil, cursor, cursor
	}
	s := spotAt(code, cursor)
	matches = e.offers(k, s)
	return matches[:min(len(matches), mostMatches)], cursor - utf8.RuneCountInString(s.prefix()), cursor
}

func (e *Engine) offers(k *knowledge, s spot) []string {
	switch {
	case s.inside == inNothing:
		return nil
	case s.inside == inQuotes:
		return e.quoted(s)
	}
	p := k.read(s)
	if s.afterDot() {
		return fitting(memberNames(p.owner()), s.prefix())
	}
	return p.names(s.prefix())
}

// quoted offers the texts that an argument takes: those that begin as typed,
// then those that hold it.
func (e *Engine) quoted(s spot) []string {
	var all []string
	if s.imported() {
		all = importable()
	} else {
		name, argument := s.called()
		if lists := e.taught().Strings[name]; argument < len(lists) {
			all = lists[argument]
		}
	}
	typed := strings.ToLower(s.prefix())
	var first, rest []string
	for _, text := range all {
		switch low := strings.ToLower(text); {
		case strings.HasPrefix(low, typed):
			first = append(first, text)
		case strings.Contains(low, typed):
			rest = append(rest, text)
		}
	}
	return append(first, rest...)
}

// fitting keeps the names that begin as typed, those with the same capitals
// first.
func fitting(names []string, typed string) []string {
	var same, other []string
	for _, n := range names {
		switch {
		case strings.HasPrefix(n, typed):
			same = append(same, n)
		case len(n) >= len(typed) && strings.EqualFold(n[:len(typed)], typed):
			other = append(other, n)
		}
	}
	return append(same, other...)
}

// names offers the names in scope. Those whose value is what an argument wants
// come first: after Straps(3* the units of force.
func (p *partial) names(typed string) []string {
	objects := map[string]types.Object{}
	for _, name := range p.known.words.Scope().Names() {
		if token.IsExported(name) && isName(name) {
			objects[name] = p.known.words.Scope().Lookup(name)
		}
	}
	for name, obj := range p.scope {
		objects[name] = obj
	}
	for name := range p.pkgs {
		objects[name] = nil
	}
	if typed != "" { // Go's own words would only be in the way otherwise
		for t := token.BREAK; t <= token.VAR; t++ {
			objects[t.String()] = nil
		}
		for _, name := range types.Universe.Names() {
			if objects[name] == nil {
				objects[name] = nil
			}
		}
		delete(objects, "go")
	}
	return fitting(p.ranked(objects), typed)
}

// isName tells a name that can be typed from one of the engine's own.
func isName(name string) bool { return !strings.ContainsRune(name, '·') }

func (p *partial) ranked(objects map[string]types.Object) []string {
	var names []string
	for name := range objects {
		names = append(names, name)
	}
	want := p.wantedNow()
	rank := func(name string) int {
		obj := objects[name]
		if obj == nil || want == nil || !gives(obj, want) {
			return 3
		}
		switch obj.(type) {
		case *types.Const: // a unit
			return 0
		case *types.Var:
			return 1
		}
		return 2
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a, b))
	})
	return names
}

// wantedNow is the type that an argument wants, unless anything will do.
func (p *partial) wantedNow() types.Type {
	if len(p.path) == 0 {
		return nil
	}
	t := p.wanted()
	if t == nil || types.IsInterface(t) {
		return nil
	}
	return t
}

// gives tells whether a name stands for a value of a type, or for a function
// that returns one.
func gives(obj types.Object, want types.Type) bool {
	t := obj.Type()
	if _, isType := obj.(*types.TypeName); isType || t == nil {
		return false
	}
	if sig, ok := t.(*types.Signature); ok && sig.Results().Len() == 1 {
		t = sig.Results().At(0).Type()
	}
	return types.Identical(t, want)
}

// memberNames lists what can follow the dot.
func memberNames(pkg *types.Package, t types.Type) []string {
	var names []string
	if pkg != nil {
		for _, name := range pkg.Scope().Names() {
			if token.IsExported(name) && isName(name) {
				names = append(names, name)
			}
		}
		return names
	}
	for name := range membersOf(t) {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// membersOf lists the fields and methods of a type that a cell can reach, those
// of embedded types too, by name.
func membersOf(t types.Type) map[string]types.Object {
	all := map[string]types.Object{}
	if t == nil || t == types.Typ[types.Invalid] {
		return all
	}
	holder := t
	if _, isPointer := t.Underlying().(*types.Pointer); !isPointer && !types.IsInterface(t) {
		holder = types.NewPointer(t)
	}
	methods := types.NewMethodSet(holder)
	for i := range methods.Len() {
		add(all, methods.At(i).Obj())
	}
	addFields(all, t, map[types.Type]bool{})
	return all
}

// addFields goes from the outer fields inwards: the outer ones hide the inner.
func addFields(all map[string]types.Object, t types.Type, seen map[types.Type]bool) {
	if ptr, ok := t.Underlying().(*types.Pointer); ok {
		t = ptr.Elem()
	}
	s, ok := t.Underlying().(*types.Struct)
	if !ok || seen[t] {
		return
	}
	seen[t] = true
	for f := range s.Fields() {
		add(all, f)
	}
	for f := range s.Fields() {
		if f.Embedded() {
			addFields(all, f.Type(), seen)
		}
	}
}

// add leaves out what is hidden, and what shows a value rather than tells of
// it: front ends call that, people do not.
func add(all map[string]types.Object, obj types.Object) {
	own := obj.Pkg() != nil && obj.Pkg().Path() == cellsPath
	if all[obj.Name()] != nil || obj.Name() == "Mimebundle" || !isName(obj.Name()) || !own && !ast.IsExported(obj.Name()) {
		return
	}
	all[obj.Name()] = obj
}
