package words

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/printer"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"tautline/kernel/engine"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

var writeDocs = flag.Bool("write-docs", false, "write docs.json anew")

// The words' meanings are their source's own comments, kept in docs.json since
// a program does not carry its source.
func TestDocsAreFresh(t *testing.T) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "\t")
	if err := enc.Encode(newSource(t).all()); err != nil {
		t.Fatal(err)
	}
	if *writeDocs {
		if err := os.WriteFile("docs.json", b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if have, _ := os.ReadFile("docs.json"); !bytes.Equal(have, b.Bytes()) {
		t.Error("docs.json is stale: a comment has changed; run go generate ./kernel/words")
	}
}

// records are the parameters that bound what a word is given: their ranges and
// sources stand there and nowhere else.
var records = map[string]*unit.Parameter{
	"Straps": &fit.StrapRange, "Fitting.At": &fit.SetPressureRange, "CushionAge": &mask.WearLimit,
	"Limit": &fit.LimitRecord, "Line": &fit.LineRecord,
}

// A source finds comments in the source.
type source struct {
	t        *testing.T
	files    *token.FileSet
	packages map[string]*doc.Package // by import path
	docs     map[string]engine.Doc
	seen     map[reflect.Type]bool
}

const module = "tautline/"

func newSource(t *testing.T) *source {
	return &source{t: t, files: token.NewFileSet(), packages: map[string]*doc.Package{}, docs: map[string]engine.Doc{}, seen: map[reflect.Type]bool{}}
}

func (r *source) all() map[string]engine.Doc {
	for _, name := range slices.Sorted(maps.Keys(functions)) {
		r.reachable(reflect.TypeOf(functions[name]))
	}
	for _, name := range slices.Sorted(maps.Keys(types)) {
		r.reachable(types[name])
	}
	for _, q := range quantities {
		r.reachable(q.typ)
	}
	// Last, since Face is a type and a word.
	for name, f := range functions {
		r.function(name, f)
	}
	for name := range units {
		r.unit(name)
	}
	for name, p := range records {
		d := r.docs[name]
		d.Range = fmt.Sprintf("%v to %v %s", p.Low, p.High, p.Unit)
		d.Source = strings.Trim(string(p.Origin)+"; "+p.Source, "; ")
		r.docs[name] = d
	}
	return r.docs
}

// pkg reads the source of one of our packages.
func (r *source) pkg(path string) *doc.Package {
	if p, ok := r.packages[path]; ok {
		return p
	}
	names, err := filepath.Glob(filepath.Join("..", "..", strings.TrimPrefix(path, module), "*.go"))
	if err != nil || len(names) == 0 {
		r.t.Fatalf("no source of %s: %v", path, err)
	}
	var files []*ast.File
	for _, name := range names {
		f, err := parser.ParseFile(r.files, name, nil, parser.ParseComments)
		if err != nil {
			r.t.Fatal(err)
		}
		if !strings.HasSuffix(name, "_test.go") {
			files = append(files, f)
		}
	}
	p, err := doc.NewFromFiles(r.files, files, path, doc.AllDecls|doc.PreserveAST)
	if err != nil {
		r.t.Fatal(err)
	}
	r.packages[path] = p
	return p
}

// function takes the comment of the function that does what a word says.
func (r *source) function(word string, f any) {
	full := runtime.FuncForPC(reflect.ValueOf(f).Pointer()).Name()
	path, name := full[:strings.LastIndexByte(full, '/')], full[strings.LastIndexByte(full, '/')+1:]
	pkg, name, _ := strings.Cut(strings.TrimSuffix(name, "-fm"), ".")
	name = name[strings.LastIndexByte(name, '.')+1:]
	if stand, ok := map[string]string{"unplaced": "live", "unplacedForm": "bedsideForm", "unplacedPlanForm": "planForm"}[name]; ok {
		name = stand // without a front there is only a stand-in
	}
	for _, d := range funcs(r.pkg(path + "/" + pkg)) {
		if d.Name == name {
			r.docs[word] = r.made(d, word)
			return
		}
	}
	r.t.Errorf("%s: no source of %s", word, full)
}

func funcs(p *doc.Package) []*doc.Func {
	all := p.Funcs
	for _, t := range p.Types {
		all = append(append(all, t.Funcs...), t.Methods...)
	}
	return all
}

func (r *source) made(f *doc.Func, word string) engine.Doc {
	d := parted(f.Doc, f.Name, word)
	d.Sign = word + strings.TrimPrefix(plainNames(r.printed(f.Decl.Type)), "func")
	return d
}

func (r *source) printed(n ast.Node) string {
	var b bytes.Buffer
	if err := printer.Fprint(&b, r.files, n); err != nil {
		r.t.Fatal(err)
	}
	return b.String()
}

var packageNames = regexp.MustCompile(`\b(airway|unit|fit|face|mask|skin|vent|report|minute|scenario|plan)\.`)

// plainNames writes types as cells do.
func plainNames(text string) string { return packageNames.ReplaceAllString(text, "") }

// labels mark the parts of a comment.
var labels = regexp.MustCompile(`\b(Equation|Unit|Range|Source|Example): `)

// parted sorts a comment's labelled parts out from its text, which speaks of
// the word instead of the function behind it.
func parted(text, name, word string) engine.Doc {
	d := engine.Doc{}
	into := map[string]*string{"": &d.Text, "Equation": &d.Equation, "Unit": &d.Unit, "Range": &d.Range, "Source": &d.Source, "Example": &d.Example}
	text = strings.Join(strings.Fields(text), " ")
	label := ""
	for at := labels.FindStringSubmatchIndex(text); at != nil; at = labels.FindStringSubmatchIndex(text) {
		*into[label] += strings.TrimSpace(text[:at[0]])
		label, text = text[at[2]:at[3]], text[at[1]:]
	}
	*into[label] += strings.TrimSpace(text)
	if after, ok := strings.CutPrefix(d.Text, name+" "); ok {
		d.Text = word + " " + after
	}
	if first, size := utf8.DecodeRuneInString(d.Text); word == "" && size > 0 {
		d.Text = string(unicode.ToUpper(first)) + d.Text[size:]
	}
	return d
}

// reachable takes the comments of all that can be read out of a type.
func (r *source) reachable(t reflect.Type) {
	if r.seen[t] {
		return
	}
	r.seen[t] = true
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		r.reachable(t.Elem())
	case reflect.Func:
		for i := range t.NumIn() {
			r.reachable(t.In(i))
		}
		for i := range t.NumOut() {
			r.reachable(t.Out(i))
		}
	}
	if t.Name() == "" || !strings.HasPrefix(t.PkgPath(), module) || strings.Contains(t.Name(), "[") {
		return
	}
	r.named(t)
	for i := range t.NumMethod() {
		r.reachable(t.Method(i).Type)
	}
	if t.Kind() == reflect.Struct {
		for i := range t.NumField() {
			if f := t.Field(i); f.IsExported() {
				r.reachable(f.Type)
			}
		}
	}
}

