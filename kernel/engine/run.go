package engine

import (
	"go/ast"
	"go/token"
	"go/types"
	"reflect"
	"strconv"
	"time"

	"github.com/cosmos72/gomacro/fast"
)

// A step is what runs in one go, with the names that hold once it has.
type step struct {
	nodes    []ast.Node
	compiled []*fast.Expr
	pos      token.Pos
	declares []string
	types    []*types.TypeName // those it declares
	gives    types.Type        // that of the value, of an expression
	before   snapshot          // to go back to if the step fails
	imports  map[string]string
}

// runCell takes a cell through all stages. Nothing is declared unless all of
// the cell has passed the checker and the interpreter's compiler.
func (e *Engine) runCell(c *cell) reply {
	before := e.interp.snapshot()
	items, err := e.parse(c)
	if err == nil {
		err = e.refuse(items)
	}
	if err != nil {
		return reply{err: err}
	}
	after := e.scope.clone()
	steps, err := e.prepare(items, after)
	if err == nil {
		err = e.compileAll(steps)
	}
	if err != nil {
		e.interp.restore(before)
		return reply{err: err}
	}
	return e.execute(c, steps, after)
}

// prepare checks and rewrites the items, and cuts them into steps.
func (e *Engine) prepare(items []item, s scope) ([]*step, error) {
	var steps []*step
	rest := items[:0:0]
	for _, it := range items {
		if g, ok := it.node.(*ast.GenDecl); ok && g.Tok == token.IMPORT {
			st, err := e.importStep(g, s)
			if err != nil {
				return nil, err
			}
			steps = append(steps, st)
			continue
		}
		rest = append(rest, it)
	}
	var checked []*run
	e.checked = s
	for _, r := range runs(rest) {
		if err := e.check(r, s); err != nil {
			return nil, err
		}
		checked = append(checked, r)
	}
	for _, r := range checked {
		pos, gives := positions(r), givesOf(r)
		names := namesOf(r)
		if err := e.rewrite(r); err != nil {
			return nil, err
		}
		steps = append(steps, e.stepsOf(r, pos, names, gives)...)
	}
	return steps, nil
}

// positions and names are read before rewriting, which changes the nodes.
func positions(r *run) []token.Pos {
	var all []token.Pos
	for _, it := range r.items {
		all = append(all, it.node.Pos())
	}
	return all
}

// givesOf lists the types of the values of those items that are expressions.
func givesOf(r *run) []types.Type {
	all := make([]types.Type, len(r.items))
	for i, it := range r.items {
		if x, ok := it.node.(*ast.ExprStmt); ok {
			all[i] = r.info.TypeOf(x.X)
		}
	}
	return all
}

// declaredTypes lists the types that a run declares, without second names for
// others.
func declaredTypes(r *run) []*types.TypeName {
	var all []*types.TypeName
	for _, it := range r.items {
		g, ok := it.node.(*ast.GenDecl)
		if !ok || g.Tok != token.TYPE {
			continue
		}
		for _, s := range g.Specs {
			if obj, ok := r.info.Defs[s.(*ast.TypeSpec).Name].(*types.TypeName); ok && !obj.IsAlias() && obj.Name() != "_" {
				all = append(all, obj)
			}
		}
	}
	return all
}

func namesOf(r *run) [][]string {
	var all [][]string
	for _, it := range r.items {
		var names []string
		for _, id := range declared(it.node) {
			names = append(names, id.Name)
		}
		all = append(all, names)
	}
	return all
}

func (e *Engine) stepsOf(r *run, pos []token.Pos, names [][]string, gives []types.Type) []*step {
	if r.decls {
		one := &step{types: declaredTypes(r), pos: pos[0]}
		one.nodes = e.ordered(r)
		for _, n := range names {
			one.declares = append(one.declares, n...)
		}
		return []*step{one}
	}
	var steps []*step
	for i, it := range r.items {
		steps = append(steps, &step{nodes: []ast.Node{it.node}, pos: pos[i], declares: names[i], gives: gives[i]})
	}
	return steps
}

func (e *Engine) importStep(g *ast.GenDecl, s scope) (*step, error) {
	st := &step{pos: g.Pos(), imports: map[string]string{}}
	for _, spec := range g.Specs {
		spec := spec.(*ast.ImportSpec)
		path, _ := strconv.Unquote(spec.Path.Value)
		table, ok := e.importPackage(path)
		if !ok {
			return nil, e.errorFor(spec, Refused, "package "+spec.Path.Value+" cannot be imported in cells")
		}
		name := e.mirror.packages[path].Name()
		if spec.Name != nil {
			name = spec.Name.Name
		}
		if name == "_" {
			continue
		}
		if text := e.taken(name); text != "" {
			return nil, e.errorFor(spec, Refused, text)
		}
		s.addImport(name, path)
		if table.Name != "" {
			st.imports[name] = path
		}
		st.declares = append(st.declares, name)
	}
	return st, nil
}

