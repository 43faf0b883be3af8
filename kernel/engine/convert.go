package engine

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// A converter finds the places where a value goes into an interface, which Go
// does without a word, and says there what the interpreter has to be told.
type converter struct {
	e       *Engine
	info    *types.Info
	results []*types.Tuple // of the functions around
	err     error
}

// convert looks at a whole item of a checked run.
func (e *Engine) convert(info *types.Info, root ast.Node) error {
	c := &converter{e: e, info: info}
	c.walk(root)
	return c.err
}

func (c *converter) walk(root ast.Node) {
	ast.Inspect(root, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			c.function(c.info.Defs[n.Name].Type(), n.Body)
			return false
		case *ast.FuncLit:
			if t := c.info.TypeOf(n); t != nil { // not one of ours
				c.function(t, n.Body)
			}
			return false
		}
		if n != nil && c.err == nil {
			c.node(n)
		}
		return c.err == nil
	})
}

func (c *converter) function(t types.Type, body *ast.BlockStmt) {
	c.results = append(c.results, t.(*types.Signature).Results())
	c.walk(body)
	c.results = c.results[:len(c.results)-1]
}

func (c *converter) fail(n ast.Node, text string) {
	if c.err == nil {
		c.err = c.e.errorFor(n, Limit, text)
	}
}

func (c *converter) node(n ast.Node) {
	switch n := n.(type) {
	case *ast.AssignStmt:
		c.assign(n)
	case *ast.ValueSpec:
		c.values(n)
	case *ast.ReturnStmt:
		if len(c.results) > 0 {
			c.each(n, n.Results, c.results[len(c.results)-1])
		}
	case *ast.CallExpr:
		c.call(n)
	case *ast.CompositeLit:
		c.literal(n)
	case *ast.IndexExpr:
		if m, ok := types.Unalias(c.typeOf(n.X)).Underlying().(*types.Map); ok {
			c.to(&n.Index, m.Key())
		}
	case *ast.BinaryExpr:
		c.compare(n)
	case *ast.SwitchStmt:
		c.cases(n)
	case *ast.TypeAssertExpr:
		if n.Type != nil {
			c.assert(n)
		}
	case *ast.TypeSwitchStmt:
		c.typeSwitch(n)
	}
}

func (c *converter) typeOf(x ast.Expr) types.Type {
	if t := c.info.TypeOf(x); t != nil {
		return t
	}
	return types.Typ[types.Invalid]
}

// to converts one expression to the type that its place has.
func (c *converter) to(x *ast.Expr, target types.Type) {
	from := c.typeOf(*x)
	if target == nil || !types.IsInterface(target) || isNil(from) {
		return
	}
	empty := target.Underlying().(*types.Interface).NumMethods() == 0
	switch {
	case !types.IsInterface(from) && empty:
		if madeInCells(from) {
			*x = c.e.dressCall(*x, from)
		}
	case !types.IsInterface(from):
		c.named(x, from, target)
	case !empty:
		c.between(x, from, target)
	case from.Underlying().(*types.Interface).NumMethods() > 0:
		if emulated(from) {
			*x = c.e.revealCall(*x)
		} else if kept, ok := c.e.keepCall(*x, from); ok {
			*x = kept
		}
	}
}

