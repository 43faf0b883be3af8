package engine

import (
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tautline/kernel/engine/library"
)

// reached lists what a cell can lay its hands on, starting at a package's
// names: types by their fields, methods, parameters and results, and functions
// and methods by name.
type reached struct {
	types map[reflect.Type]string // and by which way
	funcs map[string]reflect.Type
}

func (r *reached) walk(t reflect.Type, way string) {
	if _, ok := r.types[t]; ok || t == nil {
		return
	}
	r.types[t] = way
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Chan:
		r.walk(t.Elem(), way)
	case reflect.Map:
		r.walk(t.Key(), way)
		r.walk(t.Elem(), way)
	case reflect.Func:
		for i := range t.NumIn() {
			r.walk(t.In(i), way)
		}
		for i := range t.NumOut() {
			r.walk(t.Out(i), way)
		}
	case reflect.Struct:
		for i := range t.NumField() {
			if f := t.Field(i); f.IsExported() {
				r.walk(f.Type, way+"."+f.Name)
			}
		}
	}
	for _, t := range []reflect.Type{t, reflect.PointerTo(t)} {
		for i := range t.NumMethod() {
			m := t.Method(i)
			if _, hidden := library.HiddenMethod(m.Name); !hidden {
				r.funcs[strings.TrimPrefix(t.String(), "*")+"."+m.Name] = m.Type
				r.walk(m.Type, way+"."+m.Name)
			}
		}
	}
}

func reach(t *testing.T) *reached {
	t.Helper()
	r := &reached{types: map[reflect.Type]string{}, funcs: map[string]reflect.Type{}}
	for _, path := range library.Paths() {
		p, _ := library.Load(path)
		for name, v := range p.Binds {
			if v.IsValid() && v.Kind() == reflect.Func {
				r.funcs[path+"."+name] = v.Type()
			}
			r.walk(v.Type(), path+"."+name)
		}
		for name, typ := range p.Types {
			r.walk(typ, path+"."+name)
		}
	}
	return r
}

// beyond are the packages of which no type may come into a cell's hands.
var beyond = regexp.MustCompile(`^(os|net|syscall|unsafe|reflect|runtime|plugin|debug|testing|context|sync|log|embed|text/template|html/template|database)($|/)|^io/fs$|^internal/|/internal/|^github.com/(cosmos72|gopherdata)/`)

// Nothing that cells can import leads, by whatever chain of fields, methods and
// results, to a type that stands for files, network, processes or memory.
func TestNoTypeLeadsOut(t *testing.T) {
	r := reach(t)
	if len(r.types) < 500 {
		t.Fatalf("only %d types were looked at", len(r.types))
	}
	for typ, way := range r.types {
		if beyond.MatchString(typ.PkgPath()) || typ.Kind() == reflect.UnsafePointer {
			t.Errorf("%s leads to %s", way, typ)
		}
		if typ.Kind() == reflect.Chan {
			t.Logf("%s has a channel, %s", way, typ)
		}
	}
}

// doing are names that sound as if they reached outside.
var doing = regexp.MustCompile(`(?i)save|open|load|write|read|file|\bdir|path|exec|dial|listen|env|exit|print|debug|seed|register|unmarshal|decode`)

// known are those of them that were looked at, by pattern, and what they do
// instead.
var known = []struct{ pattern, instead string }{
	{`^(draw\.Canvas|plot\.GlyphBox|vg\.Rectangle)\.Path$`, "a line to draw"},
	{`^fmt\.(Print|Printf|Println)$`, "replaced by the cell's own output"},
	{`^fmt\.(Fp|Sp)rint(f|ln)?$`, "into a writer that the cell has, or a text"},
	{`^fmt\.(ScanState|State)\.`, "the text that is scanned or printed"},
	{`^io\.|WriterTo\.WriteTo$|UnmarshalBinaryFrom$|WriteSourceTo$`, "with a writer or reader that the cell has, and no cell has a file"},
	{`^plot\.Plot\.WriterTo$`, "a picture in memory"},
	{`^strings\.|^time\.Time\.|\.UnmarshalBinary$|\.GobDecode$|^unicode/utf8\.Decode|IsPrint$`, "in memory"},
	{`(rand|Rand|PCG|ChaCha8|Source|Source64)\.(Read|Seed)$`, "numbers drawn from a seed"},
	{`scalar\.NaNPayload$|palette\.Radial$|LoadGlyph$`, "only sounds so"},
}

func lookedAt(name string) bool {
	for _, k := range known {
		if regexp.MustCompile(k.pattern).MatchString(name) {
			return true
		}
	}
	return false
}

func TestNamesThatSoundLikeAWayOut(t *testing.T) {
	r := reach(t)
	for _, name := range slices.Sorted(maps.Keys(r.funcs)) {
		if short := name[strings.LastIndex(name, ".")+1:]; doing.MatchString(short) && !lookedAt(name) {
			t.Errorf("%s%s was not looked at", name, strings.TrimPrefix(r.funcs[name].String(), "func"))
		}
	}
}