// compileAll compiles every step before the first one runs. After the checker
// only what the interpreter cannot do yet fails here.
func (e *Engine) compileAll(steps []*step) error {
	for _, st := range steps {
		st.before = e.interp.snapshot()
		for name, path := range st.imports {
			if err := e.interp.importPackage(name, path, e.packages[path]); err != nil {
				return e.errorPos(st.pos, Limit, "package "+path+" does not load: "+tidy(err.Error()))
			}
		}
		for _, n := range st.nodes {
			e.interp.forget(typeNames(n))
			err := e.declareHidden(n)
			var x *fast.Expr
			if err == nil {
				x, err = e.interp.compile(n)
			}
			if err != nil {
				return e.errorPos(st.pos, Limit, "Go accepts this, but cells cannot run it yet: "+tidy(err.Error()))
			}
			if x != nil && makesType(n) {
				e.interp.execute(x)
				continue
			}
			st.compiled = append(st.compiled, x)
		}
		if err := e.compileTexts(st); err != nil {
			return e.errorPos(st.pos, Limit, "Go accepts this, but cells cannot run it yet: "+tidy(err.Error()))
		}
	}
	return nil
}

// makesType tells whether a node declares types or a method. Those are run at
// once, since the interpreter compiles some uses of a method only when it is
// there; they belong to new types, and nothing of earlier cells changes.
func makesType(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.GenDecl:
		return n.Tok == token.TYPE
	case *ast.FuncDecl:
		return n.Recv != nil
	}
	return false
}

// execute runs the steps and keeps what each has declared.
func (e *Engine) execute(c *cell, steps []*step, after scope) (r reply) {
	defer e.heedStop()()
	var at *step
	defer func() {
		if p := recover(); p != nil {
			err := e.failure(p, c, at.pos)
			e.interp.recovered()
			e.interp.restore(at.before)
			r = reply{err: err}
		}
	}()
	var values []reflect.Value
	for _, st := range steps {
		at = st
		values = nil
		for _, x := range st.compiled {
			if x != nil {
				values = e.interp.execute(x)
			}
		}
		e.keepTexts(st)
		e.keep(st, after)
	}
	if len(steps) == 0 || !isValue(steps[len(steps)-1]) {
		return reply{}
	}
	return e.valueOf(values, steps[len(steps)-1].gives)
}

// runCall calls a function that may call back into what cells declared.
func (e *Engine) runCall(f func()) (r reply) {
	defer e.heedStop()()
	defer func() {
		if p := recover(); p != nil {
			r = reply{err: e.failure(p, &cell{}, token.NoPos)}
			e.interp.recovered()
		}
	}()
	e.interp.call(f)
	return reply{}
}

// heedStop has the interpreter stop when the cell's context ends, until the
// function that it gives is called.
func (e *Engine) heedStop() (end func()) {
	finished, idle := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(idle)
		e.interruptWhenDone(finished)
	}()
	return func() {
		close(finished)
		<-idle // or a late request would stop the next cell
		e.leaving.Store(false)
	}
}

// keep makes the names of a step that has run those of the notebook.
func (e *Engine) keep(st *step, after scope) {
	for _, name := range st.declares {
		if path, ok := after.imports[name]; ok {
			e.scope.addImport(name, path)
		}
		if sym, ok := after.symbols[name]; ok {
			delete(e.scope.imports, name)
			e.scope.symbols[name] = sym
		}
	}
}

// interruptWhenDone stops the interpreter when the cell's context ends. It
// insists, because a cell that is just beginning clears earlier requests.
func (e *Engine) interruptWhenDone(finished <-chan struct{}) {
	select {
	case <-finished:
		return
	case <-e.context().Done():
	}
	e.leaving.Store(true)
	for {
		e.interp.ir.Interrupt(nil)
		select {
		case <-finished:
			return
		case <-time.After(time.Millisecond):
		}
	}
}

func isValue(st *step) bool {
	if len(st.nodes) != 1 {
		return false
	}
	_, ok := st.nodes[0].(*ast.ExprStmt)
	return ok
}

// valueOf unpacks what the last step gave, ready to be shown. Where the
// interpreter offers a second value, as an index into a map does, the checker
// knows of one only.
func (e *Engine) valueOf(values []reflect.Value, t types.Type) reply {
	tuple, several := t.(*types.Tuple)
	if !several && len(values) > 1 {
		values = values[:1]
	}
	var all Values
	for i, v := range values {
		var value any
		if v.IsValid() && v.CanInterface() {
			value = v.Interface()
		}
		typ := t
		if several {
			typ = tuple.At(i).Type()
		}
		all = append(all, e.show(value, typ))
	}
	switch len(all) {
	case 0:
		return reply{}
	case 1:
		return reply{value: all[0], has: true}
	}
	return reply{value: all, has: true}
}
