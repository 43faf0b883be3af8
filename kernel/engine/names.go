package engine

import (
	"go/ast"
	"go/token"
	"maps"
	"slices"
)

// Names tells which names a cell gives a meaning or another value, and which
// it makes use of, without running it. A front end sees from it which cells
// rest on one that has changed. Of a cell that cannot be read it tells nothing.
func Names(code string) (gives, uses []string) {
	e := &Engine{files: token.NewFileSet(), pieces: map[*token.File]*piece{}}
	items, err := e.parse(&cell{text: code})
	if err != nil {
		return nil, nil
	}
	n := naming{map[string]bool{}, map[string]bool{}}
	for _, it := range items {
		n.item(it.node)
	}
	return slices.Sorted(maps.Keys(n.gives)), slices.Sorted(maps.Keys(n.uses))
}

// A naming gathers names. A name that is given and used by the same cell counts
// as both: a cell such as x = x + 1 rests on an earlier one.
type naming struct{ gives, uses map[string]bool }

func (n naming) item(node ast.Node) {
	switch x := node.(type) {
	case *ast.FuncDecl:
		if x.Recv == nil {
			n.gives[x.Name.Name] = true
		}
		n.within(x.Type)
		if x.Body != nil {
			n.within(x.Body)
		}
	case *ast.GenDecl:
		for _, s := range x.Specs {
			n.spec(s)
		}
	case *ast.DeclStmt:
		n.item(x.Decl)
	case *ast.AssignStmt:
		for _, left := range x.Lhs {
			n.assigned(left, x.Tok)
		}
		for _, right := range x.Rhs {
			n.within(right)
		}
	case *ast.IncDecStmt:
		n.assigned(x.X, token.ADD_ASSIGN)
	default:
		n.within(node)
	}
}

func (n naming) spec(s ast.Spec) {
	switch s := s.(type) {
	case *ast.ValueSpec:
		for _, id := range s.Names {
			n.gives[id.Name] = true
		}
		n.within(s.Type)
		for _, v := range s.Values {
			n.within(v)
		}
	case *ast.TypeSpec:
		n.gives[s.Name.Name] = true
		n.within(s.Type)
	}
}

// assigned notes what stands left of an assignment: x = and x[i] = change x;
// all but := and = use it too.
func (n naming) assigned(left ast.Expr, tok token.Token) {
	if id, ok := left.(*ast.Ident); ok {
		if id.Name != "_" {
			n.gives[id.Name] = true
		}
		if tok != token.DEFINE && tok != token.ASSIGN {
			n.uses[id.Name] = true
		}
		return
	}
	n.within(left)
	for root := left; ; {
		switch x := root.(type) {
		case *ast.Ident:
			n.gives[x.Name] = true
			return
		case *ast.IndexExpr:
			root = x.X
		case *ast.SelectorExpr:
			root = x.X
		case *ast.StarExpr:
			root = x.X
		case *ast.ParenExpr:
			root = x.X
		default:
			return
		}
	}
}

// within notes all names used in a piece of a cell, and what assignments deep
// inside change. Names that only live inside it may be among them: that marks
// a cell too many at worst.
func (n naming) within(node ast.Node) {
	if node == nil {
		return
	}
	ast.Inspect(node, func(m ast.Node) bool {
		switch x := m.(type) {
		case *ast.SelectorExpr:
			n.within(x.X)
			return false
		case *ast.KeyValueExpr:
			n.within(x.Value)
			return false
		case *ast.AssignStmt:
			if x.Tok != token.DEFINE {
				for _, left := range x.Lhs {
					n.assigned(left, x.Tok)
				}
			}
		case *ast.Ident:
			if x.Name != "_" {
				n.uses[x.Name] = true
			}
		}
		return true
	})
}
