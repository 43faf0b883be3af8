package engine

import (
	"go/token"
	"go/types"
	"html"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// An About is what there is to say of a name.
type About struct{ Text, HTML string }

// Inspect tells what the name at the cursor means, or else the function whose
// arguments the cursor is among. The cursor counts code points. With a detail
// of 1 a type's members are listed too. It runs nothing, and may be called
// while a cell runs.
func (e *Engine) Inspect(code string, cursor, detail int) (about About, ok bool) {
	defer func() {
		if recover() != nil { // half a text can take the checker by surprise
			about, ok = About{}, false
		}
	}()
	k := e.known.Load()
	if k == nil || len(code) > longest {
		return About{}, false
	}
	s := spotAt(code, endOfName(code, cursor))
	if s.inside == inCode && s.prefix() == "" || s.inside != inCode {
		if s = s.callee(); s.code == "" {
			return About{}, false
		}
	}
	f, ok := e.find(k, s)
	if !ok {
		return About{}, false
	}
	return f.about(e, detail), true
}

// endOfName moves a cursor to the end of the name that it is in.
func endOfName(code string, cursor int) int {
	runes := []rune(code)
	cursor = min(max(cursor, 0), len(runes))
	for cursor < len(runes) && token.IsIdentifier("x"+string(runes[cursor])) {
		cursor++
	}
	return cursor
}

// callee is the spot at the end of the function whose arguments this one is
// among; its text is empty where there is none.
func (s spot) callee() spot {
	depth := 0
	for i := len(s.before) - 1; i > 0; i-- {
		switch w := s.before[i]; {
		case nesting(w.token) < 0:
			depth++
		case nesting(w.token) > 0 && depth > 0:
			depth--
		case w.token == token.LPAREN && s.before[i-1].token == token.IDENT:
			end := s.before[i-1].end
			return spotAt(s.code[:end], utf8.RuneCountInString(s.code[:end]))
		}
	}
	return spot{}
}

// A finding is a name with what the checker knows of it.
type finding struct {
	name  string
	of    types.Type // whose member it is, or nil
	obj   types.Object
	pkg   *types.Package // that the name stands for, or that it is from
	names []string       // that would have been known there
}

// find looks a name up; what is known in its place comes back in any case.
func (e *Engine) find(k *knowledge, s spot) (f finding, ok bool) {
	p := k.read(s)
	f.name = s.prefix()
	if s.afterDot() {
		f.pkg, f.of = p.owner()
		f.names = memberNames(f.pkg, f.of)
		if f.pkg != nil {
			f.obj = f.pkg.Scope().Lookup(f.name)
		} else {
			f.obj = membersOf(f.of)[f.name]
		}
		return f, f.obj != nil
	}
	f.names = p.names("")
	if f.obj = p.scope[f.name]; f.obj != nil {
		return f, true
	}
	if f.pkg = p.pkgs[f.name]; f.pkg != nil {
		return f, true
	}
	if f.obj = k.words.Scope().Lookup(f.name); f.obj != nil && isName(f.name) {
		return f, true
	}
	f.obj = nil
	return f, false
}

// doc finds what the source says: of a member also where an embedded type has
// it.
func (f finding) doc(docs map[string]Doc) Doc {
	if f.of == nil {
		if f.pkg != nil || f.obj != nil && f.obj.Pkg() != nil && f.obj.Pkg().Path() == cellsPath {
			return Doc{}
		}
		return docs[f.name]
	}
	for _, name := range typeChain(f.of, nil) {
		if d, ok := docs[name+"."+f.name]; ok {
			return d
		}
	}
	return Doc{}
}

// typeChain names a type and, from the outside inwards, those embedded in it.
func typeChain(t types.Type, chain []string) []string {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	if n, ok := types.Unalias(t).(*types.Named); ok && len(chain) < 20 {
		chain = append(chain, n.Obj().Name())
	}
	if s, ok := t.Underlying().(*types.Struct); ok && len(chain) < 20 {
		for v := range s.Fields() {
			if v.Embedded() {
				chain = typeChain(v.Type(), chain)
			}
		}
	}
	return chain
}

// about words a finding.
func (f finding) about(e *Engine, detail int) About {
	if f.obj == nil {
		text := "package " + f.pkg.Name() + " (" + f.pkg.Path() + ")"
		return lines([][2]string{{"", text}, {"", "has " + list(memberNames(f.pkg, nil), 12)}})
	}
	docs := e.taught().Docs
	d := f.doc(docs)
	sign := e.sign(f, d)
	rows := [][2]string{{"", sign}, {"", d.Text}}
	typ := f.obj.Type()
	if v, ok := f.obj.(*types.Var); ok && d.Text == "" && !v.IsField() {
		rows = append(rows, [2]string{"", docs[typeName(typ)].Text})
	}
	rows = append(rows, [2]string{"equation", d.Equation}, [2]string{"unit", orElse(d.Unit, e.unitOf(typ))},
		[2]string{"valid range", d.Range}, [2]string{"source", d.Source}, [2]string{"example", d.Example})
	if _, isFunc := typ.(*types.Signature); !isFunc && (detail > 0 || f.of == nil) {
		rows = append(rows, [2]string{"can be read out of it", list(slices.Sorted(maps.Keys(membersOf(typ))), 40)})
	}
	return lines(rows)
}

func typeName(t types.Type) string {
	if n, ok := types.Unalias(t).(*types.Named); ok {
		return n.Obj().Name()
	}
	return ""
}

// sign writes what a name is as Go does.
func (e *Engine) sign(f finding, d Doc) string {
	if d.Sign != "" {
		return d.Sign
	}
	text := e.typeText(f.obj.Type())
	switch obj := f.obj.(type) {
	case *types.TypeName:
		return "type " + f.name
	case *types.Const:
		if q, ok := e.quantity(obj.Type()); ok {
			return f.name + ": a unit of " + withoutArticle(q.Noun) + ", such as in " + q.Example
		}
		return f.name + " = " + obj.Val().String()
	case *types.Func:
		return f.name + strings.TrimPrefix(text, "func")
	}
	return f.name + " " + text
}

func withoutArticle(noun string) string {
	_, rest, _ := strings.Cut(noun, " ")
	return rest
}

// unitOf says how a value that carries a unit is written.
func (e *Engine) unitOf(t types.Type) string {
	if sig, ok := t.(*types.Signature); ok {
		if sig.Params().Len() == 0 {
			return ""
		}
		t = sig.Params().At(0).Type()
	}
	if q, ok := e.quantity(t); ok {
		return q.Noun + ", written like " + q.Example
	}
	return ""
}

// list writes names in one line, the first few of many.
func list(names []string, most int) string {
	if len(names) > most {
		return strings.Join(names[:most], ", ") + " and more"
	}
	return strings.Join(names, ", ")
}

// lines writes rows, the first as code, as text and as HTML. Rows without
// content are left out.
func lines(rows [][2]string) About {
	var text, page strings.Builder
	for i, row := range rows {
		label, what := row[0], row[1]
		if what == "" {
			continue
		}
		escaped := html.EscapeString(what)
		switch {
		case i == 0 || label == "example":
			escaped = "<code>" + escaped + "</code>"
		}
		if label != "" {
			what, escaped = label+": "+what, "<b>"+label+":</b> "+escaped
		}
		text.WriteString(what + "\n")
		page.WriteString("<p>" + escaped + "</p>\n")
	}
	return About{strings.TrimSuffix(text.String(), "\n"), page.String()}
}

// Asked tells whether a cell is a question about a name, such as "?Straps" or
// "fit.At?", and what is asked about.
func Asked(code string) (name string, ok bool) {
	text := strings.TrimSpace(code)
	name = strings.TrimSpace(strings.Trim(text, "?"))
	if name == text || strings.ContainsAny(name, "?\n") {
		return "", false
	}
	if !strings.HasPrefix(text, "?") {
		words, broken := lexAll(name) // a remark may end with a question mark
		return name, !broken && !slices.ContainsFunc(words, func(w lexeme) bool { return w.token == token.COMMENT })
	}
	return name, true
}

// Page answers such a question. What is not known is said in one sentence,
// with the nearest name.
func (e *Engine) Page(name string) About {
	if name == "" {
		return lines([][2]string{{"", "?name tells what a name means, such as ?Straps; Tab after a few letters lists names"}})
	}
	if about, ok := e.Inspect(name, utf8.RuneCountInString(name), 1); ok {
		return about
	}
	return About{Text: e.unheardOf(name), HTML: "<p>" + html.EscapeString(e.unheardOf(name)) + "</p>\n"}
}

func (e *Engine) unheardOf(name string) (text string) {
	defer func() {
		if recover() != nil {
			text = "nothing is known of " + name
		}
	}()
	s := spotAt(name, utf8.RuneCountInString(name))
	if s.inside != inCode || s.prefix() == "" {
		return name + " is not a name; ?name asks for a name's meaning, such as ?Straps"
	}
	f, _ := e.find(e.known.Load(), s)
	if f.of != nil {
		return did(s.prefix()+" cannot be read out of "+e.noun(f.of), s.prefix(), f.names)
	}
	return did("nothing is called "+name+" here", s.prefix(), f.names)
}
