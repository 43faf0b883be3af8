package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"iter"
	"maps"
	"regexp"
	"slices"
	"strings"

	"tautline/kernel/engine/library"
)

// Wording for names that are close to something, and for what the checker says
// in the words of a compiler.

// unknownAt looks at where an unknown name stands: it may get its first value
// there, or may be meant as a text.
func (e *Engine) unknownAt(name string, err types.Error, r *run) string {
	if a, ok := nodeAt[*ast.AssignStmt](r, func(a *ast.AssignStmt) bool { return assigns(a, err.Pos) }); ok && a.Tok == token.ASSIGN {
		return fmt.Sprintf("%s has no value yet; the first time write %s := ...", name, name)
	}
	if _, ok := nodeAt[*ast.FuncType](r, func(f *ast.FuncType) bool { return nameless(f, err.Pos) }); ok {
		return fmt.Sprintf("the type of %s is missing: write what it is behind its name, as in (%s Force)", name, name)
	}
	call, ok := nodeAt[*ast.CallExpr](r, func(c *ast.CallExpr) bool { return argument(c, err.Pos) >= 0 })
	if !ok {
		return ""
	}
	i := argument(call, err.Pos)
	_, bare := call.Args[i].(*ast.Ident)
	sig, isFunc := r.info.TypeOf(call.Fun).(*types.Signature)
	if bare && isFunc && sig.Params().Len() > 0 && types.Identical(parameter(sig, i), types.Typ[types.String]) {
		return fmt.Sprintf("%s is not known here; a text stands in quotation marks: %q", name, name)
	}
	return ""
}

// nameless tells whether a parameter at the place has a name or a type only.
func nameless(f *ast.FuncType, pos token.Pos) bool {
	for _, field := range f.Params.List {
		if id, ok := field.Type.(*ast.Ident); ok && id.Pos() == pos && len(field.Names) == 0 {
			return true
		}
	}
	return false
}

func assigns(a *ast.AssignStmt, pos token.Pos) bool {
	for _, x := range a.Lhs {
		if id, ok := x.(*ast.Ident); ok && id.Pos() == pos {
			return true
		}
	}
	return false
}

// alias offers the word for a unit, or another thing, as people call it
// elsewhere.
func (e *Engine) alias(name string) string {
	if word, ok := e.table.Aliases[strings.ToLower(name)]; ok && word != name {
		return fmt.Sprintf("%s is not known here; did you mean %s?", name, word)
	}
	return ""
}

var converted = regexp.MustCompile(`^(?:too many arguments|missing argument|not enough arguments) in conversion to (\w+)$|^cannot convert .* to type (\w+)`)

// asConversion speaks of a type that is called as if it were a question: it is
// the answer's type, and the question has the same name.
func (e *Engine) asConversion(err types.Error, _ *run, _ scope) string {
	m := converted.FindStringSubmatch(tidy(err.Msg))
	if m == nil {
		return ""
	}
	return e.methodAlone(m[1] + m[2])
}

// methodAlone says in front of what a question stands that was asked of
// nothing. Where several values know it, that which is made by a word.
func (e *Engine) methodAlone(name string) string {
	all := e.words.Scope()
	for _, word := range all.Names() {
		obj, ok := all.Lookup(word).(*types.TypeName)
		if !ok {
			continue
		}
		n := namedOf(obj.Type())
		example, made := e.table.Examples[e.mirror.origin[n]]
		if made && slices.Contains(members(n), name) {
			return fmt.Sprintf("%s stands behind what it asks about: write %s.%s(...), or fit.%[1]s(...) where fit is the name of that", name, example, name)
		}
	}
	return ""
}

