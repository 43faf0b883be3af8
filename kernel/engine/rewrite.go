package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"

	"golang.org/x/tools/go/ast/astutil"
)

// The interpreter speaks an older Go and is lenient where Go is strict. Once
// the checker has passed a cell, what the two understand differently is
// written in words that they understand alike. Names with a middle dot cannot
// be typed, so the names made here meet no other.

// rewrite changes a checked run in place.
func (e *Engine) rewrite(r *run) error {
	if err := e.refuseCircles(r); err != nil {
		return err
	}
	for i := range r.items {
		if err := e.refuseOld(r.info, r.items[i].node); err != nil {
			return err
		}
		if err := e.refuseGenericValue(r.info, r.items[i].node); err != nil {
			return err
		}
		if err := e.convert(r.info, r.items[i].node); err != nil {
			return err
		}
		e.rename(r.info, r.items[i].node)
		var failed error
		r.items[i].node = astutil.Apply(r.items[i].node, nil, func(c *astutil.Cursor) bool {
			if err := e.rewriteNode(r.info, c); err != nil && failed == nil {
				failed = err
			}
			return true
		})
		if failed != nil {
			return failed
		}
	}
	return nil
}

func (e *Engine) rewriteNode(info *types.Info, c *astutil.Cursor) error {
	switch n := c.Node().(type) {
	case *ast.FuncDecl:
		guard(n.Body)
	case *ast.FuncLit:
		guard(n.Body)
	case *ast.CallExpr:
		guardRecover(info, c, n)
		if err := e.genericCall(info, n); err != nil {
			return err
		}
		return e.builtinCall(info, n)
	case *ast.SelectorExpr:
		return e.methodValue(info, c, n)
	case *ast.AssignStmt:
		return e.keepTypes(info, n)
	case *ast.ForStmt:
		return e.freshCounter(info, n)
	case *ast.RangeStmt:
		return e.rewriteRange(info, c, n)
	}
	return nil
}

// rename gives every use of a notebook's name the interpreter's name for that
// very declaration.
func (e *Engine) rename(info *types.Info, n ast.Node) {
	ast.Inspect(n, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			obj := info.Defs[id]
			if obj == nil {
				obj = info.Uses[id]
			}
			if inner, ok := e.inner[obj]; ok && obj != nil {
				id.Name = inner
			}
		}
		return true
	})
}

func ident(pos token.Pos, name string) *ast.Ident { return &ast.Ident{NamePos: pos, Name: name} }

const guardName = "guard·"

// guard puts a look at the depth of calls before a function's first statement:
// endless recursion would otherwise end the whole process.
func guard(body *ast.BlockStmt) {
	call := &ast.CallExpr{Fun: ident(body.Lbrace, guardName)}
	body.List = append([]ast.Stmt{&ast.ExprStmt{X: call}}, body.List...)
}

const recoverName = "recovered·"

// guardRecover hands what recover gives through a look at what it caught.
func guardRecover(info *types.Info, c *astutil.Cursor, call *ast.CallExpr) {
	id, ok := ast.Unparen(call.Fun).(*ast.Ident)
	if !ok {
		return
	}
	if b, ok := info.Uses[id].(*types.Builtin); ok && b.Name() == "recover" {
		c.Replace(&ast.CallExpr{Fun: ident(call.Pos(), recoverName), Lparen: call.Lparen, Args: []ast.Expr{call}, Rparen: call.Rparen})
	}
}

// keepTypes holds a variable's type in a := that declares another one beside
// it: in "y, x := 1, 2" the interpreter would make an earlier x a whole number.
func (e *Engine) keepTypes(info *types.Info, a *ast.AssignStmt) error {
	if a.Tok != token.DEFINE || len(a.Lhs) != len(a.Rhs) {
		return nil
	}
	for i, x := range a.Lhs {
		id, ok := x.(*ast.Ident)
		if !ok || info.Defs[id] != nil || id.Name == "_" || info.Types[a.Rhs[i]].Value == nil {
			continue
		}
		t, ok := e.typeExpr(info.TypeOf(id), a.Rhs[i].Pos())
		if !ok {
			return e.errorFor(a, Limit, "set "+id.Name+" on a line of its own, with = instead of :=")
		}
		a.Rhs[i] = &ast.CallExpr{Fun: t, Args: []ast.Expr{a.Rhs[i]}}
	}
	return nil
}

// freshCounter gives each turn of a loop its own counter where a function
// keeps it, as Go has done since 1.22.
func (e *Engine) freshCounter(info *types.Info, loop *ast.ForStmt) error {
	init, ok := loop.Init.(*ast.AssignStmt)
	if !ok || init.Tok != token.DEFINE {
		return nil
	}
	var fresh []ast.Expr
	for _, x := range init.Lhs {
		id, ok := x.(*ast.Ident)
		if !ok || !kept(info, loop.Body, info.Defs[id]) {
			continue
		}
		if changed(info, loop.Body, info.Defs[id]) {
			return e.ownCounters(info, loop, init)
		}
		fresh = append(fresh, id)
	}
	prepend(loop.Body, fresh)
	return nil
}

