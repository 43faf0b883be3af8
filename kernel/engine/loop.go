package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
)

// ownCounters writes out what Go does where a turn of a loop changes a counter
// that a function keeps: each turn begins with a copy of the counters as the
// last turn left them, and the step and the condition work on the copy.
//
//	for i := 0; i < n; i++ { body }
//
// becomes, with hidden names for start, last and first,
//
//	for start, last, first := 0, (*int)(nil), true; ; {
//		i := start
//		if first { first = false } else { i = *last; i++ }
//		last = &i
//		if !(i < n) { break }
//		body
//	}
func (e *Engine) ownCounters(info *types.Info, loop *ast.ForStmt, init *ast.AssignStmt) error {
	pos := loop.For
	e.counters++
	hidden := func(what string, i int) *ast.Ident { return ident(pos, fmt.Sprintf("%s·%d·%d", what, e.counters, i)) }
	first := hidden("first", 0)
	begin := &ast.AssignStmt{TokPos: pos, Tok: token.DEFINE}
	var fresh, again, remember []ast.Stmt
	for i, x := range init.Lhs {
		id := x.(*ast.Ident)
		begin.Lhs, begin.Rhs = append(begin.Lhs, hidden("start", i)), append(begin.Rhs, init.Rhs[min(i, len(init.Rhs)-1)])
		if id.Name == "_" {
			continue
		}
		typ, ok := e.typeExpr(info.TypeOf(id), pos)
		if !ok || len(init.Rhs) != len(init.Lhs) {
			return e.errorFor(id, Limit, fmt.Sprintf("%s is changed in the loop and kept by a function;"+
				" keep a copy instead: write j := %s in the loop", id.Name, id.Name))
		}
		nilPointer := &ast.CallExpr{Fun: &ast.ParenExpr{Lparen: pos, X: &ast.StarExpr{Star: pos, X: typ}}, Args: []ast.Expr{ident(pos, "nil")}}
		begin.Lhs, begin.Rhs = append(begin.Lhs, hidden("last", i)), append(begin.Rhs, nilPointer)
		fresh = append(fresh, set(token.DEFINE, ident(pos, id.Name), hidden("start", i)))
		again = append(again, set(token.ASSIGN, ident(pos, id.Name), &ast.StarExpr{Star: pos, X: hidden("last", i)}))
		remember = append(remember, set(token.ASSIGN, hidden("last", i), &ast.UnaryExpr{OpPos: pos, Op: token.AND, X: ident(pos, id.Name)}))
	}
	begin.Lhs, begin.Rhs = append(begin.Lhs, first), append(begin.Rhs, ident(pos, "true"))
	if loop.Post != nil {
		again = append(again, loop.Post)
	}
	body := append(fresh, &ast.IfStmt{If: pos, Cond: hidden("first", 0),
		Body: block(pos, set(token.ASSIGN, hidden("first", 0), ident(pos, "false"))), Else: block(pos, again...)})
	body = append(body, remember...)
	if loop.Cond != nil {
		body = append(body, &ast.IfStmt{If: pos, Cond: &ast.UnaryExpr{OpPos: pos, Op: token.NOT, X: &ast.ParenExpr{Lparen: pos, X: loop.Cond}},
			Body: block(pos, &ast.BranchStmt{TokPos: pos, Tok: token.BREAK})})
	}
	loop.Init, loop.Cond, loop.Post = begin, nil, nil
	loop.Body.List = append(body, loop.Body.List...)
	return nil
}

func set(tok token.Token, l, r ast.Expr) *ast.AssignStmt {
	return &ast.AssignStmt{Lhs: []ast.Expr{l}, TokPos: l.Pos(), Tok: tok, Rhs: []ast.Expr{r}}
}

func block(pos token.Pos, list ...ast.Stmt) *ast.BlockStmt {
	return &ast.BlockStmt{Lbrace: pos, List: list, Rbrace: pos}
}
