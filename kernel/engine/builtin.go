package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"reflect"

	"golang.org/x/tools/go/ast/astutil"
)

// builtinCall replaces those built-in functions that the interpreter lacks, or
// does otherwise than Go, by functions made for their types.
func (e *Engine) builtinCall(info *types.Info, call *ast.CallExpr) error {
	id, ok := ast.Unparen(call.Fun).(*ast.Ident)
	if !ok {
		return nil
	}
	b, ok := info.Uses[id].(*types.Builtin)
	if !ok {
		return nil
	}
	var sig *types.Signature
	var make func(reflect.Type) (reflect.Value, bool)
	switch b.Name() {
	case "min", "max":
		t := types.Default(info.TypeOf(call))
		sig, make = signature(types.NewTuple(param(types.NewSlice(t))), t, true), extreme(b.Name())
	case "clear":
		sig, make = signature(types.NewTuple(param(info.TypeOf(call.Args[0]))), nil, false), clearing
	case "copy":
		from := types.NewTuple(param(info.TypeOf(call.Args[0])), param(types.Default(info.TypeOf(call.Args[1]))))
		sig, make = signature(from, types.Typ[types.Int], false), copying
	default:
		return nil
	}
	typ, ok := e.typeExpr(sig, call.Pos())
	if !ok {
		return e.errorFor(call, Limit, b.Name()+" is not available in cells for this type")
	}
	call.Fun = ident(call.Pos(), e.hide(b.Name(), typeKey(sig), func(name string) error {
		return e.interp.declareVar(name, typ, make)
	}))
	return nil
}

func param(t types.Type) *types.Var { return types.NewParam(token.NoPos, nil, "", t) }

func signature(params *types.Tuple, result types.Type, variadic bool) *types.Signature {
	var out *types.Tuple
	if result != nil {
		out = types.NewTuple(param(result))
	}
	return types.NewSignatureType(nil, nil, nil, params, out, variadic)
}

// extreme makes the function that stands for min or max on one type.
func extreme(which string) func(reflect.Type) (reflect.Value, bool) {
	sign := -1
	if which == "max" {
		sign = 1
	}
	return func(t reflect.Type) (reflect.Value, bool) {
		less, ok := order(t.Out(0))
		if !ok {
			return reflect.Value{}, false
		}
		return reflect.MakeFunc(t, func(in []reflect.Value) []reflect.Value {
			best := in[0].Index(0)
			for i := 1; i < in[0].Len(); i++ {
				if x := in[0].Index(i); x.CanFloat() && x.Float() != x.Float() || less(x, best)*sign > 0 {
					best = x // a NaN spreads, as in Go
				}
			}
			return []reflect.Value{best}
		}), true
	}
}

func clearing(t reflect.Type) (reflect.Value, bool) {
	return reflect.MakeFunc(t, func(in []reflect.Value) []reflect.Value {
		in[0].Clear()
		return nil
	}), true
}

func copying(t reflect.Type) (reflect.Value, bool) {
	return reflect.MakeFunc(t, func(in []reflect.Value) []reflect.Value {
		return []reflect.Value{reflect.ValueOf(reflect.Copy(in[0], in[1]))}
	}), true
}

// methodValue keeps a method that is not called at once: Go evaluates what
// stands before the dot then and there, the interpreter at each call.
func (e *Engine) methodValue(info *types.Info, c *astutil.Cursor, n *ast.SelectorExpr) error {
	sel, ok := info.Selections[n]
	if ok && sel.Kind() == types.MethodExpr {
		return e.methodExpr(info, c, n)
	}
	if call, called := c.Parent().(*ast.CallExpr); called && call.Fun == n || !ok || sel.Kind() != types.MethodVal {
		return nil
	}
	from, x := info.TypeOf(n.X), n.X
	pointer, isPointer := types.Unalias(from).(*types.Pointer)
	recv := sel.Obj().(*types.Func).Signature().Recv().Type()
	_, wantsPointer := types.Unalias(recv).(*types.Pointer)
	switch {
	case len(sel.Index()) > 1 && sel.Indirect() && !wantsPointer:
		return e.errorFor(n, Limit, "write a function that calls "+e.source(n)+" instead of keeping the method")
	case wantsPointer && !isPointer:
		return nil // it stays with the variable
	case isPointer && !wantsPointer:
		from, x = pointer.Elem(), &ast.StarExpr{Star: x.Pos(), X: x}
	}
	in, ok1 := e.typeExpr(from, n.Pos())
	out, ok2 := e.typeExpr(info.TypeOf(n), n.Pos())
	if !ok1 || !ok2 {
		return e.errorFor(n, Limit, "write a function that calls "+e.source(n)+" instead of keeping the method")
	}
	kept := funcLit(n.Pos(), in, out, &ast.SelectorExpr{X: ident(n.Pos(), "x·"), Sel: n.Sel})
	c.Replace(&ast.CallExpr{Fun: kept, Lparen: n.Pos(), Args: []ast.Expr{x}, Rparen: n.End()})
	return nil
}

// methodExpr writes T.Method and (*T).Method out as the function that they are;
// the interpreter knows only some of them.
func (e *Engine) methodExpr(info *types.Info, c *astutil.Cursor, n *ast.SelectorExpr) error {
	typ, ok := e.typeExpr(info.TypeOf(n), n.Pos())
	if !ok {
		return e.errorFor(n, Limit, "write a function that calls "+e.source(n)+" instead")
	}
	f := typ.(*ast.FuncType)
	call := &ast.CallExpr{Lparen: n.Pos(), Rparen: n.Pos()}
	for i, p := range f.Params.List {
		name := fmt.Sprintf("x·%d", i)
		p.Names = []*ast.Ident{ident(n.Pos(), name)}
		if i > 0 {
			call.Args = append(call.Args, ident(n.Pos(), name))
		}
		if _, spread := p.Type.(*ast.Ellipsis); spread {
			call.Ellipsis = n.Pos()
		}
	}
	call.Fun = &ast.SelectorExpr{X: ident(n.Pos(), "x·0"), Sel: n.Sel}
	var do ast.Stmt = &ast.ExprStmt{X: call}
	if len(f.Results.List) > 0 {
		do = &ast.ReturnStmt{Return: n.Pos(), Results: []ast.Expr{call}}
	}
	c.Replace(&ast.FuncLit{Type: f, Body: block(n.Pos(), do)})
	return nil
}