// inPackage offers the function of a package that has the name.
func inPackage(name string) string {
	for _, path := range []string{"math", "fmt", "strings", "sort", "strconv"} {
		p, _ := library.Load(path)
		for _, names := range []iter.Seq[string]{keysOf(p.Binds), keysOf(p.Untypeds)} {
			for have := range names {
				if strings.EqualFold(have, name) {
					return fmt.Sprintf("%s is not known here; it may be %s.%s: write import %q first", name, p.Name, have, path)
				}
			}
		}
	}
	return ""
}

func keysOf[V any](m map[string]V) iter.Seq[string] { return maps.Keys(m) }

var inOther = regexp.MustCompile(`^undefined: (\w+)\.(\w+) \(but have (\w+)\)$`)

// otherCase speaks of a package's name with other capitals.
func (e *Engine) otherCase(err types.Error, _ *run, _ scope) string {
	m := inOther.FindStringSubmatch(err.Msg)
	if m == nil {
		return ""
	}
	return fmt.Sprintf("package %s has no %s; did you mean %s?", m[1], m[2], m[3])
}

// plainer lists what the checker says that needs no look at the cell.
var plainer = []struct {
	msg  *regexp.Regexp
	says string
}{
	{regexp.MustCompile(`^no new variables on left side of :=$`), "this name has a value already; change it with = instead of :="},
	{regexp.MustCompile(`^assignment mismatch: (\d+) variables? but .* returns (\d+) values?$`), "the names to the left of = and the values of the call are not as many: $1 and $2; give each value a name, or _ where it does not matter"},
	{regexp.MustCompile(`^assignment mismatch: (\d+) variables? but (\d+) values?$`), "the names to the left of = and the values to its right are not as many: $1 and $2"},
	{regexp.MustCompile(`^missing return$`), "this function says that it gives something back; end it with return and the value"},
	{regexp.MustCompile(`^too many return values`), "this function does not say that it gives something back; write the type after the brackets, as in func double(f Force) Force { ... }"},
	{regexp.MustCompile(`^not enough return values`), "return must give all values that the function says it gives back"},
	{regexp.MustCompile(`^invalid operation: cannot indirect .*$`), "Go has no ** for powers; import \"math\" and write math.Pow(2, 3)"},
	{regexp.MustCompile(`^invalid operation: division by zero$`), "this divides by zero"},
	{regexp.MustCompile(`^(.+) \(untyped float constant.*\) truncated to int$`), "a whole number is wanted here; $1 is not one"},
	{regexp.MustCompile(`^cannot convert (.+) \(untyped string constant\) to type int$`), "a whole number is wanted here; $1 is a text"},
	{regexp.MustCompile(`^invalid argument: index (.+) (?:out of bounds.*|\(.*must not be negative.*)$`), "there is no element $1: elements are counted from 0 and end below the length"},
	{regexp.MustCompile(`^unknown field (\w+) in struct literal of type (\w+), but does have (\w+)$`), "$2 has no field $1; did you mean $3?"},
	{regexp.MustCompile(`^invalid operation: make\((.+)\) expects .*$`), "make wants a length too, as in make($1, 3)"},
	{regexp.MustCompile(`^(.+) \(no value\) used as value(?: or type)?$`), "$1 gives nothing back that could be used here"},
	{regexp.MustCompile(`^undefined: (\w+)$`), "$1 is not known here"},
	{regexp.MustCompile(`^use of untyped nil in .*$`), "nil alone has no type; write what the name holds, as in var x *T"},
	{regexp.MustCompile(`^cannot use (.+) \(.*constant .*\) as (u?int\d*) value in .* \(overflows\)$`), "$1 is too large for $2"},
	{regexp.MustCompile(`^break (?:statement )?not in .*|^break is not in a loop.*`), "break belongs inside a loop"},
	{regexp.MustCompile(`^continue (?:statement )?not in .*|^continue is not in a loop.*`), "continue belongs inside a loop"},
	{regexp.MustCompile(`^label (\w+) declared and not used$`), "the label $1 is used nowhere"},
	{regexp.MustCompile(`^duplicate case (.+) in .*$`), "$1 stands in two cases"},
	{regexp.MustCompile(`^mixture of field:value and value elements in struct literal$`), "name all fields or none"},
	{regexp.MustCompile(`^unknown field (\w+) in struct literal of type (\w+)$`), "$2 has no field $1"},
	{regexp.MustCompile(`^too few values in struct literal of type (\w+)$`), "$1 has more fields; name those that you give, as in $1{Name: value}"},
	{regexp.MustCompile(`^(.+) redeclared in this block.*$`), "$1 is declared twice in this cell"},
	{regexp.MustCompile(`^cannot assign to (.+) \(neither addressable nor a map index expression\)$`), "$1 cannot be set; give it a name first and set it there"},
	{regexp.MustCompile(`^cannot assign to struct field (.+) in map$`), "$1 cannot be set inside a map; take the value out, change it and put it back"},
}

