package engine

import (
	"fmt"
	"go/ast"
	"go/build"
	"io"
	"maps"
	"reflect"

	"github.com/cosmos72/gomacro/base/output"
	"github.com/cosmos72/gomacro/fast"
	"github.com/cosmos72/gomacro/xreflect"
	"github.com/gopherdata/gophernotes/imports"
)

// An interp is the gomacro interpreter with everything taken out that could
// reach beyond the cell. It belongs to the goroutine that made it.
type interp struct {
	ir  *fast.Interp
	run *fast.Run
}

// newInterp starts an interpreter that looks for no Go toolchain: with one in
// sight it would ask it for the types of packages, and start processes.
func newInterp() *interp {
	tableLock.Lock()
	defer tableLock.Unlock()
	keep := build.Default
	build.Default.GOROOT, build.Default.GOPATH = "", "" // New imports already
	ir := fast.New()
	build.Default = keep
	ir.Comp.Universe.Importer = &xreflect.Importer{} // always fails: types come by reflection
	ir.Comp.Globals.Importer = nil                   // no plugins; see importPackage
	ir.Comp.Globals.MacroChar = '\uFFFE'
	ir.Comp.Globals.Stdout, ir.Comp.Globals.Stderr = io.Discard, io.Discard
	clear(imports.Packages)
	top := ir.Comp.TopComp()
	for _, name := range []string{"Eval", "EvalKeepUntyped", "EvalType", "Interp", "MacroExpand",
		"MacroExpand1", "MacroExpandCodeWalk", "Parse", "close", "print", "println"} {
		delete(top.Binds, name)
	}
	return &interp{ir: ir, run: ir.PrepareEnv().Run}
}

// importPackage declares a package under a name, "." for all its names.
func (in *interp) importPackage(name, path string, p imports.Package) error {
	tableLock.Lock()
	defer tableLock.Unlock()
	return caught(func() {
		imports.Packages[path] = p
		defer delete(imports.Packages, path)
		in.ir.ImportPackage(fast.PackageName(name), path)
	})
}

func (in *interp) declareFunc(name string, f any) {
	if in.ir.Comp.Binds[name] == nil {
		in.ir.DeclFunc(name, f)
	}
}

// declareVar declares a function whose type only the cells know: typ writes
// that type, and value makes the function from its compiled form.
func (in *interp) declareVar(name string, typ ast.Expr, value func(reflect.Type) (reflect.Value, bool)) error {
	return caught(func() {
		t := in.ir.Comp.Type(typ)
		v, ok := value(t.ReflectType())
		if !ok {
			panic(fmt.Errorf("%s cannot be made", name))
		}
		in.ir.DeclVar(name, t, v.Interface())
	})
}

// alias makes a compiled type known under a hidden name.
func (in *interp) alias(name string, t reflect.Type) {
	if in.ir.Comp.Types[name] == nil {
		in.ir.DeclTypeAlias(name, in.ir.Comp.Universe.FromReflectType(t))
	}
}

// goType is the interpreter's own description of a declared type.
func (in *interp) goType(name string) any {
	if t := in.ir.Comp.Types[name]; t != nil {
		return t.GoType()
	}
	return nil
}

// A snapshot holds what is declared, to go back to when a cell fails.
type snapshot struct {
	binds map[string]*fast.Bind
	types map[string]xreflect.Type
}

func (in *interp) snapshot() snapshot {
	return snapshot{maps.Clone(in.ir.Comp.Binds), maps.Clone(in.ir.Comp.Types)}
}

func (in *interp) restore(s snapshot) {
	in.ir.Comp.Code.Clear()
	in.ir.Comp.Binds, in.ir.Comp.Types = s.binds, s.types
}

// forget makes room for a type that is declared again. The interpreter would
// change the earlier type, and with it every value that has it.
func (in *interp) forget(types []string) {
	for _, name := range types {
		delete(in.ir.Comp.Types, name)
	}
}

// compile turns a checked node into something that runs, nil if there is
// nothing to run.
func (in *interp) compile(n ast.Node) (x *fast.Expr, err error) {
	err = caught(func() { x = in.ir.CompileNode(n) })
	return x, err
}

// execute runs what was compiled and gives its values.
func (in *interp) execute(x *fast.Expr) []reflect.Value {
	env := in.ir.PrepareEnv()
	in.run.CurrEnv = env
	if x.Untyped() {
		x.ConstTo(x.DefaultType())
	}
	v, vs := x.AsXV(fast.COptKeepUntyped)(env)
	in.run.CurrEnv = nil
	if x.NumOut() == 0 {
		return nil
	}
	if len(vs) == 0 {
		vs = []xreflect.Value{v}
	}
	var out []reflect.Value
	for _, v := range vs {
		out = append(out, v.ReflectValue())
	}
	return out
}

// call calls a compiled function that may call interpreted ones.
func (in *interp) call(f func()) {
	in.run.CurrEnv = in.ir.PrepareEnv()
	f()
	in.run.CurrEnv = nil
}

// recovered puts the interpreter back in order after a panic.
func (in *interp) recovered() {
	run := in.run
	run.CurrEnv, run.ExecFlags, run.Interrupt = nil, 0, nil
	run.InstallDefer, run.DeferOfFun, run.PanicFun, run.Panic = nil, nil, nil, nil
}

// caught turns the interpreter's panics while it compiles into errors.
func caught(f func()) (err error) {
	defer func() {
		switch p := recover().(type) {
		case nil:
		case output.RuntimeError:
			err = p
		case error:
			err = p
		default:
			err = fmt.Errorf("%v", p)
		}
	}()
	f()
	return nil
}
