package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"reflect"

	"tautline/kernel/engine/generic"
)

// Rewriting puts calls into a cell whose functions the cell has not: those of
// generic packages, and those that dress values. Their types may mention types
// of the cell itself, so each is declared just before the first node that uses
// it is compiled, under a name with a middle dot.

// hide gives the hidden name for a key, and notes how to declare it.
func (e *Engine) hide(what, key string, declare func(name string) error) string {
	key = what + " " + key
	name, ok := e.hidden[key]
	if !ok {
		name = fmt.Sprintf("%s·h%d", what, len(e.hidden)+1)
		e.hidden[key] = name
	}
	e.pending[name] = declare
	return name
}

// declareHidden declares what a node uses.
func (e *Engine) declareHidden(n ast.Node) (err error) {
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && e.pending[id.Name] != nil && err == nil && e.interp.ir.Comp.Binds[id.Name] == nil {
			err = e.pending[id.Name](id.Name)
		}
		return err == nil
	})
	return err
}

// typeKey writes a type so that only identical types are written alike.
func typeKey(t types.Type) string {
	seen := ""
	text := types.TypeString(t, func(p *types.Package) string { return p.Path() })
	eachNamed(t, func(n *types.Named) {
		if inCells(n) {
			seen += fmt.Sprintf(" %p", n.Obj())
		}
	})
	return text + seen
}

// eachNamed visits the named types that a type is put together from.
func eachNamed(t types.Type, visit func(*types.Named)) {
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		visit(t)
	case *types.Pointer:
		eachNamed(t.Elem(), visit)
	case *types.Slice:
		eachNamed(t.Elem(), visit)
	case *types.Array:
		eachNamed(t.Elem(), visit)
	case *types.Map:
		eachNamed(t.Key(), visit)
		eachNamed(t.Elem(), visit)
	case *types.Struct:
		for i := range t.NumFields() {
			eachNamed(t.Field(i).Type(), visit)
		}
	case *types.Signature:
		for v := range t.Params().Variables() {
			eachNamed(v.Type(), visit)
		}
		for v := range t.Results().Variables() {
			eachNamed(v.Type(), visit)
		}
	}
}

// inCells tells whether a type was declared in a cell.
func inCells(n *types.Named) bool {
	return n.Obj().Pkg() != nil && n.Obj().Pkg().Path() == cellsPath
}

// genericCall finds a call's function among those with type parameters and
// puts one made for its types in its place.
func (e *Engine) genericCall(info *types.Info, call *ast.CallExpr) error {
	sel, ok := ast.Unparen(call.Fun).(*ast.SelectorExpr)
	if !ok {
		return nil
	}
	f, ok := info.Uses[sel.Sel].(*types.Func)
	if !ok || f.Pkg() == nil || !generic.Has(f.Pkg().Path()) {
		return nil
	}
	sig := info.Instances[sel.Sel].Type
	typ, ok := e.typeExpr(sig, call.Pos())
	if !ok {
		return e.errorFor(call, Limit, e.source(call.Fun)+" is not available in cells for this type")
	}
	path, name := f.Pkg().Path(), f.Name()
	call.Fun = ident(call.Fun.Pos(), e.hide(f.Name(), path+typeKey(sig), func(hidden string) error {
		return e.interp.declareVar(hidden, typ, func(t reflect.Type) (reflect.Value, bool) { return generic.Func(path, name, t) })
	}))
	return nil
}

// refuseGenericValue names a generic function that is not called at once.
func (e *Engine) refuseGenericValue(info *types.Info, root ast.Node) error {
	called := map[*ast.Ident]bool{}
	var found error
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			if sel, ok := ast.Unparen(n.Fun).(*ast.SelectorExpr); ok {
				called[sel.Sel] = true
			}
		case *ast.Ident:
			f, ok := info.Uses[n].(*types.Func)
			if ok && f.Pkg() != nil && generic.Has(f.Pkg().Path()) && !called[n] && found == nil {
				found = e.errorFor(n, Limit, f.Pkg().Name()+"."+f.Name()+" can only be called in cells, without types in brackets and not be kept as a value")
			}
		}
		return found == nil
	})
	return found
}

// funcLit writes a function literal with one parameter x.
func funcLit(pos token.Pos, param, result ast.Expr, body ast.Expr) *ast.FuncLit {
	return &ast.FuncLit{
		Type: &ast.FuncType{Func: pos,
			Params:  &ast.FieldList{List: []*ast.Field{{Names: []*ast.Ident{ident(pos, "x·")}, Type: param}}},
			Results: &ast.FieldList{List: []*ast.Field{{Type: result}}}},
		Body: &ast.BlockStmt{Lbrace: pos, Rbrace: pos, List: []ast.Stmt{&ast.ReturnStmt{Return: pos, Results: []ast.Expr{body}}}}}
}