// plainly rewords what needs no look at the cell.
func (e *Engine) plainly(err types.Error, _ *run, _ scope) string {
	msg := tidy(err.Msg)
	for _, p := range plainer {
		if m := p.msg.FindStringSubmatchIndex(msg); m != nil {
			return string(p.msg.ExpandString(nil, p.says, msg, m))
		}
	}
	return ""
}

var (
	noCall  = regexp.MustCompile(`^invalid operation: cannot call (?:non-function )?`)
	noIndex = regexp.MustCompile(`^(?:invalid operation: )?cannot (index|slice) `)
	notUsed = regexp.MustCompile(`is not used$`)
	unequal = regexp.MustCompile(`^invalid operation: (.+) (?:\(mismatched types .*\)|cannot compare.*|operator .* not defined on .*)$`)
	builtIn = regexp.MustCompile(`^invalid argument: .* for built-in (\w+)$|^invalid (append)(?::|\b).*$`)
)

// exprAt finds the whole expression that begins at a place.
func exprAt(r *run, pos token.Pos) (x ast.Expr, ok bool) {
	for _, it := range r.items {
		ast.Inspect(it.node, func(n ast.Node) bool {
			if e, is := n.(ast.Expr); is && !ok && e.Pos() == pos && r.info.TypeOf(e) != nil {
				x, ok = e, true
			}
			return !ok
		})
	}
	return x, ok
}

// misused speaks of a value that is called, indexed or left lying.
func (e *Engine) misused(err types.Error, r *run, _ scope) string {
	switch {
	case noCall.MatchString(err.Msg):
		if c, ok := nodeAt[*ast.CallExpr](r, func(c *ast.CallExpr) bool { return c.Pos() == err.Pos }); ok {
			return fmt.Sprintf("%s is %s, not a function", e.source(c.Fun), e.noun(r.info.TypeOf(c.Fun)))
		}
	case strings.HasPrefix(err.Msg, "non-boolean condition"):
		if x, ok := exprAt(r, err.Pos); ok {
			return fmt.Sprintf("a condition is true or false; %s is %s: compare it with something", e.source(x), e.noun(r.info.TypeOf(x)))
		}
	case strings.Contains(err.Msg, "cannot range over"):
		if x, ok := nodeAt[*ast.RangeStmt](r, func(x *ast.RangeStmt) bool { return x.X.Pos() == err.Pos }); ok {
			return fmt.Sprintf("a loop goes through a list, a map, a text or up to a whole number; %s is %s", e.source(x.X), e.noun(r.info.TypeOf(x.X)))
		}
	case builtIn.MatchString(err.Msg):
		m := builtIn.FindStringSubmatch(err.Msg)
		if x, ok := exprAt(r, err.Pos); ok {
			return fmt.Sprintf("%s works with lists and maps (len with texts too); %s is %s", m[1]+m[2], e.source(x), e.noun(r.info.TypeOf(x)))
		}
	case noIndex.MatchString(err.Msg):
		if x, ok := nodeAt[*ast.IndexExpr](r, func(x *ast.IndexExpr) bool { return x.Pos() == err.Pos }); ok {
			if _, ok := r.info.TypeOf(x.X).(*types.Signature); ok {
				return fmt.Sprintf("%s is a function; what it is asked stands in round brackets: %s(%s)", e.source(x.X), e.source(x.X), e.source(x.Index))
			}
			return fmt.Sprintf("%s is %s, which has no numbered elements", e.source(x.X), e.noun(r.info.TypeOf(x.X)))
		}
	case notUsed.MatchString(err.Msg):
		if x, ok := nodeAt[*ast.ExprStmt](r, func(x *ast.ExprStmt) bool { return within(x, err.Pos) }); ok {
			return fmt.Sprintf("%s is worked out and then lost; give it back with return, or give it a name", e.source(x.X))
		}
	}
	return ""
}

