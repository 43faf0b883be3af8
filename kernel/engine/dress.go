package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"reflect"
	"strings"

	"github.com/cosmos72/gomacro/fast"
	"github.com/cosmos72/gomacro/xreflect"
	"golang.org/x/tools/go/types/typeutil"
)

// To the interpreter a type declared in a cell is its inside: a value of it
// that goes into an any forgets its type, its fields' small letters and its
// String method. So each such value is dressed on the way: it then carries its
// type along, prints itself as Go would, and can be asked for its type again.

// A kind is the type of a dressed value; identical types share one.
type kind struct {
	engine *Engine
	typ    types.Type
}

// A dressed value is comparable as the value itself would be.
type dressed struct {
	kind  *kind
	value any
}

// Format prints the value as Go would.
func (d dressed) Format(s fmt.State, verb rune) {
	p := printer{e: d.kind.engine, state: s, verb: verb}
	p.print(reflect.ValueOf(d.value), d.kind.typ, 0, true)
}

// text is what the value's own String or Error method gives.
func (d dressed) text() string {
	s, _ := d.kind.engine.ownText(reflect.ValueOf(d.value), d.kind.typ)
	return s
}

// The dresses of values that have the methods which compiled code looks for.
type (
	dressedText  struct{ dressed }
	dressedError struct{ dressed }
)

func (d dressedText) String() string { return d.text() }
func (d dressedError) Error() string { return d.text() }

// dressOf gives back what was dressed.
func dressOf(v any) (dressed, bool) {
	switch v := v.(type) {
	case dressed:
		return v, true
	case dressedText:
		return v.dressed, true
	case dressedError:
		return v.dressed, true
	}
	return dressed{}, false
}

// kindOf gives the kind for a type.
func (e *Engine) kindOf(t types.Type) *kind {
	if e.kinds.Len() == 0 {
		e.kinds.SetHasher(typeutil.MakeHasher())
	}
	if k, ok := e.kinds.At(t).(*kind); ok {
		return k
	}
	k := &kind{e, t}
	e.kinds.Set(t, k)
	return k
}

// dress gives a value of a cell's type the dress that its methods ask for.
func (e *Engine) dress(v any, t types.Type) any {
	d := dressed{e.kindOf(t), v}
	switch ownMethodOf(t) {
	case "Error":
		return dressedError{d}
	case "String":
		return dressedText{d}
	}
	return d
}

// ownMethodOf names the method by which a cell's type says what it is.
func ownMethodOf(t types.Type) string {
	if n := namedOf(t); n == nil || !inCells(n) {
		return ""
	}
	set := types.NewMethodSet(t)
	for _, name := range []string{"Error", "String"} {
		if m := set.Lookup(nil, name); m != nil {
			if sig := m.Type().(*types.Signature); sig.Params().Len() == 0 && sig.Results().Len() == 1 &&
				types.Identical(sig.Results().At(0).Type(), types.Typ[types.String]) {
				return name
			}
		}
	}
	return ""
}

// madeInCells tells whether a type is, or is put together from, something that
// only a cell knows.
func madeInCells(t types.Type) bool {
	found := false
	eachNamed(t, func(n *types.Named) { found = found || inCells(n) })
	return found || hasSmallFields(t)
}

// hasSmallFields finds a struct without a name whose fields the interpreter
// renames.
func hasSmallFields(t types.Type) bool {
	switch t := types.Unalias(t).(type) {
	case *types.Pointer:
		return hasSmallFields(t.Elem())
	case *types.Slice:
		return hasSmallFields(t.Elem())
	case *types.Map:
		return hasSmallFields(t.Elem())
	case *types.Struct:
		for f := range t.Fields() {
			if !f.Exported() || hasSmallFields(f.Type()) {
				return true
			}
		}
	}
	return false
}

// hidden functions that conversions call

// dressCall wraps an expression of a cell's type on its way into an any.
func (e *Engine) dressCall(x ast.Expr, t types.Type) ast.Expr {
	name := e.hide("dress", typeKey(t), func(name string) error {
		e.interp.declareFunc(name, func(v any) any { return e.dress(v, t) })
		return nil
	})
	return &ast.CallExpr{Fun: ident(x.Pos(), name), Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}
}

// undressCall wraps an any that is asked for cells' types: a value in the dress
// of one of them comes out bare. Where only is set nothing else comes out at
// all, since a bare number would pass for a cell's type made of numbers.
func (e *Engine) undressCall(x ast.Expr, asked []types.Type, only bool) ast.Expr {
	key := fmt.Sprint(only)
	kinds := map[*kind]bool{}
	for _, t := range asked {
		key += ";" + typeKey(t)
		kinds[e.kindOf(t)] = true
	}
	name := e.hide("undress", key, func(name string) error {
		e.interp.declareFunc(name, func(v any) any {
			d, ok := dressOf(v)
			switch {
			case ok && kinds[d.kind]:
				return d.value
			case only && !ok && v != nil && !isProxy(v):
				return foreign{v}
			}
			return v
		})
		return nil
	})
	return &ast.CallExpr{Fun: ident(x.Pos(), name), Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}
}

// foreign hides a value that is none of those asked for.
type foreign struct{ value any }

// isProxy tells whether the interpreter made a value to stand for an interface
// of compiled code; it knows itself what is inside.
func isProxy(v any) bool { return strings.Contains(reflect.TypeOf(v).String(), "proxy_") }

