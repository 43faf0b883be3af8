package engine

import (
	"go/ast"
	"go/token"
)

// An Assignment is where a cell first gives a name a value, outside of loops
// and functions.
type Assignment struct {
	Name     string
	Value    string // the expression as it was typed
	from, to int    // its place in the cell
}

// Assignments lists the names that a cell gives values of their own. A text
// that is no Go gives none.
func Assignments(text string) []Assignment {
	e := &Engine{files: token.NewFileSet(), pieces: map[*token.File]*piece{}}
	items, err := e.parse(&cell{text: text})
	if err != nil {
		return nil
	}
	var all []Assignment
	seen := map[string]bool{}
	add := func(name, value ast.Expr) {
		id, ok := name.(*ast.Ident)
		_, from, ok1 := e.locate(value.Pos())
		_, to, ok2 := e.locate(value.End())
		if !ok || !ok1 || !ok2 || id.Name == "_" || seen[id.Name] {
			return
		}
		seen[id.Name] = true
		all = append(all, Assignment{id.Name, text[from:to], from, to})
	}
	for _, it := range items {
		eachValue(it.node, add)
	}
	return all
}

// eachValue visits the pairs of a name and its value.
func eachValue(n ast.Node, add func(name, value ast.Expr)) {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if len(n.Lhs) == len(n.Rhs) && (n.Tok == token.DEFINE || n.Tok == token.ASSIGN) {
			for i := range n.Lhs {
				add(n.Lhs[i], n.Rhs[i])
			}
		}
	case *ast.DeclStmt:
		g, ok := n.Decl.(*ast.GenDecl)
		if !ok {
			return
		}
		for _, s := range g.Specs {
			if v, ok := s.(*ast.ValueSpec); ok && len(v.Names) == len(v.Values) {
				for i := range v.Names {
					add(v.Names[i], v.Values[i])
				}
			}
		}
	}
}

// Replace puts another expression in the value's place, and the earlier one
// into a remark beside it.
func (a Assignment) Replace(text, value string) string {
	return text[:a.from] + value + " /* set for this run; was " + a.Value + " */" + text[a.to:]
}
