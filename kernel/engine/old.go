package engine

import (
	"go/ast"
	"go/types"
)

// refuseOld names what Go knows, the interpreter does not, and no rewriting
// makes up for.
func (e *Engine) refuseOld(info *types.Info, root ast.Node) error {
	var found error
	ast.Inspect(root, func(n ast.Node) bool {
		if text := e.tooNew(info, n); text != "" && found == nil {
			found = e.errorFor(n, Limit, text)
		}
		return found == nil
	})
	return found
}

// refuseCircles names types that contain each other, and methods of types that
// contain themselves: the interpreter loses sight of what is inside.
func (e *Engine) refuseCircles(r *run) error {
	specs := map[types.Object]*ast.TypeSpec{}
	methods := map[string]bool{}
	for _, it := range r.items {
		switch n := it.node.(type) {
		case *ast.GenDecl:
			for _, s := range n.Specs {
				specs[r.info.Defs[s.(*ast.TypeSpec).Name]] = s.(*ast.TypeSpec)
			}
		case *ast.FuncDecl:
			if n.Recv != nil {
				methods[receiverName(n)] = true
			}
		}
	}
	for obj, s := range specs {
		for _, other := range mentioned(r.info, s, specs) {
			if other != s && reaches(r.info, other, s, specs, map[*ast.TypeSpec]bool{}) {
				return e.errorFor(s, Limit, s.Name.Name+" and "+other.Name.Name+
					" contain each other, which types in cells cannot do")
			}
			if other == s && methods[obj.Name()] {
				return e.errorFor(s, Limit, s.Name.Name+" contains itself, so it cannot have methods in cells;"+
					" write functions that take one")
			}
		}
	}
	return nil
}

func mentioned(info *types.Info, s *ast.TypeSpec, specs map[types.Object]*ast.TypeSpec) []*ast.TypeSpec {
	var out []*ast.TypeSpec
	ast.Inspect(s.Type, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && specs[info.Uses[id]] != nil {
			out = append(out, specs[info.Uses[id]])
		}
		return true
	})
	return out
}

func reaches(info *types.Info, from, to *ast.TypeSpec, specs map[types.Object]*ast.TypeSpec, seen map[*ast.TypeSpec]bool) bool {
	if from == to {
		return true
	}
	if seen[from] {
		return false
	}
	seen[from] = true
	for _, next := range mentioned(info, from, specs) {
		if reaches(info, next, to, specs, seen) {
			return true
		}
	}
	return false
}

func (e *Engine) tooNew(info *types.Info, n ast.Node) string {
	switch n := n.(type) {
	case *ast.RangeStmt:
		if _, ok := info.TypeOf(n.X).Underlying().(*types.Signature); ok {
			return "range over a function is not available in cells"
		}
	}
	return ""
}