// prepend puts "i := i" before a loop's first statement.
func prepend(body *ast.BlockStmt, names []ast.Expr) {
	if len(names) == 0 {
		return
	}
	var l, r []ast.Expr
	for _, x := range names {
		name := x.(*ast.Ident).Name
		l, r = append(l, ident(body.Lbrace, name)), append(r, ident(body.Lbrace, name))
	}
	fresh := &ast.AssignStmt{Lhs: l, TokPos: body.Lbrace, Tok: token.DEFINE, Rhs: r}
	body.List = append([]ast.Stmt{fresh}, body.List...)
}

// rewriteRange gives each turn its own variables and counts over a whole
// number where the interpreter knows neither.
func (e *Engine) rewriteRange(info *types.Info, c *astutil.Cursor, loop *ast.RangeStmt) error {
	if b, ok := info.TypeOf(loop.X).Underlying().(*types.Basic); ok && b.Info()&types.IsInteger != 0 {
		if types.Default(info.TypeOf(loop.X)) != types.Typ[types.Int] {
			return e.errorFor(loop.X, Limit, "range counts over an int here; write range int("+e.source(loop.X)+")")
		}
		c.Replace(e.counting(loop))
		return nil
	}
	if p, ok := info.TypeOf(loop.X).Underlying().(*types.Pointer); ok && loop.Value != nil {
		// The interpreter would copy the array that is pointed at.
		if _, ok := p.Elem().Underlying().(*types.Array); ok {
			loop.X = &ast.SliceExpr{X: &ast.ParenExpr{Lparen: loop.X.Pos(), X: loop.X, Rparen: loop.X.End()}, Lbrack: loop.X.End(), Rbrack: loop.X.End()}
		}
	}
	if loop.Tok != token.DEFINE {
		return nil
	}
	var fresh []ast.Expr
	for _, x := range []ast.Expr{loop.Key, loop.Value} {
		if id, ok := x.(*ast.Ident); ok && kept(info, loop.Body, info.Defs[id]) {
			fresh = append(fresh, id)
		}
	}
	prepend(loop.Body, fresh)
	return nil
}

// counting writes "for i := range n" as the loop with a hidden counter.
func (e *Engine) counting(loop *ast.RangeStmt) ast.Stmt {
	pos := loop.For
	e.counters++
	count, end := fmt.Sprintf("count·%d", e.counters), fmt.Sprintf("end·%d", e.counters)
	if id, ok := loop.Key.(*ast.Ident); ok && id.Name != "_" || loop.Key != nil && !ok {
		set := &ast.AssignStmt{Lhs: []ast.Expr{loop.Key}, TokPos: pos, Tok: loop.Tok, Rhs: []ast.Expr{ident(pos, count)}}
		loop.Body.List = append([]ast.Stmt{set}, loop.Body.List...)
	}
	return &ast.ForStmt{For: pos, Body: loop.Body,
		Init: &ast.AssignStmt{Lhs: []ast.Expr{ident(pos, count), ident(pos, end)}, TokPos: pos, Tok: token.DEFINE,
			Rhs: []ast.Expr{&ast.BasicLit{ValuePos: pos, Kind: token.INT, Value: "0"},
				&ast.CallExpr{Fun: ident(pos, "int"), Args: []ast.Expr{loop.X}}}},
		Cond: &ast.BinaryExpr{X: ident(pos, count), OpPos: pos, Op: token.LSS, Y: ident(pos, end)},
		Post: &ast.IncDecStmt{X: ident(pos, count), TokPos: pos, Tok: token.INC}}
}

// kept tells whether a function literal, or an address, keeps a variable
// beyond the turn of the loop.
func kept(info *types.Info, body *ast.BlockStmt, obj types.Object) bool {
	return obj != nil && anyNode(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncLit:
			return uses(info, n.Body, obj)
		case *ast.UnaryExpr:
			return n.Op == token.AND && uses(info, n.X, obj)
		}
		return false
	})
}

// changed tells whether the body sets a variable.
func changed(info *types.Info, body *ast.BlockStmt, obj types.Object) bool {
	return anyNode(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.AssignStmt:
			for _, x := range n.Lhs {
				if uses(info, x, obj) {
					return true
				}
			}
		case *ast.IncDecStmt:
			return uses(info, n.X, obj)
		case *ast.UnaryExpr:
			return n.Op == token.AND && uses(info, n.X, obj)
		}
		return false
	})
}

func uses(info *types.Info, n ast.Node, obj types.Object) bool {
	return anyNode(n, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		return ok && info.Uses[id] == obj
	})
}

func anyNode(root ast.Node, is func(ast.Node) bool) bool {
	var found bool
	ast.Inspect(root, func(n ast.Node) bool {
		found = found || n != nil && is(n)
		return !found
	})
	return found
}