// apart speaks of two values that do not go together, where a unit is not to
// blame.
func (e *Engine) apart(err types.Error, r *run, _ scope) string {
	if !unequal.MatchString(err.Msg) {
		return ""
	}
	x, ok := nodeAt[*ast.BinaryExpr](r, func(b *ast.BinaryExpr) bool {
		a, c := r.info.TypeOf(b.X), r.info.TypeOf(b.Y)
		return within(b, err.Pos) && a != nil && c != nil && (!types.Identical(a, c) || quoted(b.X) || quoted(b.Y))
	})
	if !ok {
		return ""
	}
	a, b := r.info.TypeOf(x.X), r.info.TypeOf(x.Y)
	na, nb := e.noun(a), e.noun(b)
	for side, noun := range map[ast.Expr]*string{x.X: &na, x.Y: &nb} {
		if quoted(side) {
			*noun = "a text" // the checker has given it the other side's type
		}
	}
	switch {
	case x.Op != token.ADD && na != nb:
	case (na == "a text") != (nb == "a text"):
		return fmt.Sprintf("%s is %s and %s is %s; to put them into one text write fmt.Sprint(%s, %s)",
			e.source(x.X), na, e.source(x.Y), nb, e.source(x.X), e.source(x.Y))
	case na == nb:
		return fmt.Sprintf("two values such as %s cannot be joined by %s", e.source(x.X), x.Op)
	case isNumber(a) && isNumber(b):
		return fmt.Sprintf("%s is %s and %s is %s; make them alike, as in float64(%s)", e.source(x.X), na, e.source(x.Y), nb, e.source(whole(x, a)))
	}
	return fmt.Sprintf("%s is %s and %s is %s; they do not go together with %s", e.source(x.X), na, e.source(x.Y), nb, x.Op)
}

func quoted(x ast.Expr) bool {
	lit, ok := ast.Unparen(x).(*ast.BasicLit)
	return ok && lit.Kind == token.STRING
}

// whole picks the operand that is a whole number.
func whole(x *ast.BinaryExpr, left types.Type) ast.Expr {
	if b, ok := left.Underlying().(*types.Basic); ok && b.Info()&types.IsInteger != 0 {
		return x.X
	}
	return x.Y
}

// collected speaks of adding a value with a unit to a number, as in total +=
// leak.
func (e *Engine) collected(err types.Error, r *run, _ scope) string {
	if !strings.HasPrefix(err.Msg, "invalid operation: ") {
		return ""
	}
	a, ok := nodeAt[*ast.AssignStmt](r, func(a *ast.AssignStmt) bool { return a.Pos() == err.Pos && len(a.Lhs) == 1 })
	if !ok || a.Tok == token.ASSIGN || a.Tok == token.DEFINE {
		return ""
	}
	to, from := r.info.TypeOf(a.Lhs[0]), r.info.TypeOf(a.Rhs[0])
	if to == nil || from == nil {
		return ""
	}
	q, unit := e.quantity(from)
	if unit && isNumber(to) {
		if _, both := e.quantity(to); !both {
			_, name, _ := strings.Cut(q.Example, "*")
			return fmt.Sprintf("%s has no unit and %s is %s; begin with %s := 0*%s", e.source(a.Lhs[0]), e.source(a.Rhs[0]), q.Noun, e.source(a.Lhs[0]), name)
		}
	}
	return fmt.Sprintf("%s is %s and %s is %s; they do not go together", e.source(a.Lhs[0]), e.noun(to), e.source(a.Rhs[0]), e.noun(from))
}

