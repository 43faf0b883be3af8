package engine

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
)

// stand is the name that stands, for Go's parser and checker, where the person
// is typing.
const stand = "here__"

// deepest bounds the open brackets that are read; nobody types more.
const deepest = 500

// A partial is an unfinished cell as far as Go's checker understands it.
type partial struct {
	known *knowledge
	files *token.FileSet
	scope map[string]types.Object // what the cell sees at the spot, words and packages apart
	pkgs  map[string]*types.Package
	info  *types.Info
	path  []ast.Node // from the outermost node to the stand-in
}

// read lets Go's checker read a text up to the spot. Where it does not
// understand something it goes on; nothing is run.
func (k *knowledge) read(s spot) *partial {
	p := &partial{known: k, files: token.NewFileSet(), scope: maps.Clone(k.symbols), pkgs: maps.Clone(k.imports)}
	closers := s.closers()
	if len(closers) > deepest {
		return p
	}
	text := s.code[:s.from] + stand + closers
	for _, r := range runs(p.items(text)) {
		if p.check(r) {
			return p
		}
	}
	return p
}

// items parses as much of the text as can be.
func (p *partial) items(text string) []item {
	spans, err := split(&cell{text})
	if err != nil {
		return nil
	}
	var items []item
	for _, s := range spans {
		before, after := declBefore, ""
		if s.stmts {
			before, after = stmtsBefore, stmtsAfter
		}
		file, _ := parser.ParseFile(p.files, "", before+text[s.start:s.end]+after, parser.SkipObjectResolution|parser.AllErrors)
		if file == nil {
			continue
		}
		items = append(items, p.unpack(file, s.stmts)...)
	}
	return items
}

// unpack takes the items out of a parsed piece; imports are noted at once.
func (p *partial) unpack(file *ast.File, stmts bool) []item {
	for _, spec := range file.Imports {
		path := spec.Path.Value
		if pkg := p.known.packages[path[1:max(1, len(path)-1)]]; pkg != nil {
			p.pkgs[pkg.Name()] = pkg
		}
	}
	var items []item
	for _, d := range file.Decls {
		f, isFunc := d.(*ast.FuncDecl)
		g, isGen := d.(*ast.GenDecl)
		switch {
		case stmts && isFunc && f.Body != nil:
			for _, stmt := range f.Body.List {
				items = append(items, item{unwrapType(stmt)})
			}
		case !stmts && isFunc, isGen && g.Tok == token.TYPE:
			items = append(items, item{d})
		}
	}
	return items
}

// check reads one stretch, takes over what it declares, and tells whether the
// stand-in is in it.
func (p *partial) check(r *run) (found bool) {
	pkg := types.NewPackage(cellsPath, "")
	p.fill(pkg, r.anew())
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{},
		Uses: map[*ast.Ident]types.Object{}, Scopes: map[ast.Node]*types.Scope{}}
	conf := types.Config{Importer: noImporter{}, Error: func(error) {}}
	file := (*Engine)(nil).asFile(r)
	types.NewChecker(&conf, p.files, pkg, info).Files([]*ast.File{file})
	if p.path = pathTo(file); p.path != nil {
		p.info = info
		p.local()
		return true
	}
	for _, it := range r.items {
		for _, id := range declared(it.node) {
			if obj := info.Defs[id]; obj != nil {
				p.scope[id.Name] = obj
			}
		}
	}
	return false
}

func (p *partial) fill(pkg *types.Package, anew map[string]bool) {
	for _, name := range p.known.words.Scope().Names() {
		pkg.Scope().Insert(p.known.words.Scope().Lookup(name))
	}
	for name, path := range p.pkgs {
		if !anew[name] {
			pkg.Scope().Insert(types.NewPkgName(token.NoPos, pkg, name, path))
		}
	}
	for name, obj := range p.scope {
		if !anew[name] {
			pkg.Scope().Insert(obj)
		}
	}
}

// pathTo finds the way to the stand-in.
func pathTo(root ast.Node) []ast.Node {
	var path, found []ast.Node
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			path = path[:len(path)-1]
			return true
		}
		path = append(path, n)
		if id, ok := n.(*ast.Ident); ok && id.Name == stand {
			found = append([]ast.Node(nil), path...)
		}
		return true
	})
	return found
}

// local adds the names that are declared in the functions and blocks round the
// stand-in, above it.
func (p *partial) local() {
	here := p.path[len(p.path)-1].Pos()
	for _, n := range p.path {
		if f, ok := n.(*ast.FuncDecl); ok {
			n = f.Type
		} else if f, ok := n.(*ast.FuncLit); ok {
			n = f.Type
		}
		scope := p.info.Scopes[n]
		if _, isFile := n.(*ast.File); scope == nil || isFile {
			continue
		}
		for _, name := range scope.Names() {
			obj := scope.Lookup(name)
			if obj.Pos() < here && name != stand && name != "_" {
				p.scope[name] = obj
			}
		}
	}
}

// owner gives what stands before the dot: the package, or the type.
func (p *partial) owner() (pkg *types.Package, t types.Type) {
	if len(p.path) < 2 {
		return nil, nil
	}
	sel, ok := p.path[len(p.path)-2].(*ast.SelectorExpr)
	if !ok {
		return nil, nil
	}
	if id, ok := sel.X.(*ast.Ident); ok {
		if name, ok := p.info.Uses[id].(*types.PkgName); ok {
			return name.Imported(), nil
		}
		if pkg := p.pkgs[id.Name]; pkg != nil && p.scope[id.Name] == nil {
			return pkg, nil
		}
	}
	return nil, p.info.TypeOf(sel.X)
}

// wanted gives the type of the argument that the stand-in is part of.
func (p *partial) wanted() types.Type {
	for i := len(p.path) - 2; i >= 0; i-- {
		switch n := p.path[i].(type) {
		case *ast.BinaryExpr, *ast.ParenExpr, *ast.UnaryExpr, *ast.SelectorExpr:
		case *ast.CallExpr:
			return p.parameter(n, p.path[i+1])
		default:
			return nil
		}
	}
	return nil
}

func (p *partial) parameter(call *ast.CallExpr, arg ast.Node) types.Type {
	sig, ok := p.info.TypeOf(call.Fun).(*types.Signature)
	if !ok {
		return nil
	}
	for i, x := range call.Args {
		if x != arg {
			continue
		}
		last := sig.Params().Len() - 1
		if sig.Variadic() && i >= last {
			if s, ok := sig.Params().At(last).Type().(*types.Slice); ok {
				return s.Elem()
			}
		}
		if i <= last {
			return sig.Params().At(i).Type()
		}
	}
	return nil
}