// between converts from one interface with methods to another. For one that a
// cell declared the interpreter does so only in a type switch.
func (c *converter) between(x *ast.Expr, from, target types.Type) {
	switch {
	case types.Identical(from, target), !emulated(from) && !emulated(target):
		return
	case !emulated(from):
		c.fail(*x, c.e.typeText(from)+" cannot become "+c.e.typeText(target)+" in cells; keep the value in a variable of its own type")
		return
	}
	pos := (*x).Pos()
	in, ok1 := c.e.typeExpr(from, pos)
	out, ok2 := c.e.typeExpr(target, pos)
	if !ok1 || !ok2 {
		c.fail(*x, c.e.source(*x)+" is of a type that was declared again since")
		return
	}
	f := funcLit(pos, in, out, ident(pos, "nil"))
	is := &ast.CaseClause{Case: pos, List: []ast.Expr{out}, Body: []ast.Stmt{&ast.ReturnStmt{Return: pos, Results: []ast.Expr{ident(pos, "y·")}}}}
	ask := &ast.TypeSwitchStmt{Switch: pos, Body: block(pos, is), Assign: set(token.DEFINE, ident(pos, "y·"), &ast.TypeAssertExpr{X: c.e.carryCall(ident(pos, "x·"))})}
	f.Body.List = append([]ast.Stmt{ask}, f.Body.List...)
	*x = &ast.CallExpr{Fun: f, Lparen: pos, Args: []ast.Expr{*x}, Rparen: pos}
}

func isNil(t types.Type) bool {
	b, ok := t.(*types.Basic)
	return ok && (b.Kind() == types.UntypedNil || b.Kind() == types.Invalid)
}

// emulated tells whether an interface was declared in a cell.
func emulated(t types.Type) bool {
	i, ok := t.Underlying().(*types.Interface)
	if !ok || i.NumMethods() == 0 {
		return false
	}
	n, ok := types.Unalias(t).(*types.Named)
	return !ok || inCells(n)
}

// named writes the conversion of a cell's value to an interface of compiled
// code out: the interpreter forgets it in some places, and cannot do it at all
// for a constant.
func (c *converter) named(x *ast.Expr, from, target types.Type) {
	if !madeInCells(from) {
		return
	}
	pos := (*x).Pos()
	if c.info.Types[*x].Value != nil {
		typ, ok := c.e.typeExpr(from, pos)
		if !ok {
			return
		}
		lit := &ast.FuncLit{Type: &ast.FuncType{Func: pos, Params: &ast.FieldList{},
			Results: &ast.FieldList{List: []*ast.Field{{Type: typ}}}},
			Body: &ast.BlockStmt{Lbrace: pos, Rbrace: pos, List: []ast.Stmt{&ast.ReturnStmt{Return: pos, Results: []ast.Expr{*x}}}}}
		*x = &ast.CallExpr{Fun: lit, Lparen: pos, Rparen: pos}
	}
	if typ, ok := c.e.typeExpr(target, pos); ok {
		*x = &ast.CallExpr{Fun: typ, Lparen: pos, Args: []ast.Expr{*x}, Rparen: pos}
	}
}

// each converts a list of expressions to the types of a tuple. One call that
// gives all of them cannot be dressed.
func (c *converter) each(n ast.Node, list []ast.Expr, want *types.Tuple) {
	if len(list) == 1 && want.Len() > 1 {
		have, ok := c.typeOf(list[0]).(*types.Tuple)
		for i := 0; ok && i < want.Len(); i++ {
			c.tuple(n, have.At(i).Type(), want.At(i).Type())
		}
		return
	}
	for i := range min(len(list), want.Len()) {
		c.to(&list[i], want.At(i).Type())
	}
}

// tuple refuses what one of several results of a call would lose.
func (c *converter) tuple(n ast.Node, from, to types.Type) {
	if types.IsInterface(to) && !types.Identical(from, to) && (madeInCells(from) || types.IsInterface(from)) {
		c.fail(n, "give the results of the call names of their own first, then pass them on")
	}
}

func (c *converter) assign(n *ast.AssignStmt) {
	if len(n.Lhs) != len(n.Rhs) {
		have, ok := c.typeOf(n.Rhs[0]).(*types.Tuple)
		for i := 0; ok && i < len(n.Lhs); i++ {
			if id, isID := n.Lhs[i].(*ast.Ident); !isID || id.Name != "_" && c.info.Defs[id] == nil {
				c.tuple(n, have.At(i).Type(), c.typeOf(n.Lhs[i]))
			}
		}
		return
	}
	for i := range n.Rhs {
		c.to(&n.Rhs[i], c.info.TypeOf(n.Lhs[i]))
	}
}