// keepCall wraps a value of an interface type of compiled code on its way into
// an any: the interpreter would take it out of the interface first.
func (e *Engine) keepCall(x ast.Expr, t types.Type) (ast.Expr, bool) {
	rt, ok := e.compiled(t)
	if !ok {
		return x, false
	}
	name := e.hide("keep", typeKey(t), func(name string) error {
		f := reflect.MakeFunc(reflect.FuncOf([]reflect.Type{rt}, []reflect.Type{reflect.TypeFor[any]()}, false),
			func(in []reflect.Value) []reflect.Value {
				return []reflect.Value{in[0].Convert(reflect.TypeFor[any]())}
			})
		e.interp.declareFunc(name, f.Interface())
		return nil
	})
	return &ast.CallExpr{Fun: ident(x.Pos(), name), Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}, true
}

// revealCall wraps a value of an interface type declared in a cell on its way
// into an any.
func (e *Engine) revealCall(x ast.Expr) ast.Expr {
	name := e.hide("reveal", "", func(name string) error {
		e.interp.declareFunc(name, func(v any) any { return e.reveal(reflect.ValueOf(v)) })
		return nil
	})
	return &ast.CallExpr{Fun: ident(x.Pos(), name), Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}
}

// A carrier brings what is in an interface declared in a cell into an any
// together with its type, in the one way that the interpreter looks for it.
type carrier interface{ Carried() }

type proxyCarrier struct {
	Object   any
	Carried_ func(any)
}

func (p *proxyCarrier) Carried() {}

const carrierName = "carrier·"

// carryCall wraps a value of an interface type declared in a cell that is asked
// for its type as an any.
func (e *Engine) carryCall(x ast.Expr) ast.Expr {
	name := e.hide("carry", "", func(name string) error {
		e.interp.declareFunc(name, func(v any) any {
			rv := reflect.ValueOf(v)
			if !rv.IsValid() || rv.Kind() == reflect.Pointer && rv.IsNil() {
				return nil
			}
			inside, t := xreflect.FromEmulatedInterface(xreflect.MakeValue(rv))
			return &proxyCarrier{Object: xreflect.MakeInterfaceHeader(inside, t)}
		})
		return nil
	})
	return &ast.CallExpr{Fun: ident(x.Pos(), name), Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}
}

// reveal takes a value out of an interface declared in a cell.
func (e *Engine) reveal(v reflect.Value) any {
	if !v.IsValid() || v.Kind() == reflect.Pointer && v.IsNil() {
		return nil
	}
	inside, t := xreflect.FromEmulatedInterface(xreflect.MakeValue(v))
	if !inside.IsValid() {
		return nil
	}
	value := inside.ReflectValue().Interface()
	if typ, ok := e.checkerType(t); ok {
		return e.dress(value, typ)
	}
	return value
}

// checkerType finds the checker's type for the interpreter's, if a cell
// declared it.
func (e *Engine) checkerType(t xreflect.Type) (types.Type, bool) {
	if t == nil {
		return nil, false
	}
	if t.Kind() == reflect.Pointer {
		typ, ok := e.checkerType(t.Elem())
		return types.NewPointer(orInvalid(typ)), ok
	}
	obj, ok := e.runtime[t.GoType()]
	if !ok {
		return nil, false
	}
	return obj.Type(), true
}

func orInvalid(t types.Type) types.Type {
	if t == nil {
		return types.Typ[types.Invalid]
	}
	return t
}

// A textFunc calls a cell type's own String or Error method.
type textFunc struct {
	compiled *fast.Expr
	f        reflect.Value
	pointer  bool // it wants a pointer
}

// compileTexts compiles, for each type that a step declares, a function that
// calls its String or Error method.
func (e *Engine) compileTexts(st *step) error {
	for _, obj := range st.types {
		e.runtime[e.interp.goType(obj.Name())] = obj
		for _, t := range []types.Type{obj.Type(), types.NewPointer(obj.Type())} {
			method := ownMethodOf(t)
			if method == "" || types.IsInterface(obj.Type()) {
				continue
			}
			pos := token.NoPos
			var param ast.Expr = ident(pos, obj.Name())
			_, pointer := t.(*types.Pointer)
			if pointer {
				param = &ast.StarExpr{Star: pos, X: param}
			}
			call := &ast.CallExpr{Fun: &ast.SelectorExpr{X: ident(pos, "x·"), Sel: ident(pos, method)}}
			x, err := e.interp.compile(funcLit(pos, param, ident(pos, "string"), call))
			if err != nil {
				return err
			}
			e.texts[obj] = &textFunc{compiled: x, pointer: pointer}
			break
		}
	}
	return nil
}

// keepTexts makes what a step's types say of themselves ready to be called.
func (e *Engine) keepTexts(st *step) {
	for _, obj := range st.types {
		if f := e.texts[obj]; f != nil {
			f.f = e.interp.execute(f.compiled)[0]
		}
	}
}

// ownText calls a value's own String or Error method, if its type has one.
func (e *Engine) ownText(v reflect.Value, t types.Type) (string, bool) {
	n := namedOf(t)
	if n == nil || !inCells(n) || ownMethodOf(t) == "" {
		return "", false
	}
	f := e.texts[n.Obj()]
	if f == nil || !f.f.IsValid() {
		return "", false
	}
	_, isPointer := types.Unalias(t).(*types.Pointer)
	switch {
	case isPointer && v.IsNil():
		return "<nil>", true
	case isPointer && !f.pointer:
		v = v.Elem()
	}
	return f.f.Call([]reflect.Value{v})[0].String(), true
}
