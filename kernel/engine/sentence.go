package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"regexp"
	"slices"
	"strings"

	"tautline/kernel/engine/library"
)

// All wording for what is wrong with a cell's names and types. The checker's
// own message is kept where nothing plainer is known.

// sentence turns a complaint of Go's checker into one for a person.
func (e *Engine) sentence(err types.Error, r *run, s scope) error {
	text := ""
	for _, try := range []func(types.Error, *run, scope) string{
		e.otherCase, e.unknownName, e.asConversion, e.unknownField, e.wrongArgument, e.decimalComma, e.wrongCount, e.collected, e.mixed, e.reserved,
		e.lateMethod, e.misused, e.otherType, e.plainly, e.apart} {
		if text = try(err, r, s); text != "" {
			break
		}
	}
	if text == "" {
		text = tidy(err.Msg)
	}
	return e.errorPos(err.Pos, Mistyped, text)
}

var middleDot = regexp.MustCompile(`·\d+`)

// tidy makes one line of a message, without the engine's own inner names.
func tidy(msg string) string {
	msg = middleDot.ReplaceAllString(msg, "")
	return strings.Join(strings.Fields(msg), " ")
}

// checkNames refuses declarations that would take a name away.
func (e *Engine) checkNames(r *run) error {
	for _, it := range r.items {
		for _, id := range declared(it.node) {
			if text := e.taken(id.Name); text != "" {
				return e.errorFor(id, Refused, text)
			}
		}
	}
	return nil
}

func (e *Engine) taken(name string) string {
	if e.table.has(name) {
		return fmt.Sprintf("%s is %s here; choose another name", name, e.meaning(name))
	}
	if types.Universe.Lookup(name) != nil {
		return fmt.Sprintf("%s is a word of Go itself; choose another name", name)
	}
	return ""
}

// meaning says in a few words what one of the engine's words stands for.
func (e *Engine) meaning(name string) string {
	switch obj := e.words.Scope().Lookup(name).(type) {
	case *types.Const:
		if q, ok := e.quantity(obj.Type()); ok {
			return "a unit, " + q.Noun + " such as " + q.Example
		}
		return "a constant"
	case *types.TypeName:
		return "a type"
	}
	return "a word for asking the model"
}

// unknownName offers the nearest name for one that does not exist.
func (e *Engine) unknownName(err types.Error, r *run, s scope) string {
	name, ok := strings.CutPrefix(err.Msg, "undefined: ")
	if !ok {
		return ""
	}
	if pkg, sel, ok := strings.Cut(name, "."); ok {
		if path, ok := s.imports[pkg]; ok {
			if text := leftOut(path, pkg, sel); text != "" {
				return text
			}
			return did(fmt.Sprintf("package %s has no %s here", pkg, sel), sel, e.mirror.packages[path].Scope().Names())
		}
	}
	if text := e.unknownAt(name, err, r); text != "" {
		return text
	}
	if text := e.alias(name); text != "" {
		return text
	}
	if text := e.methodAlone(name); text != "" {
		return text
	}
	for _, path := range importable() {
		if path == name || strings.HasSuffix(path, "/"+name) {
			return fmt.Sprintf("%s is not imported yet; write import %q first", name, path)
		}
	}
	known := append(e.words.Scope().Names(), types.Universe.Names()...)
	for have := range s.symbols {
		known = append(known, have)
	}
	for have := range s.imports {
		known = append(known, have)
	}
	if near := Nearest(name, known); !strings.EqualFold(near, name) {
		if text := inPackage(name); text != "" {
			return text
		}
	}
	return did(fmt.Sprintf("%s is not known here", name), name, known)
}

// leftOut says why a name that Go's own package has is not there in cells.
func leftOut(path, pkg, name string) string {
	if why, ok := library.Refused(path, name); ok {
		return fmt.Sprintf("%s.%s is not available in cells: it %s", pkg, name, why)
	}
	if p, ok := library.Load(path); ok && slices.Contains(p.Generic, name) {
		return fmt.Sprintf("%s.%s has type parameters, which cells do not have", pkg, name)
	}
	return ""
}

var noField = regexp.MustCompile(`^(.+)\.(\w+) undefined \(type (.+) has no field or method`)

