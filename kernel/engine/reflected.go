package engine

import (
	"go/constant"
	"go/token"
	"go/types"
	"reflect"
	"strings"

	"github.com/cosmos72/gomacro/base/untyped"
	"github.com/gopherdata/gophernotes/imports"

	"tautline/kernel/engine/library"
)

// A mirror describes compiled packages to Go's type checker. It reads them by
// reflection, so that no Go toolchain and no source is needed at run time.
type mirror struct {
	packages map[string]*types.Package
	types    map[reflect.Type]types.Type
	origin   map[types.Type]reflect.Type // of named types, the way back
	plain    map[string]bool             // paths whose types are named without their package
}

func newMirror() *mirror {
	return &mirror{packages: map[string]*types.Package{}, types: map[reflect.Type]types.Type{},
		origin: map[types.Type]reflect.Type{}, plain: map[string]bool{wordsPath: true}}
}

// pkg gives the checker's package for a path. Packages of the words' own types
// have no name, so that messages say Force and not unit.Force.
func (m *mirror) pkg(path, name string) *types.Package {
	if p, ok := m.packages[path]; ok {
		return p
	}
	if name == "" {
		name = path[strings.LastIndexByte(path, '/')+1:]
		if rest, _, ok := strings.Cut(path, "/v2"); ok && strings.HasSuffix(path, "/v2") {
			name = rest[strings.LastIndexByte(rest, '/')+1:]
		}
	}
	if m.plain[path] {
		name = ""
	}
	p := types.NewPackage(path, name)
	p.MarkComplete()
	m.packages[path] = p
	return p
}

// importPackage describes a package of the interpreter's table.
func (m *mirror) importPackage(path string, table imports.Package) *types.Package {
	p := m.pkg(path, table.Name)
	if len(p.Scope().Names()) > 0 {
		return p
	}
	for _, obj := range m.objects(p, table) {
		p.Scope().Insert(obj)
	}
	return p
}

// objects describes all names of a package's table.
func (m *mirror) objects(p *types.Package, table imports.Package) []types.Object {
	var all []types.Object
	for name, t := range table.Types {
		all = append(all, types.NewTypeName(token.NoPos, p, name, m.typ(t)))
	}
	for name, v := range table.Binds {
		if _, untyped := table.Untypeds[name]; !untyped {
			all = append(all, m.object(p, name, v))
		}
	}
	for name, text := range table.Untypeds {
		kind, value := untyped.Unmarshal(text)
		if t, ok := untypedKinds[kind]; ok {
			all = append(all, types.NewConst(token.NoPos, p, name, types.Typ[t], value))
		}
	}
	return all
}

var untypedKinds = map[untyped.Kind]types.BasicKind{untyped.Bool: types.UntypedBool,
	untyped.Int: types.UntypedInt, untyped.Rune: types.UntypedRune,
	untyped.Float: types.UntypedFloat, untyped.Complex: types.UntypedComplex,
	untyped.String: types.UntypedString}

// object tells functions, constants and variables apart as the interpreter
// does: what can be set is a variable, a basic value otherwise a constant.
func (m *mirror) object(p *types.Package, name string, v reflect.Value) types.Object {
	t := m.typ(v.Type())
	if sig, ok := t.(*types.Signature); ok && !v.CanSet() {
		return types.NewFunc(token.NoPos, p, name, sig)
	}
	if value := constantOf(v); value != nil && !v.CanSet() {
		return types.NewConst(token.NoPos, p, name, t, value)
	}
	return types.NewVar(token.NoPos, p, name, t)
}

func constantOf(v reflect.Value) constant.Value {
	switch {
	case v.Kind() == reflect.Bool:
		return constant.MakeBool(v.Bool())
	case v.Kind() == reflect.String:
		return constant.MakeString(v.String())
	case v.CanInt():
		return constant.MakeInt64(v.Int())
	case v.CanUint():
		return constant.MakeUint64(v.Uint())
	case v.CanFloat():
		return constant.MakeFloat64(v.Float())
	}
	return nil
}

// typ gives the checker's type for a compiled one.
func (m *mirror) typ(t reflect.Type) types.Type {
	if known, ok := m.types[t]; ok {
		return known
	}
	if t.Name() != "" && t.PkgPath() != "" {
		return m.named(t)
	}
	made := m.unnamed(t)
	m.types[t] = made
	return made
}