func (c *converter) values(n *ast.ValueSpec) {
	if n.Type == nil || len(n.Names) != len(n.Values) {
		return
	}
	for i := range n.Values {
		c.to(&n.Values[i], c.info.TypeOf(n.Type))
	}
}

// call converts arguments. What is converted by name, any(x), is one too.
func (c *converter) call(n *ast.CallExpr) {
	tv := c.info.Types[n.Fun]
	switch {
	case tv.IsType():
		if len(n.Args) == 1 {
			c.to(&n.Args[0], tv.Type)
		}
		return
	case tv.IsBuiltin():
		c.builtin(n)
		return
	}
	sig, ok := c.typeOf(n.Fun).Underlying().(*types.Signature)
	if !ok || c.raw(n, sig) {
		return
	}
	if len(n.Args) == 1 {
		if sig.Params().Len() > 1 {
			c.each(n, n.Args, sig.Params())
		}
		c.single(&n.Args[0])
	}
	for i := range n.Args {
		if n.Ellipsis.IsValid() && i == len(n.Args)-1 {
			break
		}
		c.wrapped(n, i)
		c.to(&n.Args[i], parameter(sig, i))
	}
}

// single keeps a lone argument that could give two values, the second one
// telling whether the first is there, from being taken for both.
func (c *converter) single(x *ast.Expr) {
	switch in := ast.Unparen(*x).(type) {
	case *ast.TypeAssertExpr:
	case *ast.IndexExpr:
		if _, ok := c.typeOf(in.X).Underlying().(*types.Map); !ok {
			return
		}
	default:
		return
	}
	from := c.typeOf(*x)
	typ, ok := c.e.typeExpr(from, (*x).Pos())
	if !ok {
		c.fail(*x, "give "+c.e.source(*x)+" a name of its own first")
		return
	}
	inner := *x
	*x = &ast.CallExpr{Fun: typ, Lparen: inner.Pos(), Args: []ast.Expr{inner}, Rparen: inner.End()}
	c.info.Types[*x] = types.TypeAndValue{Type: from}
}

// raw tells which functions of compiled code look inside what they are given
// and so get it bare, and refuses those that could not cope with it.
func (c *converter) raw(n *ast.CallExpr, sig *types.Signature) bool {
	sel, ok := ast.Unparen(n.Fun).(*ast.SelectorExpr)
	if !ok || c.info.Uses[sel.Sel] == nil || c.info.Uses[sel.Sel].Pkg() == nil {
		return false
	}
	path, name := c.info.Uses[sel.Sel].Pkg().Path(), sel.Sel.Name
	switch {
	case path == "sort" && sig.Params().Len() == 2 && types.IsInterface(sig.Params().At(0).Type()):
		return true // sort.Slice and its like
	case path == "errors" && (name == "As" || name == "Is") && len(n.Args) == 2 && madeInCells(c.typeOf(n.Args[1])):
		c.fail(n, "errors."+name+" does not know types from a cell; write e, ok := err."+"(T) with the type's name")
	}
	return false
}

// wrapped makes an error of an argument of fmt.Errorf, which keeps it as one.
func (c *converter) wrapped(n *ast.CallExpr, i int) {
	sel, ok := ast.Unparen(n.Fun).(*ast.SelectorExpr)
	if !ok || sel.Sel.Name != "Errorf" || ownMethodOf(c.typeOf(n.Args[i])) != "Error" {
		return
	}
	x := n.Args[i]
	asError := &ast.CallExpr{Fun: ident(x.Pos(), "error"), Lparen: x.Pos(), Args: []ast.Expr{x}, Rparen: x.End()}
	n.Args[i], _ = c.e.keepCall(asError, types.Universe.Lookup("error").Type())
}