// unknownField offers the nearest field or method.
func (e *Engine) unknownField(err types.Error, r *run, s scope) string {
	if !noField.MatchString(err.Msg) {
		return ""
	}
	sel, ok := nodeAt[*ast.SelectorExpr](r, func(x *ast.SelectorExpr) bool { return x.Sel.Pos() == err.Pos })
	if !ok {
		return ""
	}
	t := r.info.TypeOf(sel.X)
	if n := namedOf(t); n != nil && n.Obj().Pkg() != nil {
		if why, ok := library.Refused(n.Obj().Pkg().Path(), n.Obj().Name()+"."+sel.Sel.Name); ok {
			return fmt.Sprintf("%s %s", sel.Sel.Name, why)
		}
	}
	text := fmt.Sprintf("%s has no %s", e.describe(r.info, sel.X), sel.Sel.Name)
	if word := e.table.Aliases[strings.ToLower(sel.Sel.Name)]; slices.Contains(members(t), word) {
		return text + "; did you mean " + word + "?"
	}
	return did(text, sel.Sel.Name, members(t))
}

// namedOf gives the named type of a value or of what it points at.
func namedOf(t types.Type) *types.Named {
	if p, ok := types.Unalias(t).(*types.Pointer); ok {
		t = p.Elem()
	}
	n, _ := types.Unalias(t).(*types.Named)
	return n
}

// members lists what can follow the dot.
func members(t types.Type) []string {
	var names []string
	for _, try := range []types.Type{t, types.NewPointer(t)} {
		set := types.NewMethodSet(try)
		for i := range set.Len() {
			if m := set.At(i).Obj(); m.Exported() {
				names = append(names, m.Name())
			}
		}
	}
	for _, f := range membersOf(t) {
		if v, ok := f.(*types.Var); ok && v.Exported() {
			names = append(names, v.Name())
		}
	}
	return names
}

// wrongArgument speaks of a value of the wrong type: an argument, or what is
// assigned to a name.
func (e *Engine) wrongArgument(err types.Error, r *run, s scope) string {
	if !strings.HasPrefix(err.Msg, "cannot use ") {
		return ""
	}
	call, ok := nodeAt[*ast.CallExpr](r, func(c *ast.CallExpr) bool { return argument(c, err.Pos) >= 0 })
	if !ok {
		return e.wrongValue(err, r)
	}
	i := argument(call, err.Pos)
	sig, ok := r.info.TypeOf(call.Fun).(*types.Signature)
	if !ok || r.info.TypeOf(call.Args[i]) == nil {
		return ""
	}
	return fmt.Sprintf("%s wants %s; %s is %s", e.source(call.Fun), e.wanted(parameter(sig, i)),
		e.source(call.Args[i]), e.noun(r.info.TypeOf(call.Args[i])))
}

// wrongValue speaks of a value with a unit where another unit is wanted.
func (e *Engine) wrongValue(err types.Error, r *run) string {
	x, ok := nodeAt[ast.Expr](r, func(x ast.Expr) bool { return x.Pos() == err.Pos && r.info.TypeOf(x) != nil })
	if !ok {
		return ""
	}
	have := r.info.TypeOf(x)
	for t, q := range e.quantities {
		if strings.Contains(err.Msg, "as "+types.TypeString(t, func(*types.Package) string { return "" })+" value") {
			return fmt.Sprintf("%s such as %s is wanted here; %s is %s", q.Noun, q.Example, e.source(x), e.noun(have))
		}
	}
	return ""
}

func argument(c *ast.CallExpr, pos token.Pos) int {
	for i, a := range c.Args {
		if a.Pos() == pos {
			return i
		}
	}
	return -1
}

// parameter gives the type that argument i is for.
func parameter(sig *types.Signature, i int) types.Type {
	last := sig.Params().Len() - 1
	if sig.Variadic() && i >= last {
		return sig.Params().At(last).Type().(*types.Slice).Elem()
	}
	return sig.Params().At(min(i, last)).Type()
}

var counts = regexp.MustCompile(`^(not enough|too many) arguments in call to (\S+)\s+have \((.*)\)\s+want \((.*)\)$`)

