package engine

import (
	"fmt"
	"math/rand"
	"strings"

	"golang.org/x/tools/txtar"
)

// generatedCells makes cells that mix the things in which the interpreter and
// Go differ, from fixed seeds: loops whose counters are kept, numbers of every
// size, cells' own types in interfaces.
func generatedCells() []txtar.File {
	var all []txtar.File
	makers := []func(*rand.Rand) string{numbersCell, loopsCell, typesCell, textsCell, callsCell}
	for i := range 75 {
		r := rand.New(rand.NewSource(int64(i)))
		all = append(all, txtar.File{Name: fmt.Sprintf("generated %02d", i), Data: []byte(makers[i%len(makers)](r))})
	}
	return all
}

func pick(r *rand.Rand, of ...string) string { return of[r.Intn(len(of))] }

// numbersCell computes with whole numbers of some size, over and over.
func numbersCell(r *rand.Rand) string {
	typ := pick(r, "int", "int8", "int16", "int32", "int64", "uint8", "uint16", "uint32", "uint64")
	var b strings.Builder
	fmt.Fprintf(&b, "import \"fmt\"\nvar a, b, c %s = %d, %d, %d\n", typ, r.Intn(100), 1+r.Intn(20), r.Intn(127))
	for range 6 {
		x, y := pick(r, "a", "b", "c"), pick(r, "a", "b", "c")
		switch r.Intn(6) {
		case 0:
			fmt.Fprintf(&b, "%s = %s %s %s\n", x, x, pick(r, "+", "-", "*", "&", "|", "^", "&^"), y)
		case 1:
			fmt.Fprintf(&b, "if %s != 0 { %s %s= %s }\n", y, x, pick(r, "/", "%"), y)
		case 2:
			fmt.Fprintf(&b, "%s = %s %s %d\n", x, y, pick(r, "<<", ">>"), r.Intn(9))
		case 3:
			fmt.Fprintf(&b, "%s%s\n", x, pick(r, "++", "--"))
		case 4:
			fmt.Fprintf(&b, "%s = %s(float64(%s) * 0.5)\n", x, typ, y)
		case 5:
			fmt.Fprintf(&b, "%s = max(%s, %s) - min(%s, 7)\n", x, x, y, y)
		}
	}
	b.WriteString("fmt.Println(a, b, c, a < b, b == c, ^a, -c)\n")
	return b.String()
}

// loopsCell keeps counters in functions and addresses.
func loopsCell(r *rand.Rand) string {
	n, m := 1+r.Intn(4), 1+r.Intn(3)
	outer := pick(r, fmt.Sprintf("for i := 0; i < %d; i++", n), fmt.Sprintf("for i := range %d", n),
		fmt.Sprintf("for i := range []string{%s}", strings.TrimSuffix(strings.Repeat(`"x",`, n), ",")))
	inner := pick(r, fmt.Sprintf("for j := range %d", m), fmt.Sprintf("for j := %d; j >= 0; j--", m))
	skip := pick(r, "if j == 1 { continue }", "if i+j == 3 { break }", "if i == j { continue }", "")
	keep := pick(r, "fs = append(fs, func() int { return 10*i + j })",
		"p := &j\n\tfs = append(fs, func() int { return i - *p })",
		"k := i * j\n\tfs = append(fs, func() int { k++; return k })")
	return fmt.Sprintf("import \"fmt\"\nvar fs []func() int\n%s { %s {\n\t%s\n\t%s\n} }\nfor _, f := range fs { fmt.Println(f(), f()) }\n", outer, inner, skip, keep)
}

// typesCell puts values of a cell's types where their type could get lost.
func typesCell(r *rand.Rand) string {
	under := pick(r, "int", "float64", "string", "struct { v int; W string }", "[]int", "map[string]int")
	value := map[string]string{"int": "T(3)", "float64": "T(2.5)", "string": `T("x")`,
		"struct { v int; W string }": `T{1, "w"}`, "[]int": "T{1, 2}", "map[string]int": `T{"k": 1}`}[under]
	method := pick(r, "func (t T) String() string { return \"a T\" }", "func (t T) Error() string { return \"bad T\" }", "")
	where := pick(r, "[]any{x, &x}[:1]", "[]T{x, x}", "map[string]T{\"a\": x}", "struct{ A T; B any }{x, x}", "[2]any{x, 1}",
		"struct{ a T; N int }{x, 1}")
	verb := pick(r, "%v", "%+v", "%v|%[1]s")
	if under == "float64" || under == "int" || strings.HasPrefix(under, "[]int") || under == "map[string]int" {
		verb = pick(r, "%v", "%+v", "%5v", "%d")
	}
	return fmt.Sprintf("import \"fmt\"\ntype T %s\n%s\nx := %s\nfmt.Printf(\"%s\\n\", x)\nfmt.Printf(\"%s\\n\", %s)\nvar a any = x\ny, ok := a.(T)\nfmt.Println(ok, y)\n",
		under, method, value, verb, verb, where)
}

// textsCell cuts and joins texts.
func textsCell(r *rand.Rand) string {
	s := pick(r, "mask", "µm und Näse", "a\\tb", "日本")
	i := r.Intn(3)
	return fmt.Sprintf("import (\"fmt\"; \"strings\")\ns := \"%s\"\nfmt.Println(len(s), s[%d], s[%d:], []rune(s)[%d:], strings.ToUpper(s))\nfor i, r := range s { if i > %d { fmt.Println(i, r, string(r)) } }\nfmt.Printf(\"%%q %%x %%10s|%%-8s|\\n\", s, s, s[:1], s[:1])\nt := s + \"-\"\nt += s\nfmt.Println(t == s, t > s, strings.Count(t, s), strings.Index(t, \"-\"))\n",
		s, i, i, min(i, 1), i)
}

// callsCell defines functions that need each other, in any order.
func callsCell(r *rand.Rand) string {
	a, b, c := 1+r.Intn(5), 1+r.Intn(5), 2+r.Intn(3)
	funcs := []string{
		fmt.Sprintf("func f(n int) int { if n <= 0 { return %d }; return g(n-1) + %d }", a, b),
		fmt.Sprintf("func g(n int) int { if n <= 0 { return %d }; return h(n-%d) * %d }", b, 1+r.Intn(2), c),
		"func h(n int) int { if n <= 0 { return 1 }; x, y := two(n); return f(x-1) - y }",
		"func two(n int) (x, y int) { defer func() { y++ }(); return n, n * n }",
	}
	r.Shuffle(len(funcs), func(i, j int) { funcs[i], funcs[j] = funcs[j], funcs[i] })
	return fmt.Sprintf("import \"fmt\"\n%s\nfor n := range %d { fmt.Println(f(n), g(n), h(n)) }\n", strings.Join(funcs, "\n"), 3+r.Intn(4))
}
