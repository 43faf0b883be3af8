package engine

import (
	"errors"
	"go/ast"
	"go/token"
	"go/types"
	"strconv"
	"strings"
)

// cellsPath is the path of the package that all cells belong to.
const cellsPath = "tautline/cells"

// A run is a stretch of items that Go checks together: declarations of types
// and functions see each other, statements see only what stands above them.
type run struct {
	items []item
	decls bool
	info  *types.Info
}

// runs groups a cell's items. A method joins the stretch that declares its
// type, since Go wants both together.
func runs(items []item) []*run {
	var all []*run
	home := map[string]*run{} // type name -> the run that declares it
	for _, it := range items {
		decls := isDecl(it.node)
		into := (*run)(nil)
		if f, ok := it.node.(*ast.FuncDecl); ok && f.Recv != nil {
			into = home[receiverName(f)]
		}
		if into == nil {
			if len(all) == 0 || all[len(all)-1].decls != decls {
				all = append(all, &run{decls: decls})
			}
			into = all[len(all)-1]
		}
		into.items = append(into.items, it)
		for _, name := range typeNames(it.node) {
			home[name] = into
		}
	}
	return all
}

// anew lists the names that a run of declarations gives a new meaning, all at
// once. Statements do so one after another, inside the function they are
// checked in.
func (r *run) anew() map[string]bool {
	names := map[string]bool{}
	for _, it := range r.items {
		if r.decls {
			for _, id := range declared(it.node) {
				names[id.Name] = true
			}
		}
	}
	return names
}

func isDecl(n ast.Node) bool {
	_, ok := n.(ast.Decl)
	return ok
}

func typeNames(n ast.Node) []string {
	var names []string
	if g, ok := n.(*ast.GenDecl); ok && g.Tok == token.TYPE {
		for _, s := range g.Specs {
			names = append(names, s.(*ast.TypeSpec).Name.Name)
		}
	}
	return names
}

// receiverName gives the name of the type that a method belongs to.
func receiverName(f *ast.FuncDecl) string {
	if len(f.Recv.List) != 1 {
		return ""
	}
	t := f.Recv.List[0].Type
	if star, ok := t.(*ast.StarExpr); ok {
		t = star.X
	}
	if id, ok := t.(*ast.Ident); ok {
		return id.Name
	}
	return ""
}

// check lets Go's own checker read the items of one run against a scope, and
// adds what they declare to it.
func (e *Engine) check(r *run, s scope) error {
	if err := e.checkNames(r); err != nil {
		return err
	}
	if err := e.checkTypes(r, s, true); err != nil {
		return err
	}
	if err := e.checkUnits(r); err != nil {
		return err
	}
	for _, it := range r.items {
		for _, id := range declared(it.node) {
			if obj := r.info.Defs[id]; obj != nil {
				e.declare(s, obj)
			}
		}
	}
	return nil
}

// checkTypes runs the checker. Fields in lower case cannot be filled in by
// position from another package, which each later cell is to the checker; such
// literals get their field names written out, once, and are checked again.
func (e *Engine) checkTypes(r *run, s scope, again bool) error {
	p := types.NewPackage(cellsPath, "")
	e.fill(p, s, r.anew())
	r.info = &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{},
		Uses: map[*ast.Ident]types.Object{}, Selections: map[*ast.SelectorExpr]*types.Selection{}, Instances: map[*ast.Ident]types.Instance{}}
	var found []types.Error
	conf := types.Config{Importer: noImporter{}, Error: func(err error) {
		if te := (types.Error{}); errors.As(err, &te) && !e.harmless(te, r) {
			found = append(found, te)
		}
	}}
	types.NewChecker(&conf, e.files, p, r.info).Files([]*ast.File{e.asFile(r)})
	if len(found) == 0 {
		return nil
	}
	if again && e.nameFields(r, found) {
		return e.checkTypes(r, s, false)
	}
	return e.sentence(found[0], r, s)
}

