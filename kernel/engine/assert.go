package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
)

// assert sees to x.(T).
func (c *converter) assert(n *ast.TypeAssertExpr) {
	from, to := c.typeOf(n.X), c.typeOf(n.Type)
	if emulated(to) {
		text := c.e.typeText(to)
		c.fail(n, fmt.Sprintf("ask for %s with a type switch: switch v := %s.(type) { case %s: ... }", text, c.e.source(n.X), text))
		return
	}
	asked := c.askable(n, from, []types.Type{to})
	switch {
	case len(asked) > 0:
		n.X = c.e.undressCall(n.X, asked, true)
	case emulated(from):
		n.X = c.e.carryCall(n.X)
	}
}

// typeSwitch sees to switch x.(type).
func (c *converter) typeSwitch(n *ast.TypeSwitchStmt) {
	x := switched(n)
	if x == nil {
		return
	}
	from := c.typeOf(x.X)
	var all []types.Type
	for _, s := range n.Body.List {
		list := s.(*ast.CaseClause).List
		for _, one := range list {
			t := c.typeOf(one)
			if len(list) > 1 && (madeInCells(t) || emulated(t)) {
				c.fail(one, "write one case for each type from a cell")
			}
			if i, ok := from.Underlying().(*types.Interface); ok && i.NumMethods() == 0 {
				c.onlyStructs(one, t)
			}
			all = append(all, t)
		}
	}
	c.keepSwitched(n, x)
	if asked := c.askable(n, from, all); len(asked) > 0 {
		x.X = c.e.undressCall(x.X, asked, false)
	}
}

// keepSwitched gives clauses without one type the value as it was: there the
// interpreter would hand out what is inside the interface.
func (c *converter) keepSwitched(n *ast.TypeSwitchStmt, x *ast.TypeAssertExpr) {
	assign, ok := n.Assign.(*ast.AssignStmt)
	if !ok {
		if from := c.typeOf(x.X); emulated(from) {
			x.X = c.e.carryCall(x.X)
		}
		return
	}
	c.e.counters++
	pos := n.Switch
	name := fmt.Sprintf("switched·%d", c.e.counters)
	for _, s := range n.Body.List {
		clause := s.(*ast.CaseClause)
		if len(clause.List) == 1 {
			continue
		}
		own := set(token.DEFINE, ident(pos, assign.Lhs[0].(*ast.Ident).Name), ident(pos, name))
		clause.Body = []ast.Stmt{block(pos, append([]ast.Stmt{own}, clause.Body...)...)}
	}
	keep := set(token.DEFINE, ident(pos, name), x.X)
	if n.Init != nil {
		c.fail(n.Init, "write the first part of the switch on a line of its own")
		return
	}
	n.Init, x.X = keep, ident(pos, name)
	from := c.typeOf(keep.Rhs[0])
	c.info.Types[x.X] = types.TypeAndValue{Type: from}
	switch i := from.Underlying().(*types.Interface); {
	case i.NumMethods() == 0:
	case emulated(from):
		x.X = c.e.carryCall(x.X)
	default:
		x.X, _ = c.e.keepCall(x.X, from)
	}
}

// onlyStructs refuses cells' types in a switch over an any that a plain value
// could be taken for.
func (c *converter) onlyStructs(one ast.Expr, t types.Type) {
	if isNil(t) || types.IsInterface(t) || !madeInCells(t) {
		return
	}
	in := t
	if p, ok := types.Unalias(t).(*types.Pointer); ok {
		in = p.Elem()
	}
	if _, ok := structOf(in); !ok {
		text := c.e.typeText(t)
		c.fail(one, fmt.Sprintf("in a switch cells cannot tell %s from %s, which it is inside; write if v, ok := x.(%s); ok { ... }", text, c.e.inside(t), text))
	}
}