func (c *converter) builtin(n *ast.CallExpr) {
	id, ok := ast.Unparen(n.Fun).(*ast.Ident)
	if !ok || len(n.Args) == 0 {
		return
	}
	switch id.Name {
	case "panic":
		c.to(&n.Args[0], types.Universe.Lookup("any").Type())
	case "append":
		if s, ok := c.typeOf(n.Args[0]).Underlying().(*types.Slice); ok && !n.Ellipsis.IsValid() {
			for i := range n.Args[1:] {
				c.to(&n.Args[i+1], s.Elem())
			}
		}
	case "delete":
		if m, ok := c.typeOf(n.Args[0]).Underlying().(*types.Map); ok && len(n.Args) == 2 {
			c.to(&n.Args[1], m.Key())
		}
	}
}

func (c *converter) literal(n *ast.CompositeLit) {
	t := c.typeOf(n).Underlying()
	if p, ok := t.(*types.Pointer); ok {
		t = p.Elem().Underlying()
	}
	for i := range n.Elts {
		value := &n.Elts[i]
		kv, keyed := n.Elts[i].(*ast.KeyValueExpr)
		if keyed {
			value = &kv.Value
		}
		switch t := t.(type) {
		case *types.Slice:
			c.to(value, t.Elem())
		case *types.Array:
			c.to(value, t.Elem())
		case *types.Map:
			c.to(&kv.Key, t.Key())
			c.to(value, t.Elem())
		case *types.Struct:
			c.to(value, fieldType(t, kv, i))
		}
	}
}

func fieldType(t *types.Struct, kv *ast.KeyValueExpr, i int) types.Type {
	if kv == nil {
		return t.Field(i).Type()
	}
	for f := range t.Fields() {
		if id, ok := kv.Key.(*ast.Ident); ok && f.Name() == id.Name {
			return f.Type()
		}
	}
	return nil
}

// compare converts the side that is no interface, and refuses to compare
// interfaces whose inside the interpreter does not see.
func (c *converter) compare(n *ast.BinaryExpr) {
	if n.Op != token.EQL && n.Op != token.NEQ {
		return
	}
	a, b := c.typeOf(n.X), c.typeOf(n.Y)
	if isNil(a) || isNil(b) || !types.IsInterface(a) && !types.IsInterface(b) {
		return
	}
	c.comparable(n, a)
	c.comparable(n, b)
	c.to(&n.X, b)
	c.to(&n.Y, a)
}

// comparable refuses interfaces with methods when a cell's type may be inside.
func (c *converter) comparable(n ast.Node, t types.Type) {
	if i, ok := t.Underlying().(*types.Interface); ok && i.NumMethods() > 0 && c.e.implemented(i) {
		c.fail(n, "cells cannot compare values of type "+c.e.typeText(t)+"; compare what is in them")
	}
}

// implemented tells whether a type declared in some cell has an interface's
// methods.
func (e *Engine) implemented(i *types.Interface) bool {
	for _, obj := range e.cellTypes {
		if !types.IsInterface(obj.Type()) && (has(obj.Type(), i) || has(types.NewPointer(obj.Type()), i)) {
			return true
		}
	}
	return false
}

// has compares methods by name alone: earlier cells' types belong to other
// packages to the checker, and small names would never match.
func has(t types.Type, i *types.Interface) bool {
	set := types.NewMethodSet(t)
	for m := range i.Methods() {
		if !slices.ContainsFunc(members(t), func(name string) bool { return name == m.Name() }) && set.Lookup(m.Pkg(), m.Name()) == nil {
			return false
		}
	}
	return true
}

func (c *converter) cases(n *ast.SwitchStmt) {
	if n.Tag == nil {
		return
	}
	tag := c.typeOf(n.Tag)
	for _, clause := range n.Body.List {
		for i := range clause.(*ast.CaseClause).List {
			x := &clause.(*ast.CaseClause).List[i]
			if t := c.typeOf(*x); !isNil(t) && types.IsInterface(tag) {
				c.comparable(*x, tag)
				c.to(x, tag)
			} else if types.IsInterface(t) {
				c.fail(*x, "compare with == instead")
			}
		}
	}
}
