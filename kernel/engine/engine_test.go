package engine

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"
	"time"
)

// Two invented units and a small model stand in for the real words.
type Force float64
type Pressure float64

func (f Force) String() string    { return fmt.Sprintf("%.3g N", float64(f)) }
func (p Pressure) String() string { return fmt.Sprintf("%.3g cmH2O", float64(p)/98.0665) }

type Seat struct {
	Pull Force
}

func (s Seat) At(p Pressure) string { return fmt.Sprintf("%v at %v", s.Pull, p) }
func (s *Seat) Loosen()             { s.Pull = 0 }

func testWords() Words {
	value := reflect.ValueOf
	return Words{
		Binds: map[string]reflect.Value{
			"N": value(Force(1)), "CmH2O": value(Pressure(98.0665)),
			"Straps": value(func(f Force) Force { return f }),
			"PutOn":  value(func(name string, straps Force) Seat { return Seat{Pull: straps} }),
			"Each":   value(func(f func(Force) any) string { return fmt.Sprint(f(1), f(2)) }),
		},
		Types: map[string]reflect.Type{"Force": reflect.TypeFor[Force](), "Pressure": reflect.TypeFor[Pressure](),
			"Seat": reflect.TypeFor[Seat]()},
		Untypeds: map[string]string{"Half": "float:0.5"},
		Quantities: map[reflect.Type]Quantity{
			reflect.TypeFor[Force]():    {Noun: "a force", Example: "3*N"},
			reflect.TypeFor[Pressure](): {Noun: "a pressure", Example: "12*CmH2O"},
		},
	}
}

func newEngine(t *testing.T) (*Engine, *bytes.Buffer) {
	t.Helper()
	var out bytes.Buffer
	e, err := New(testWords(), &out)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(e.Close)
	return e, &out
}

// show runs a cell and writes its value or its error as text.
func show(e *Engine, cell string) string {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	v, has, err := e.Run(ctx, cell)
	switch {
	case err != nil:
		return "error: " + err.Error()
	case has:
		return fmt.Sprint(v)
	}
	return ""
}