// power finds 3^2, which Go takes for something else than a power.
func power(x *ast.BinaryExpr) string {
	if x.Op != token.XOR {
		return ""
	}
	a, ok1 := wholeNumber(x.X)
	b, ok2 := wholeNumber(x.Y)
	if !ok1 || !ok2 || strings.HasPrefix(ast.Unparen(x.X).(*ast.BasicLit).Value, "0x") {
		return ""
	}
	return fmt.Sprintf("^ is not a power in Go; import \"math\" and write math.Pow(%d, %d)", a, b)
}

var wrongUse = regexp.MustCompile(`^cannot use .+ as (.+?) value in [^:]*?(?:: (.*))?$`)

// otherType speaks of a value where one of another type is wanted, unless a
// unit is to blame.
func (e *Engine) otherType(err types.Error, r *run, _ scope) string {
	m := wrongUse.FindStringSubmatch(tidy(err.Msg))
	x, ok := exprAt(r, err.Pos)
	if m == nil || !ok {
		return ""
	}
	have := e.noun(r.info.TypeOf(x))
	if quoted(x) {
		have = "a text"
	}
	text := fmt.Sprintf("%s is wanted here; %s is %s", nounOf(m[1]), e.source(x), have)
	switch {
	case strings.Contains(m[2], "pointer receiver"):
		return text + ", and only a pointer to it has the methods: write &" + e.source(x)
	case strings.Contains(m[2], "missing method "):
		_, method, _ := strings.Cut(m[2], "missing method ")
		return text + ", which has no method " + strings.Trim(method, "()")
	case strings.Contains(err.Msg, "truncated"):
		return fmt.Sprintf("a whole number is wanted here; %s is not one", e.source(x))
	}
	return text
}

// nounOf names a type that a message mentions.
func nounOf(name string) string {
	switch name {
	case "string":
		return "a text"
	case "bool":
		return "true or false"
	case "float64", "float32":
		return "a number (" + name + ")"
	}
	if strings.HasPrefix(name, "int") || strings.HasPrefix(name, "uint") {
		return "a whole number (" + name + ")"
	}
	if strings.ContainsRune("AEIO", rune(name[0])) {
		return "an " + name
	}
	return "a " + name
}

// decimalComma speaks of 3,5 where 3.5 is meant.
func (e *Engine) decimalComma(err types.Error, r *run, _ scope) string {
	var list []ast.Expr
	if c, ok := nodeAt[*ast.CallExpr](r, func(c *ast.CallExpr) bool { return argument(c, err.Pos) > 0 }); ok && strings.HasPrefix(err.Msg, "too many arguments") {
		list = c.Args
	} else if a, ok := nodeAt[*ast.AssignStmt](r, func(a *ast.AssignStmt) bool { return within(a, err.Pos) }); ok && strings.HasPrefix(err.Msg, "assignment mismatch") {
		list = a.Rhs
	}
	for i := 1; i < len(list); i++ {
		whole, ok := list[i-1].(*ast.BasicLit)
		if !ok || whole.Kind != token.INT || list[i].Pos() > whole.End()+2 {
			continue
		}
		rest := list[i]
		if b, ok := rest.(*ast.BinaryExpr); ok {
			rest = b.X
		}
		if part, ok := rest.(*ast.BasicLit); ok && part.Kind == token.INT {
			return fmt.Sprintf("decimals are written with a point: %s.%s", whole.Value, e.source(list[i]))
		}
	}
	return ""
}