func (r *source) named(t reflect.Type) {
	for _, d := range r.pkg(t.PkgPath()).Types {
		if d.Name != t.Name() {
			continue
		}
		if _, taken := r.docs[d.Name]; !taken || t.PkgPath() == module+"kernel/words" {
			r.docs[d.Name] = parted(d.Doc, d.Name, d.Name)
		}
		for _, m := range d.Methods {
			if ast.IsExported(m.Name) && m.Name != "Mimebundle" && r.free(t, m.Name) {
				r.docs[d.Name+"."+m.Name] = r.made(m, m.Name)
			}
		}
		r.fields(t, d)
	}
}

// free tells whether a member has no comment yet. Types of several packages may
// share a name; the words' own come first.
func (r *source) free(t reflect.Type, member string) bool {
	_, taken := r.docs[t.Name()+"."+member]
	return !taken || t.PkgPath() == module+"kernel/words"
}

func (r *source) fields(t reflect.Type, d *doc.Type) {
	for _, s := range d.Decl.Specs {
		spec, ok := s.(*ast.TypeSpec)
		if !ok || spec.Name.Name != d.Name {
			continue
		}
		fields, ok := spec.Type.(*ast.StructType)
		if !ok {
			continue
		}
		for _, f := range fields.Fields.List {
			for _, name := range f.Names {
				if text := f.Doc.Text() + f.Comment.Text(); ast.IsExported(name.Name) && text != "" && r.free(t, name.Name) {
					r.docs[d.Name+"."+name.Name] = parted(text, "", "")
				}
			}
		}
	}
}

// unit takes the comment beside a unit.
func (r *source) unit(word string) {
	name := map[string]string{"Grams": "GramForce"}[word]
	if name == "" {
		name = word
	}
	for _, f := range r.constants(module + "model/unit") {
		for _, id := range f.Names {
			if text := f.Doc.Text() + f.Comment.Text(); id.Name == name && text != "" {
				r.docs[word] = parted(text, name, word)
			}
		}
	}
}

func (r *source) constants(path string) []*ast.ValueSpec {
	p := r.pkg(path)
	values := p.Consts
	for _, t := range p.Types {
		values = append(values, t.Consts...)
	}
	var all []*ast.ValueSpec
	for _, v := range values {
		for _, s := range v.Decl.Specs {
			all = append(all, s.(*ast.ValueSpec))
		}
	}
	return all
}

// Every word says what it is.
func TestEveryWordHasAMeaning(t *testing.T) {
	for name := range functions {
		if d := Help().Docs[name]; d.Text == "" || d.Sign == "" {
			t.Errorf("%s has no comment in its source", name)
		}
	}
	for name := range types {
		if Help().Docs[name].Text == "" {
			t.Errorf("%s has no comment in its source", name)
		}
	}
}
