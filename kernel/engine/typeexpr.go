package engine

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"reflect"
	"strconv"
)

// typeExpr writes a type for the interpreter, whatever names the cell has
// given away meanwhile. It fails for a cell's type that was declared again.
func (e *Engine) typeExpr(t types.Type, pos token.Pos) (ast.Expr, bool) {
	t = types.Unalias(types.Default(t))
	if rt, ok := e.compiled(t); ok {
		name := fmt.Sprintf("type·%d", e.number(rt))
		e.interp.alias(name, rt)
		return ident(pos, name), true
	}
	var elem, key ast.Expr
	ok, ok2 := true, true
	switch t := t.(type) {
	case *types.Named:
		return ident(pos, t.Obj().Name()), inCells(t) && e.isCurrent(t.Obj())
	case *types.Pointer:
		elem, ok = e.typeExpr(t.Elem(), pos)
		return &ast.StarExpr{Star: pos, X: elem}, ok
	case *types.Slice:
		elem, ok = e.typeExpr(t.Elem(), pos)
		return &ast.ArrayType{Lbrack: pos, Elt: elem}, ok
	case *types.Array:
		elem, ok = e.typeExpr(t.Elem(), pos)
		size := &ast.BasicLit{ValuePos: pos, Kind: token.INT, Value: strconv.FormatInt(t.Len(), 10)}
		return &ast.ArrayType{Lbrack: pos, Len: size, Elt: elem}, ok
	case *types.Map:
		key, ok = e.typeExpr(t.Key(), pos)
		elem, ok2 = e.typeExpr(t.Elem(), pos)
		return &ast.MapType{Map: pos, Key: key, Value: elem}, ok && ok2
	case *types.Signature:
		return e.funcType(t, pos)
	case *types.Interface:
		return ident(pos, "any"), t.Empty()
	case *types.Struct:
		return e.structType(t, pos)
	}
	return nil, false
}

// isCurrent tells whether a type's name still means that type.
func (e *Engine) isCurrent(obj *types.TypeName) bool {
	sym, ok := e.checked.symbols[obj.Name()]
	return ok && sym.object == obj
}

func (e *Engine) funcType(sig *types.Signature, pos token.Pos) (ast.Expr, bool) {
	all := true
	fields := func(vars *types.Tuple, variadic bool) *ast.FieldList {
		list := &ast.FieldList{}
		for i := range vars.Len() {
			t := vars.At(i).Type()
			spread := variadic && i == vars.Len()-1
			if spread {
				t = t.(*types.Slice).Elem()
			}
			x, ok := e.typeExpr(t, pos)
			all = all && ok
			if spread {
				x = &ast.Ellipsis{Ellipsis: pos, Elt: x}
			}
			list.List = append(list.List, &ast.Field{Type: x})
		}
		return list
	}
	return &ast.FuncType{Func: pos, Params: fields(sig.Params(), sig.Variadic()), Results: fields(sig.Results(), false)}, all
}

func (e *Engine) structType(t *types.Struct, pos token.Pos) (ast.Expr, bool) {
	list := &ast.FieldList{}
	for i := range t.NumFields() {
		x, ok := e.typeExpr(t.Field(i).Type(), pos)
		if !ok {
			return nil, false
		}
		f := &ast.Field{Type: x}
		if !t.Field(i).Embedded() {
			f.Names = []*ast.Ident{ident(pos, t.Field(i).Name())}
		}
		list.List = append(list.List, f)
	}
	return &ast.StructType{Struct: pos, Fields: list}, true
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
		if t.Obj() == types.Universe.Lookup("error") {
			return reflect.TypeFor[error](), true
		}
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