// asFile dresses a run as a Go file. Statements become the body of a function.
func (e *Engine) asFile(r *run) *ast.File {
	pos := r.items[0].node.Pos()
	f := &ast.File{Package: pos, Name: &ast.Ident{NamePos: pos}}
	if r.decls {
		for _, it := range r.items {
			f.Decls = append(f.Decls, it.node.(ast.Decl))
		}
		return f
	}
	body := &ast.BlockStmt{Lbrace: pos, Rbrace: r.items[len(r.items)-1].node.End()}
	for _, it := range r.items {
		body.List = append(body.List, it.node.(ast.Stmt))
	}
	f.Decls = []ast.Decl{&ast.FuncDecl{Name: &ast.Ident{NamePos: pos, Name: "_"}, Body: body,
		Type: &ast.FuncType{Func: pos, Params: &ast.FieldList{}}}}
	return f
}

// harmless tells which complaints do not matter in a cell: a later cell may
// use what this one declares, and an expression's value is shown.
func (e *Engine) harmless(err types.Error, r *run) bool {
	if strings.HasPrefix(err.Msg, "declared and not used") {
		return true
	}
	if !strings.HasSuffix(err.Msg, "is not used") {
		return false
	}
	for _, it := range r.items {
		if x, ok := it.node.(*ast.ExprStmt); ok && within(x, err.Pos) && !inFunction(x, err.Pos) {
			return true
		}
	}
	return false
}

func within(n ast.Node, pos token.Pos) bool { return n.Pos() <= pos && pos <= n.End() }

// inFunction tells whether a position is inside the body of a function literal
// of the statement, where values that go nowhere are mistakes.
func inFunction(n ast.Node, pos token.Pos) bool {
	var inside bool
	ast.Inspect(n, func(n ast.Node) bool {
		if f, ok := n.(*ast.FuncLit); ok && within(f.Body, pos) {
			inside = true
		}
		return !inside
	})
	return inside
}

const filledByPosition = "implicit assignment to unexported field"

// nameFields writes the field names into the literals that need them, and
// tells whether it found any.
func (e *Engine) nameFields(r *run, found []types.Error) bool {
	var any bool
	for _, it := range r.items {
		ast.Inspect(it.node, func(n ast.Node) bool {
			lit, ok := n.(*ast.CompositeLit)
			if !ok || !points(found, lit) {
				return true
			}
			if t := namedOf(orInvalid(r.info.TypeOf(lit))); t != nil && inCells(t) {
				any = nameLiteral(lit, t.Underlying()) || any
			}
			return true
		})
	}
	return any
}

func points(found []types.Error, lit *ast.CompositeLit) bool {
	for _, err := range found {
		if strings.HasPrefix(err.Msg, filledByPosition) && within(lit, err.Pos) {
			return true
		}
	}
	return false
}

func nameLiteral(lit *ast.CompositeLit, t types.Type) bool {
	s, ok := t.(*types.Struct)
	if !ok || len(lit.Elts) != s.NumFields() {
		return false
	}
	for i, x := range lit.Elts {
		if _, keyed := x.(*ast.KeyValueExpr); keyed {
			return false
		}
		key := &ast.Ident{NamePos: x.Pos(), Name: s.Field(i).Name()}
		lit.Elts[i] = &ast.KeyValueExpr{Key: key, Colon: x.Pos(), Value: x}
	}
	return true
}

type noImporter struct{}

func (noImporter) Import(path string) (*types.Package, error) {
	return nil, errors.New(strconv.Quote(path) + " cannot be imported here")
}

// declared lists the names that an item adds to the notebook.
func declared(n ast.Node) []*ast.Ident {
	var ids []*ast.Ident
	switch n := n.(type) {
	case *ast.FuncDecl:
		if n.Recv == nil {
			ids = append(ids, n.Name)
		}
	case *ast.AssignStmt:
		if n.Tok == token.DEFINE {
			for _, x := range n.Lhs {
				if id, ok := x.(*ast.Ident); ok {
					ids = append(ids, id)
				}
			}
		}
	case *ast.DeclStmt:
		return declared(n.Decl)
	case *ast.GenDecl:
		for _, s := range n.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				ids = append(ids, s.Name)
			case *ast.ValueSpec:
				ids = append(ids, s.Names...)
			}
		}
	case *ast.LabeledStmt:
		return declared(n.Stmt)
	}
	return withoutBlank(ids)
}

func withoutBlank(ids []*ast.Ident) []*ast.Ident {
	var kept []*ast.Ident
	for _, id := range ids {
		if id.Name != "_" {
			kept = append(kept, id)
		}
	}
	return kept
}