func switched(n *ast.TypeSwitchStmt) *ast.TypeAssertExpr {
	switch s := n.Assign.(type) {
	case *ast.ExprStmt:
		x, _ := ast.Unparen(s.X).(*ast.TypeAssertExpr)
		return x
	case *ast.AssignStmt:
		x, _ := ast.Unparen(s.Rhs[0]).(*ast.TypeAssertExpr)
		return x
	}
	return nil
}

// askable checks the types that a value in an interface is asked for, and
// lists those of them for which it has to be undressed.
func (c *converter) askable(n ast.Node, from types.Type, asked []types.Type) []types.Type {
	i, ok := from.Underlying().(*types.Interface)
	if !ok {
		return nil
	}
	empty := i.NumMethods() == 0
	var undress []types.Type
	for k, t := range asked {
		switch {
		case isNil(t):
		case types.IsInterface(t):
			c.askInterface(n, empty, t)
		case madeInCells(t):
			if empty {
				undress = append(undress, t)
				c.distinct(n, t, asked[:k], asked[k+1:])
			} else {
				c.unmistakable(n, t, i)
			}
		}
	}
	return undress
}

// askInterface refuses what the interpreter cannot tell: whether a value whose
// type it has forgotten has some methods.
func (c *converter) askInterface(n ast.Node, empty bool, t types.Type) {
	i := t.Underlying().(*types.Interface)
	if i.NumMethods() == 0 {
		return
	}
	text := c.e.typeText(t)
	switch {
	case emulated(t) && empty:
		c.fail(n, fmt.Sprintf("a value in an any cannot be asked for %s; keep it in a variable of type %s", text, text))
	case emulated(t), isError(t), isStringer(t):
	case empty && c.e.implemented(i):
		c.fail(n, fmt.Sprintf("a value in an any cannot be asked for %s; keep it in a variable of type %s", text, text))
	}
}

func isError(t types.Type) bool { return types.Identical(t, types.Universe.Lookup("error").Type()) }

func isStringer(t types.Type) bool {
	n, ok := types.Unalias(t).(*types.Named)
	return ok && n.Obj().Pkg() != nil && n.Obj().Pkg().Path() == "fmt" && n.Obj().Name() == "Stringer"
}

// distinct refuses types in one question that have the same inside.
func (c *converter) distinct(n ast.Node, t types.Type, others ...[]types.Type) {
	for _, list := range others {
		for _, other := range list {
			if !isNil(other) && c.e.inside(other) == c.e.inside(t) {
				c.fail(n, fmt.Sprintf("cells cannot tell %s from %s here: both are %s inside",
					c.e.typeText(t), c.e.typeText(other), c.e.inside(t)))
			}
		}
	}
}

// unmistakable refuses a type when another one has the same inside and could
// be in the same interface.
func (c *converter) unmistakable(n ast.Node, t types.Type, i *types.Interface) {
	for _, obj := range c.e.cellTypes {
		for _, other := range []types.Type{obj.Type(), types.NewPointer(obj.Type())} {
			if obj.Name() == nameOf(t) || types.IsInterface(obj.Type()) || !has(other, i) {
				continue
			}
			if c.e.inside(other) == c.e.inside(t) {
				c.fail(n, fmt.Sprintf("cells cannot tell %s from another type with the same inside (%s); give it one more field",
					c.e.typeText(t), c.e.inside(t)))
			}
		}
	}
}

// inside writes what the interpreter sees of a type.
func (e *Engine) inside(t types.Type) string {
	switch t := types.Unalias(t).(type) {
	case *types.Pointer:
		return "*" + e.inside(t.Elem())
	case *types.Named:
		if inCells(t) {
			return e.inside(t.Underlying())
		}
	}
	return e.typeText(t)
}

// nameOf gives a type's name, also behind a pointer: declared again, it counts
// as the same.
func nameOf(t types.Type) string {
	if n := namedOf(t); n != nil {
		return n.Obj().Name()
	}
	return ""
}
