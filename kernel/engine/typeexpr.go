package engine

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"reflect"
)

// typeExpr writes a type for the interpreter, whatever names the cell has
// given away meanwhile. It fails for types that only a cell knows.
func (e *Engine) typeExpr(t types.Type, pos token.Pos) (ast.Expr, bool) {
	rt, ok := e.compiled(types.Default(t))
	if !ok {
		if n, isNamed := types.Unalias(t).(*types.Named); isNamed && n.Obj().Pkg() != nil && n.Obj().Pkg().Path() == cellsPath {
			return ident(pos, n.Obj().Name()), true
		}
		return nil, false
	}
	name := fmt.Sprintf("type·%d", e.number(rt))
	e.interp.alias(name, rt)
	return ident(pos, name), true
}

// number gives each compiled type that was asked for a number of its own.
func (e *Engine) number(rt reflect.Type) int {
	if n, ok := e.numbers[rt]; ok {
		return n
	}
	e.numbers[rt] = len(e.numbers) + 1
	return e.numbers[rt]
}

// compiled finds the compiled type behind a checker's type.
func (e *Engine) compiled(t types.Type) (reflect.Type, bool) {
	switch t := types.Unalias(t).(type) {
	case *types.Basic:
		rt, ok := compiledBasics[t.Kind()]
		return rt, ok
	case *types.Named:
		rt, ok := e.mirror.origin[t]
		return rt, ok
	}
	return nil, false
}

var compiledBasics = map[types.BasicKind]reflect.Type{types.Bool: reflect.TypeFor[bool](),
	types.Int: reflect.TypeFor[int](), types.Int8: reflect.TypeFor[int8](), types.Int16: reflect.TypeFor[int16](),
	types.Int32: reflect.TypeFor[int32](), types.Int64: reflect.TypeFor[int64](),
	types.Uint: reflect.TypeFor[uint](), types.Uint8: reflect.TypeFor[uint8](), types.Uint16: reflect.TypeFor[uint16](),
	types.Uint32: reflect.TypeFor[uint32](), types.Uint64: reflect.TypeFor[uint64](),
	types.Float32: reflect.TypeFor[float32](), types.Float64: reflect.TypeFor[float64](),
	types.String: reflect.TypeFor[string]()}

// extreme makes the function that stands for min or max on one type, and
// gives its name in the interpreter.
func (e *Engine) extreme(which string, t types.Type) (string, bool) {
	rt, ok := e.compiled(t)
	if !ok {
		return "", false
	}
	less, ok := order(rt)
	if !ok {
		return "", false
	}
	name := fmt.Sprintf("%s·%d", which, e.number(rt))
	sign := -1
	if which == "max" {
		sign = 1
	}
	f := reflect.MakeFunc(reflect.FuncOf([]reflect.Type{reflect.SliceOf(rt)}, []reflect.Type{rt}, true),
		func(in []reflect.Value) []reflect.Value {
			best := in[0].Index(0)
			for i := 1; i < in[0].Len(); i++ {
				if x := in[0].Index(i); x.CanFloat() && x.Float() != x.Float() || less(x, best)*sign > 0 {
					best = x // a NaN spreads, as in Go
				}
			}
			return []reflect.Value{best}
		})
	e.interp.declareFunc(name, f.Interface())
	return name, true
}

// order compares two values of a type that can be ordered.
func order(t reflect.Type) (func(a, b reflect.Value) int, bool) {
	switch zero := reflect.Zero(t); {
	case zero.CanInt():
		return func(a, b reflect.Value) int { return cmp.Compare(a.Int(), b.Int()) }, true
	case zero.CanUint():
		return func(a, b reflect.Value) int { return cmp.Compare(a.Uint(), b.Uint()) }, true
	case zero.CanFloat():
		// A NaN counts as greater and smaller at once: it stays once found.
		return func(a, b reflect.Value) int {
			if b.Float() != b.Float() {
				return 0
			}
			return cmp.Compare(a.Float(), b.Float())
		}, true
	case t.Kind() == reflect.String:
		return func(a, b reflect.Value) int { return cmp.Compare(a.String(), b.String()) }, true
	}
	return nil, false
}