func TestCells(t *testing.T) {
	for _, c := range []struct {
		name  string
		cells []string
		want  string // of the last one
	}{
		{"a number", []string{"1 + 2"}, "3"},
		{"a unit", []string{"3*N"}, "3 N"},
		{"a unit by a constant without a type", []string{"Half*3*N"}, "1.5 N"},
		{"no value", []string{"x := 3"}, ""},
		{"nothing", []string{"  // a remark\n"}, ""},
		{"two results", []string{"func two() (int, string) { return 1, \"a\" }\ntwo()"}, "[1 a]"},
		{"names last", []string{"x := 3", "x * 2"}, "6"},
		{"another type", []string{"x := 3", `x := "a"`, "x + x"}, "aa"},
		{"another type and back", []string{"x := 3", `x := "a"`, "x := 4.5", "x / 2"}, "2.25"},
		{"a model value", []string{`s := PutOn("nasal", Straps(3*N))`, "s.At(12*CmH2O)"}, "3 N at 12 cmH2O"},
		{"a field", []string{`PutOn("nasal", 3*N).Pull`}, "3 N"},
		{"a pointer method", []string{`s := PutOn("nasal", 3*N)`, "s.Loosen()\ns.Pull"}, "0 N"},
		{"a callback", []string{"Each(func(f Force) any { return 2*f })"}, "2 N 4 N"},
		{"functions follow a number that is changed", []string{"x := 3*N", "func pull() Force { return 2*x }", "x := 1*N", "pull()"}, "2 N"},
		{"functions keep what had another type", []string{"x := 3", "func twice() int { return 2*x }", `x := "a"`, "twice()"}, "6"},
		{"a function is declared again", []string{"func f() int { return 1 }", "func g() int { return f() }", "func f() int { return 2 }", "g()"}, "2"},
		{"imports", []string{`import "math"`, "math.Sqrt(16)"}, "4"},
		{"imports in the same cell", []string{"import \"math\"\nmath.Abs(-2)"}, "2"},
		{"imports under another name", []string{"import m \"math\"\nm.Abs(-2)"}, "2"},
		{"a function above its caller's variable", []string{"x := 2\nfunc f() int { return x }\nf()"}, "2"},
		{"explicit semicolons", []string{"a := 1; b := 2; a + b"}, "3"},
		{"for with semicolons", []string{"s := 0\nfor i := 0; i < 4; i++ { s += i }\ns"}, "6"},
		{"a literal as a statement", []string{"x := 1\nfunc() { x = 5 }()\nx"}, "5"},
		{"range over a number", []string{"s := 0\nfor i := range 4 { s += i }\ns"}, "6"},
		{"range over a variable", []string{"n := 3\ns := 0\nfor range n { s++ }\ns"}, "3"},
		{"a changed range counter", []string{"s := 0\nfor i := range 4 { i *= 10; s += i }\ns"}, "60"},
		{"each turn has its own counter", []string{"var fs []func() int\nfor i := 0; i < 3; i++ { fs = append(fs, func() int { return i }) }\nfs[0]() + 10*fs[1]() + 100*fs[2]()"}, "210"},
		{"each turn has its own values", []string{"var fs []func() string\nfor _, v := range []string{\"a\", \"b\"} { fs = append(fs, func() string { return v }) }\nfs[0]() + fs[1]()"}, "ab"},
		{"min and max", []string{"a, b := 3*N, 2*N\nmin(a, b) + max(a, b, 5*N)"}, "7 N"},
		{"types and methods", []string{"type T struct { a, b int }\nfunc (t T) Sum() int { return t.a + t.b }", "T{1, 2}.Sum()"}, "3"},
		{"a type that contains itself", []string{"type Tree struct { l, r *Tree }\nfunc size(t *Tree) int { if t == nil { return 0 }; return 1 + size(t.l) + size(t.r) }\nsize(&Tree{l: &Tree{}})"}, "2"},
		{"methods that need each other", []string{"type T int\nfunc (t T) Even() bool { if t == 0 { return true }; return (t-1).Odd() }\nfunc (t T) Odd() bool { if t == 0 { return false }; return (t-1).Even() }\nT(4).Even()"}, "true"},
		{"a method that calls itself", []string{"type T int\nfunc (t T) Sum(_ string, more ...int) int { if t == 0 { return len(more) }; return int(t) + (t-1).Sum(\"\", more...) }\nT(4).Sum(\"\", 1, 2)"}, "12"},
		{"a type is declared again", []string{"type T struct { a int }\nold := T{3}", "type T struct { b string }\nfunc (t T) B() string { return t.b }", "old.a", "T{\"x\"}.B()"}, "x"},
		{"a value keeps the type that it had", []string{"type T struct { a int }\nold := T{3}", "type T struct { b string }", "old.a"}, "3"},
		{"functions that need each other", []string{"func even(n int) bool { if n == 0 { return true }; return odd(n-1) }\nfunc odd(n int) bool { if n == 0 { return false }; return even(n-1) }\neven(10)"}, "true"},
		{"a function below its caller", []string{"func f() int { return g() }\nfunc g() int { return 7 }\nf()"}, "7"},
		{"a variable keeps its type beside a new one", []string{"x := 1.5\ny, x := 1, 3\nx / 2 + float64(y)"}, "2.5"},
		{"constants", []string{"const limit = 4*CmH2O", "3*limit"}, "12 cmH2O"},
		{"iota", []string{"const (\n a = iota\n b\n c\n)\nc"}, "2"},
		{"a switch", []string{"x := 3\ns := \"\"\nswitch { case x > 2: s = \"big\"; default: s = \"small\" }\ns"}, "big"},
		{"maps and sorting", []string{"import \"sort\"\nm := map[string]int{\"b\": 1, \"a\": 2}\nvar k []string\nfor s := range m { k = append(k, s) }\nsort.Strings(k)\nk"}, "[a b]"},
		{"a unit counted up", []string{"s := 0*N\nfor i := 1; i <= 3; i++ { s += Force(i)*N }\ns"}, "6 N"},
		{"comparing with zero", []string{"3*N > 0"}, "true"},
		{"a factor", []string{"x := 3*N\n-x/2"}, "-1.5 N"},
		{"an error stays a value", []string{"import \"errors\"\nerrors.New(\"no\")"}, "no"},
		{"a local name may be a word", []string{"func f(N int) int { return N }\nf(4)"}, "4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, _ := newEngine(t)
			got := ""
			for _, cell := range c.cells {
				got = show(e, cell)
			}
			if got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestSentences(t *testing.T) {
	for _, c := range []struct{ cell, want string }{
		{"Straps(3*CmH2O)", "line 1, column 8: Straps wants a force such as 3*N; 3*CmH2O is a pressure"},
		{"x := PutOn(\"nasal\",\n  Straps(2))", "line 2, column 10: Straps wants a force such as 3*N; 2 has no unit"},
		{"var f Force = 3", "line 1, column 15: 3 has no unit; a force is written like 3*N"},
		{"3*N + 2", "line 1, column 7: 2 has no unit; a force is written like 3*N"},
		{"3*N + 2*CmH2O", "line 1, column 1: 3*N + 2*CmH2O mixes a force and a pressure"},
		{"Force(3*CmH2O)", "line 1, column 1: a pressure cannot be turned into a force"},
		{"3*N * 2*N", "line 1, column 1: a force times a force is not a force"},
		{"3*N / (2*N)", "line 1, column 1: a ratio has no unit: write float64(3*N)/float64((2*N))"},
		{"25/2*CmH2O", "line 1, column 1: Go divides whole numbers to whole numbers: 25/2 is 12; write 25.0/2"},
		{"i := 3\ni*N", "line 2, column 1: i is a whole number (int), which Go multiplies with a unit only when told to: write Force(i)"},
		{"N := 7", "line 1, column 1: N is a unit, a force such as 3*N here; choose another name"},
		{"Straps := 7", "line 1, column 1: Straps is a word for asking the model here; choose another name"},
		{"Force, x := 7, 8", "line 1, column 1: Force is a type here; choose another name"},
		{"N = 7", "line 1, column 1: N is a unit, a force such as 3*N here; choose another name"},
		{"len := 3", "line 1, column 1: len is a word of Go itself; choose another name"},
		{"straps(3*N)", "line 1, column 1: straps is not known here; did you mean Straps?"},
		{"PutOn(\"a\", 3*N).at(2*CmH2O)", "line 1, column 17: PutOn(\"a\", 3*N) (a Seat) has no at; did you mean At?"},
		{"PutOn(3*N)", "line 1, column 10: not enough arguments: PutOn wants (string, Force) and got (Force)"},
		{"PutOn(3, 3*N)", "line 1, column 7: PutOn wants a text; 3 is a number without a unit"},
		{"math.Sqrt(2)", "line 1, column 1: math is not imported yet; write import \"math\" first"},
		{"import \"math\"\nmath.Sqr(2)", "line 2, column 6: package math has no Sqr here; did you mean Sqrt?"},
		{"import \"os\"", "gonum.org/v1/gonum/ with floats, integrate, interp, mat, optimize, stat; and gonum.org/v1/plot"},
		{"package p", "line 1, column 1: a cell needs no package line; leave it out"},
		{"go f()", "line 1, column 1: cells run one thing after another: there are no goroutines and no channels here"},
		{"x := make(chan int)", "line 1, column 11: cells run one thing after another: there are no goroutines and no channels here"},
		{"return 3", "line 1, column 1: return belongs inside a function"},
		{"func f[T any](x T) {}", "line 1, column 1: generic functions are not available in cells; write the types out"},
		{"x := (1 + 2", "line 1, column 6: this ( is never closed"},
		{"x := 1 }", "line 1, column 8: this } closes nothing"},
		{"x := )", "line 1, column 6: this ) closes nothing"},
		{"x := = 3", "line 1, column 6: a value is missing before ="},
		{"µ := 1\nx := µ +* 3", "line 2, column 11: Go has no ** for powers; import \"math\" and write math.Pow(2, 3)"},
		{"var s string = 5", "line 1, column 16: a text is wanted here; 5 is a number without a unit"},
		{"Eval(\"1\")", "line 1, column 1: Eval is not known here"},
		{"x := []int{1}\nx[3]", "line 2: there is no such element: an index is counted from 0 and ends below the length"},
		{"func f(n int) int { return f(n+1) }\nf(0)", "functions call each other more than 20000 deep; is there a call without an end?"},
		{"a, b := 1, 0\nc := 3\nc = a / b", "line 3: a whole number is divided by zero"},
		{"var m map[string]int\nm[\"a\"] = 1", "line 2: this map was never made; write make(map[...]...) first"},
		{"type T struct { n int }\nvar p *T\np.n", "line 3: something that was never set (nil) is used here"},
		{"func f(x int) int {\n  y := x - 1\n  return 1 / y\n}\nf(1)", "line 3: a whole number is divided by zero"},
		{"type A struct { b *B }\ntype B struct { a *A }", "contain each other, which types in cells cannot do"},
		{"type T struct { t *T }\nfunc (t *T) M() {}", "line 1, column 6: T contains itself, so it cannot have methods in cells; write functions that take one"},
		{"panic(\"too warm\")", "line 1: too warm"},
	} {
		t.Run(c.cell, func(t *testing.T) {
			e, _ := newEngine(t)
			if got := show(e, c.cell); !strings.HasSuffix(got, c.want) || !strings.HasPrefix(got, "error: ") {
				t.Errorf("got  %q\nwant %q", got, c.want)
			}
		})
	}
}

func TestNothingIsHalfDeclared(t *testing.T) {
	e, out := newEngine(t)
	show(e, "a := 1\nfunc f() int { return a }")
	if got := show(e, "println(\"ran\")\na := \"text\"\nb := 2\nfunc f() string { return a }\nStraps(3*CmH2O)"); !strings.Contains(got, "wants a force") {
		t.Fatal(got)
	}
	if out.Len() > 0 {
		t.Errorf("a cell that fails the check printed %q", out)
	}
	if got := show(e, "f() + a"); got != "2" {
		t.Errorf("earlier names changed: %s", got)
	}
	if got := show(e, "b"); !strings.Contains(got, "not known") {
		t.Errorf("b was half declared: %s", got)
	}
}

func TestWhatRanBeforeAFailureStays(t *testing.T) {
	e, _ := newEngine(t)
	show(e, "z := 0\nc := \"old\"")
	if got := show(e, "a := 5\nb := 1 / z\nc := 3"); !strings.Contains(got, "line 2") {
		t.Fatal(got)
	}
	for cell, want := range map[string]string{"a": "5", "c": "old"} {
		if got := show(e, cell); got != want {
			t.Errorf("%s is %s, want %s", cell, got, want)
		}
	}
	if got := show(e, "b"); !strings.Contains(got, "not known") {
		t.Errorf("b: %s", got)
	}
}

func TestPrinting(t *testing.T) {
	e, out := newEngine(t)
	got := show(e, "import \"fmt\"\nfmt.Println(3*N)\nprintln(\"x\", 2)\nfmt.Printf(\"%d\\n\", 4)")
	if got != "" || out.String() != "3 N\nx 2\n4\n" {
		t.Errorf("value %q, printed %q", got, out)
	}
}

func TestStopping(t *testing.T) {
	for _, cell := range []string{"for { }", "n := 0\nfor { n++ }", "import \"time\"\ntime.Sleep(time.Hour)"} {
		e, _ := newEngine(t)
		show(e, "kept := 4")
		ctx, cancel := context.WithCancel(context.Background())
		time.AfterFunc(20*time.Millisecond, cancel)
		_, _, err := e.Run(ctx, cell)
		if err == nil || err.(*Error).Kind != Stopped {
			t.Errorf("%s: %v", cell, err)
		}
		if got := show(e, "kept"); got != "4" {
			t.Errorf("after %s: kept is %s", cell, got)
		}
	}
}

// A cell in the midst of something compiled cannot be stopped; it is given up
// together with its engine.
func TestAStubbornCell(t *testing.T) {
	w, never := testWords(), make(chan int)
	defer close(never)
	w.Binds["Stall"] = reflect.ValueOf(func() { <-never })
	e, err := New(w, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, _, err = e.Run(ctx, "Stall()")
	if err == nil || !strings.Contains(err.Error(), "could not be stopped") {
		t.Error(err)
	}
	if got := show(e, "1"); !strings.Contains(got, "start again") || !e.Stuck() {
		t.Error(got)
	}
}

func TestEnginesAreApart(t *testing.T) {
	a, _ := newEngine(t)
	b, _ := newEngine(t)
	show(a, "x := 1\nimport \"math\"")
	if got := show(b, "x"); !strings.Contains(got, "not known") {
		t.Error(got)
	}
	if got := show(b, "import \"math\"\nmath.Floor(2.5)"); got != "2" {
		t.Error(got)
	}
}
