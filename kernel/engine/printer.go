package engine

import (
	"cmp"
	"fmt"
	"go/types"
	"reflect"
	"slices"
)

// A printer prints a value of a cell's type as package fmt would, had the type
// been compiled.
type printer struct {
	e     *Engine
	state fmt.State
	verb  rune
}

func (p *printer) write(s string) { _, _ = p.state.Write([]byte(s)) }

// leaf leaves a value to package fmt.
func (p *printer) leaf(v any) { fmt.Fprintf(p.state, fmt.FormatString(p.state, p.verb), v) }

// print prints one value. Below a field in small letters Go calls no methods.
func (p *printer) print(v reflect.Value, t types.Type, depth int, methods bool) {
	v = outOf(v, t)
	if !v.IsValid() {
		p.write("<nil>")
		return
	}
	if methods && v.CanInterface() && p.wantsText() {
		if text, ok := p.e.ownText(v, t); ok {
			p.leaf(text)
			return
		}
	}
	if !madeInCells(t) && !types.IsInterface(t) {
		p.plain(v, depth)
		return
	}
	switch u := t.Underlying().(type) {
	case *types.Pointer:
		p.pointer(v, u, depth, methods)
	case *types.Struct:
		p.structure(v, t, u, depth, methods)
	case *types.Slice:
		p.list(v, t, u.Elem(), depth, methods)
	case *types.Array:
		p.list(v, t, u.Elem(), depth, methods)
	case *types.Map:
		p.table(v, t, u, depth, methods)
	case *types.Interface:
		p.dynamic(v, u, depth, methods)
	default:
		p.leaf(v)
	}
}

// outOf takes a value out of the interface in which the interpreter keeps the
// fields of types that contain themselves.
func outOf(v reflect.Value, t types.Type) reflect.Value {
	if v.IsValid() && v.Kind() == reflect.Interface && t != nil && !types.IsInterface(t) {
		return v.Elem()
	}
	return v
}

// wantsText tells whether Go asks for a value's String method at this verb.
func (p *printer) wantsText() bool {
	switch p.verb {
	case 'v':
		return !p.state.Flag('#')
	case 's', 'q', 'x', 'X':
		return true
	}
	return false
}

// plain prints a value of a compiled type.
func (p *printer) plain(v reflect.Value, depth int) {
	if v.Kind() == reflect.Pointer && depth > 0 && !v.IsNil() && p.verb == 'v' && !hasText(v) {
		fmt.Fprintf(p.state, "0x%x", v.Pointer())
		return
	}
	p.leaf(v)
}

func hasText(v reflect.Value) bool {
	if !v.CanInterface() {
		return false
	}
	switch v.Interface().(type) {
	case fmt.Stringer, error, fmt.Formatter:
		return true
	}
	return false
}

func (p *printer) pointer(v reflect.Value, t *types.Pointer, depth int, methods bool) {
	switch {
	case v.IsNil():
		p.write("<nil>")
	case depth == 0 && hasInside(t.Elem()):
		p.write("&")
		p.print(v.Elem(), t.Elem(), depth+1, methods)
	default:
		fmt.Fprintf(p.state, "0x%x", v.Pointer())
	}
}

func hasInside(t types.Type) bool {
	switch t.Underlying().(type) {
	case *types.Struct, *types.Slice, *types.Array, *types.Map:
		return true
	}
	return false
}

// name writes a type where %#v asks for it.
func (p *printer) name(t types.Type) {
	if p.sharp() {
		p.write(types.TypeString(t, func(q *types.Package) string {
			if q.Path() == cellsPath {
				return "main"
			}
			return q.Name()
		}))
	}
}

func (p *printer) sharp() bool { return p.verb == 'v' && p.state.Flag('#') }

// either chooses between the two ways to write a list.
func (p *printer) either(plain, sharp string) string {
	if p.sharp() {
		return sharp
	}
	return plain
}

func (p *printer) structure(v reflect.Value, t types.Type, s *types.Struct, depth int, methods bool) {
	p.name(t)
	p.write("{")
	for i := range s.NumFields() {
		if i > 0 {
			p.write(p.either(" ", ", "))
		}
		f := s.Field(i)
		if p.state.Flag('+') || p.sharp() {
			p.write(f.Name() + ":")
		}
		p.print(v.Field(i), f.Type(), depth+1, methods && f.Exported())
	}
	p.write("}")
}

func (p *printer) list(v reflect.Value, t, elem types.Type, depth int, methods bool) {
	p.name(t)
	p.write(p.either("[", "{"))
	for i := range v.Len() {
		if i > 0 {
			p.write(p.either(" ", ", "))
		}
		p.print(v.Index(i), elem, depth+1, methods)
	}
	p.write(p.either("]", "}"))
}

// table prints a map in the order of its keys, as fmt does.
func (p *printer) table(v reflect.Value, t types.Type, m *types.Map, depth int, methods bool) {
	if p.sharp() {
		p.name(t)
		p.write("{")
	} else {
		p.write("map[")
	}
	for i, key := range sortedKeys(v) {
		if i > 0 {
			p.write(p.either(" ", ", "))
		}
		p.print(key, m.Key(), depth+1, methods)
		p.write(":")
		p.print(v.MapIndex(key), m.Elem(), depth+1, methods)
	}
	p.write(p.either("]", "}"))
}

func sortedKeys(m reflect.Value) []reflect.Value {
	keys := m.MapKeys()
	slices.SortStableFunc(keys, compareKeys)
	return keys
}

// compareKeys orders keys as package fmt does: field by field where there are
// fields.
func compareKeys(a, b reflect.Value) int {
	switch {
	case a.CanInt():
		return cmp.Compare(a.Int(), b.Int())
	case a.CanUint():
		return cmp.Compare(a.Uint(), b.Uint())
	case a.CanFloat():
		return cmp.Compare(a.Float(), b.Float())
	case a.Kind() == reflect.String:
		return cmp.Compare(a.String(), b.String())
	case a.Kind() == reflect.Bool:
		return boolInt(a.Bool()) - boolInt(b.Bool())
	case a.Kind() == reflect.Struct:
		for i := range a.NumField() {
			if c := compareKeys(a.Field(i), b.Field(i)); c != 0 {
				return c
			}
		}
	case a.Kind() == reflect.Array:
		for i := range a.Len() {
			if c := compareKeys(a.Index(i), b.Index(i)); c != 0 {
				return c
			}
		}
	}
	return 0
}

// dynamic prints what an interface holds.
func (p *printer) dynamic(v reflect.Value, t *types.Interface, depth int, methods bool) {
	inside := v
	if v.Kind() == reflect.Interface {
		inside = v.Elem()
	}
	if !inside.IsValid() || inside.Kind() == reflect.Pointer && inside.IsNil() {
		p.write("<nil>")
		return
	}
	if !inside.CanInterface() {
		p.leaf(inside)
		return
	}
	held := inside.Interface()
	if v.Kind() != reflect.Interface && t.NumMethods() > 0 {
		held = p.e.reveal(v) // an interface that a cell declared
	}
	if d, ok := dressOf(held); ok {
		p.print(reflect.ValueOf(d.value), d.kind.typ, depth, methods)
		return
	}
	p.plain(reflect.ValueOf(held), depth)
}