// wrongCount speaks of a call with too few or too many arguments.
func (e *Engine) wrongCount(err types.Error, r *run, s scope) string {
	m := counts.FindStringSubmatch(err.Msg)
	if m == nil {
		return ""
	}
	wants := m[4]
	got := "(" + strings.ReplaceAll(m[3], "number", "a number") + ")"
	if m[3] == "" {
		got = "nothing"
	}
	return fmt.Sprintf("%s arguments: %s wants %s and got %s", m[1], m[2], e.written(m[2], wants, err, r), got)
}

// written shows how a function is called, with the names of what it wants where
// they are known.
func (e *Engine) written(called, types string, err types.Error, r *run) string {
	name := called
	if call, ok := nodeAt[*ast.CallExpr](r, func(c *ast.CallExpr) bool { return within(c, err.Pos) && e.source(c.Fun) == called }); ok {
		if sel, ok := call.Fun.(*ast.SelectorExpr); ok {
			if n := namedOf(orInvalid(r.info.TypeOf(sel.X))); n != nil {
				name = n.Obj().Name() + "." + sel.Sel.Name
			}
		}
	}
	d, ok := e.taught().Docs[name]
	_, params, found := strings.Cut(d.Sign, "(")
	if !ok || !found || d.Sign == "" {
		return "(" + types + ")"
	}
	params, _, _ = strings.Cut(params, ")")
	if d.Example == "" {
		return "(" + params + ")"
	}
	return "(" + params + "), as in " + d.Example + ","
}

var mismatch = regexp.MustCompile(`^invalid operation: .*\(mismatched types .* and .*\)$`)

// mixed speaks of a sum or comparison of two different units.
func (e *Engine) mixed(err types.Error, r *run, s scope) string {
	if !mismatch.MatchString(err.Msg) {
		return ""
	}
	x, ok := nodeAt[*ast.BinaryExpr](r, func(b *ast.BinaryExpr) bool {
		a, c := r.info.TypeOf(b.X), r.info.TypeOf(b.Y)
		return (err.Pos == b.OpPos || err.Pos == b.Pos() || err.Pos == b.Y.Pos()) && a != nil && c != nil && !types.Identical(a, c)
	})
	if !ok {
		return ""
	}
	a, b := r.info.TypeOf(x.X), r.info.TypeOf(x.Y)
	qa, unitA := e.quantity(a)
	qb, unitB := e.quantity(b)
	switch {
	case unitA && unitB:
		return fmt.Sprintf("%s mixes %s and %s", e.source(x), qa.Noun, qb.Noun)
	case unitA && isNumber(b):
		return e.hintConversion(x, x.Y, b, a)
	case unitB && isNumber(a):
		return e.hintConversion(x, x.X, a, b)
	}
	return ""
}

// hintConversion explains how a counter becomes a factor, and that a plain
// number and a value with a unit have no sum.
func (e *Engine) hintConversion(in *ast.BinaryExpr, x ast.Expr, have, want types.Type) string {
	if in.Op == token.MUL || in.Op == token.QUO {
		return fmt.Sprintf("%s is %s, which Go multiplies with a unit only when told to: write %s(%s)",
			e.source(x), e.noun(have), e.typeText(want), e.source(x))
	}
	q, _ := e.quantity(want)
	return fmt.Sprintf("%s is %s and %s is wanted beside %s; give it its unit, as in %s", e.source(x), e.noun(have), q.Noun, in.Op, q.Example)
}

func isNumber(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsNumeric != 0
}

// reserved speaks of an assignment to one of the words.
func (e *Engine) reserved(err types.Error, r *run, s scope) string {
	if !strings.HasPrefix(err.Msg, "cannot assign to ") {
		return ""
	}
	id, ok := nodeAt[*ast.Ident](r, func(id *ast.Ident) bool { return id.Pos() == err.Pos })
	if !ok {
		return ""
	}
	if _, constant := r.info.Uses[id].(*types.Const); constant && !e.table.has(id.Name) {
		return fmt.Sprintf("%s is a constant; a name that is to change gets its first value with %s := ...", id.Name, id.Name)
	}
	return e.taken(id.Name)
}

// lateMethod speaks of a method whose type stands in an earlier cell.
func (e *Engine) lateMethod(err types.Error, r *run, s scope) string {
	if strings.HasPrefix(err.Msg, "cannot define new methods on non-local type") {
		return "a method must stand in the same cell as its type"
	}
	return ""
}