// named registers the type before it looks inside, since a type may contain
// itself, and its methods may mention it.
func (m *mirror) named(t reflect.Type) types.Type {
	p := m.pkg(t.PkgPath(), "")
	obj := types.NewTypeName(token.NoPos, p, t.Name(), nil)
	made := types.NewNamed(obj, nil, nil)
	m.types[t], m.origin[made] = made, t
	made.SetUnderlying(m.unnamed(t).Underlying())
	if t.Kind() == reflect.Interface {
		return made
	}
	m.addMethods(made, t, reflect.PointerTo(t))
	return made
}

// addMethods takes methods by value from the type itself and the rest from its
// pointer. Promoted methods come along as if they were the type's own.
func (m *mirror) addMethods(made *types.Named, value, pointer reflect.Type) {
	for i := range pointer.NumMethod() {
		method := pointer.Method(i)
		if _, refused := library.Refused(value.PkgPath(), value.Name()+"."+method.Name); refused {
			continue
		}
		var recv types.Type = made
		if _, byValue := value.MethodByName(method.Name); !byValue {
			recv = types.NewPointer(made)
		}
		p := made.Obj().Pkg()
		sig := m.signature(method.Type, 1, types.NewParam(token.NoPos, p, "", recv))
		made.AddMethod(types.NewFunc(token.NoPos, p, method.Name, sig))
	}
}

func (m *mirror) unnamed(t reflect.Type) types.Type {
	if basic, ok := basicKinds[t.Kind()]; ok {
		return types.Typ[basic]
	}
	switch t.Kind() {
	case reflect.Pointer:
		return types.NewPointer(m.typ(t.Elem()))
	case reflect.Slice:
		return types.NewSlice(m.typ(t.Elem()))
	case reflect.Array:
		return types.NewArray(m.typ(t.Elem()), int64(t.Len()))
	case reflect.Map:
		return types.NewMap(m.typ(t.Key()), m.typ(t.Elem()))
	case reflect.Chan:
		return types.NewChan(types.SendRecv, m.typ(t.Elem()))
	case reflect.Func:
		return m.signature(t, 0, nil)
	case reflect.Interface:
		return m.iface(t)
	case reflect.Struct:
		return m.structure(t)
	}
	return types.Typ[types.UnsafePointer]
}

var basicKinds = map[reflect.Kind]types.BasicKind{reflect.Bool: types.Bool,
	reflect.Int: types.Int, reflect.Int8: types.Int8, reflect.Int16: types.Int16,
	reflect.Int32: types.Int32, reflect.Int64: types.Int64,
	reflect.Uint: types.Uint, reflect.Uint8: types.Uint8, reflect.Uint16: types.Uint16,
	reflect.Uint32: types.Uint32, reflect.Uint64: types.Uint64, reflect.Uintptr: types.Uintptr,
	reflect.Float32: types.Float32, reflect.Float64: types.Float64,
	reflect.Complex64: types.Complex64, reflect.Complex128: types.Complex128,
	reflect.String: types.String}

// signature leaves out the first parameters, those that are the receiver.
func (m *mirror) signature(t reflect.Type, skip int, recv *types.Var) *types.Signature {
	var in, out []*types.Var
	for i := skip; i < t.NumIn(); i++ {
		in = append(in, types.NewParam(token.NoPos, nil, "", m.typ(t.In(i))))
	}
	for i := range t.NumOut() {
		out = append(out, types.NewParam(token.NoPos, nil, "", m.typ(t.Out(i))))
	}
	return types.NewSignatureType(recv, nil, nil, types.NewTuple(in...), types.NewTuple(out...), t.IsVariadic())
}

func (m *mirror) iface(t reflect.Type) types.Type {
	if t == reflect.TypeFor[error]() {
		return types.Universe.Lookup("error").Type()
	}
	if t.NumMethod() == 0 {
		return types.Universe.Lookup("any").Type()
	}
	var methods []*types.Func
	for i := range t.NumMethod() {
		method := t.Method(i)
		p := m.pkg(orElse(method.PkgPath, t.PkgPath()), "")
		methods = append(methods, types.NewFunc(token.NoPos, p, method.Name, m.signature(method.Type, 0, nil)))
	}
	return types.NewInterfaceType(methods, nil).Complete()
}

func (m *mirror) structure(t reflect.Type) types.Type {
	var fields []*types.Var
	var tags []string
	for i := range t.NumField() {
		f := t.Field(i)
		p := m.pkg(orElse(f.PkgPath, t.PkgPath()), "")
		fields = append(fields, types.NewField(token.NoPos, p, f.Name, m.typ(f.Type), f.Anonymous))
		tags = append(tags, string(f.Tag))
	}
	return types.NewStruct(fields, tags)
}

func orElse(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}
