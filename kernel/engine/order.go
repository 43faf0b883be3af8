package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// ordered puts a run of declarations in an order that the interpreter can
// follow: it reads from top to bottom, while Go lets functions call those
// below them and each other.
func (e *Engine) ordered(r *run) []ast.Node {
	var nodes []ast.Node
	var specs []ast.Spec
	var funcs []*ast.FuncDecl
	for _, it := range r.items {
		switch n := it.node.(type) {
		case *ast.GenDecl:
			specs = append(specs, n.Specs...)
		case *ast.FuncDecl:
			funcs = append(funcs, n)
		}
	}
	if len(specs) > 0 {
		// All types in one declaration, which the interpreter sorts by itself.
		nodes = append(nodes, &ast.GenDecl{TokPos: specs[0].Pos(), Tok: token.TYPE, Lparen: specs[0].Pos(), Specs: specs})
	}
	// Methods first, so that types are complete where interfaces want them.
	slices.SortStableFunc(funcs, func(a, b *ast.FuncDecl) int { return boolInt(a.Recv == nil) - boolInt(b.Recv == nil) })
	for _, group := range cycles(funcs, r.info) {
		nodes = append(nodes, e.untangle(group, r.info)...)
	}
	return nodes
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// cycles groups functions that need each other, each group after those that it
// needs (Tarjan, SIAM J Comput 1972;1:146-160).
func cycles(funcs []*ast.FuncDecl, info *types.Info) [][]*ast.FuncDecl {
	byObject := map[types.Object]*ast.FuncDecl{}
	for _, f := range funcs {
		byObject[info.Defs[f.Name]] = f
	}
	var groups [][]*ast.FuncDecl
	var stack []*ast.FuncDecl
	index, low := map[*ast.FuncDecl]int{}, map[*ast.FuncDecl]int{}
	var visit func(f *ast.FuncDecl)
	visit = func(f *ast.FuncDecl) {
		index[f] = len(index) + 1
		low[f] = index[f]
		stack = append(stack, f)
		for _, g := range calls(f, byObject, info) {
			if index[g] == 0 {
				visit(g)
				low[f] = min(low[f], low[g])
			} else if slices.Contains(stack, g) {
				low[f] = min(low[f], index[g])
			}
		}
		if low[f] == index[f] {
			at := slices.Index(stack, f)
			groups = append(groups, slices.Clone(stack[at:]))
			stack = stack[:at]
		}
	}
	for _, f := range funcs {
		if index[f] == 0 {
			visit(f)
		}
	}
	return groups
}

func calls(f *ast.FuncDecl, known map[types.Object]*ast.FuncDecl, info *types.Info) []*ast.FuncDecl {
	var out []*ast.FuncDecl
	ast.Inspect(f.Body, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			if g, ok := known[info.Uses[id]]; ok {
				out = append(out, g)
			}
		}
		return true
	})
	return out
}

// untangle writes functions that need each other as variables that are
// declared first and filled afterwards. A method becomes one line that calls
// such a variable. A plain function may call itself without help.
func (e *Engine) untangle(group []*ast.FuncDecl, info *types.Info) []ast.Node {
	if len(group) == 1 && (group[0].Recv == nil || !callsItself(group[0], info)) {
		return []ast.Node{group[0]}
	}
	var vars, methods, fills []ast.Node
	for _, f := range group {
		name, typ := f.Name.Name, f.Type
		if f.Recv != nil {
			// Numbered: the methods of an earlier type of that name stay its own.
			e.counters++
			name = fmt.Sprintf("%s·%s·%d", receiverName(f), f.Name.Name, e.counters)
			typ = withReceiver(f)
			methods = append(methods, forwarder(f, name, typ))
		}
		pos := f.Pos()
		spec := &ast.ValueSpec{Names: []*ast.Ident{ident(pos, name)}, Type: typ}
		vars = append(vars, &ast.DeclStmt{Decl: &ast.GenDecl{TokPos: pos, Tok: token.VAR, Specs: []ast.Spec{spec}}})
		fills = append(fills, &ast.AssignStmt{Lhs: []ast.Expr{ident(pos, name)}, TokPos: pos, Tok: token.ASSIGN,
			Rhs: []ast.Expr{&ast.FuncLit{Type: typ, Body: f.Body}}})
	}
	return slices.Concat(vars, methods, fills)
}

func callsItself(f *ast.FuncDecl, info *types.Info) bool {
	return uses(info, f.Body, info.Defs[f.Name])
}

// withReceiver makes the receiver the first parameter, and names all of them.
func withReceiver(f *ast.FuncDecl) *ast.FuncType {
	params := &ast.FieldList{List: slices.Concat(f.Recv.List, f.Type.Params.List)}
	n := 0
	for i, field := range params.List {
		named := &ast.Field{Type: field.Type, Names: slices.Clone(field.Names)}
		if len(named.Names) == 0 {
			named.Names = []*ast.Ident{ident(field.Pos(), "_")}
		}
		for j, id := range named.Names {
			if id.Name == "_" {
				n++
				named.Names[j] = ident(id.Pos(), "p·"+string(rune('a'+n%26))+string(rune('a'+n/26)))
			}
		}
		params.List[i] = named
	}
	return &ast.FuncType{Func: f.Pos(), Params: params, Results: f.Type.Results}
}

// forwarder is the method that hands its work to the variable.
func forwarder(f *ast.FuncDecl, name string, typ *ast.FuncType) *ast.FuncDecl {
	pos := f.Pos()
	call := &ast.CallExpr{Fun: ident(pos, name)}
	for _, field := range typ.Params.List {
		for _, id := range field.Names {
			call.Args = append(call.Args, ident(pos, id.Name))
		}
		if _, variadic := field.Type.(*ast.Ellipsis); variadic {
			call.Ellipsis = pos
		}
	}
	body := &ast.BlockStmt{Lbrace: pos, Rbrace: pos, List: []ast.Stmt{&ast.ExprStmt{X: call}}}
	if f.Type.Results != nil && len(f.Type.Results.List) > 0 {
		body.List = []ast.Stmt{&ast.ReturnStmt{Return: pos, Results: []ast.Expr{call}}}
	}
	rest := &ast.FuncType{Func: pos, Params: &ast.FieldList{List: typ.Params.List[1:]}, Results: f.Type.Results}
	return &ast.FuncDecl{Recv: &ast.FieldList{List: typ.Params.List[:1]}, Name: f.Name, Type: rest, Body: body}
}
