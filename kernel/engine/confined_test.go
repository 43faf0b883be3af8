package engine

import (
	"context"
	"strings"
	"testing"
	"time"
)

// What cells could try in order to reach beyond themselves.
func TestNoWayOut(t *testing.T) {
	for _, cell := range []string{
		`import "os"`, `import "os/exec"`, `import "unsafe"`, `import "syscall"`, `import "net/http"`, `import "reflect"`,
		`import "C"`, `import "plugin"`, `import "runtime"`, `import "io"`, `import . "fmt"`, `import "./x"`, `import "../x"`,
		`import "github.com/cosmos72/gomacro/imports"`, `import "tautline/words"`, `import "tautline/cells"`, `import ""`,
		"import \"fmt\"\nvar s string\nfmt.Scan(&s)", "import \"fmt\"\nfmt.Fscan(nil)",
		"import \"time\"\ntime.LoadLocation(\"../../etc/passwd\")", "import \"time\"\ntime.AfterFunc(1, func() {})",
		"import \"time\"\n<-time.After(1)", "import \"time\"\ntime.UTC = nil",
		"import \"gonum.org/v1/plot\"\nplot.New().Save(1, 1, \"x.svg\")", "import \"gonum.org/v1/plot\"\nf := plot.New().Save\n_ = f",
		"import \"gonum.org/v1/plot\"\nf := (*plot.Plot).Save\n_ = f", "type S struct { *P }\nvar s S\ns.Save()",
		"import \"gonum.org/v1/plot\"\ntype S struct { *plot.Plot }\nS{plot.New()}.Save(1, 1, \"x.svg\")",
		"import (\"gonum.org/v1/plot\"; \"gonum.org/v1/plot/vg\")\nvar s interface { Save(w, h vg.Length, f string) error } = plot.New()\n_ = s",
		"import \"gonum.org/v1/plot/vg/draw\"\ndraw.RegisterFormat(\"x\", nil)",
		`Eval("1")`, `EvalType("int")`, `Parse("1")`, `MacroExpand(1)`, "Interp", "~quote{1}", "~'x", "#[T] func f() {}", ":quit", "package os",
		"go func() {}()", "var c chan int", "select {}", "guard·()", "func init() { panic(1) }", "func f()",
	} {
		e, _ := newEngine(t)
		got := show(e, cell)
		if !strings.HasPrefix(got, "error: ") {
			t.Errorf("%s gave %q", cell, got)
		}
		if strings.Contains(got, "itself failed") {
			t.Errorf("%s: %s", cell, got)
		}
		if got := show(e, "1 + 1"); got != "2" {
			t.Errorf("after %s: %s", cell, got)
		}
	}
}

// What stops a cell cannot be caught by it, put off or outlived.
func TestNothingOutlivesAStop(t *testing.T) {
	for name, cell := range map[string]string{
		"a recover round the loop":    "for { func() { defer func() { recover() }(); for {} }() }",
		"a recover that tells":        "for { func() { defer func() { if r := recover(); r != nil { x++ } }(); for {} }() }",
		"a function deferring itself": "f()",
		"a defer that loops":          "func() { defer func() { for {} }(); for {} }()",
		"defers in a loop":            "func() { for i := 0; i < 1000; i++ { defer func() { for {} }() } ; for {} }()",
		"a callback of sort":          "sort.Slice([]int{3, 2, 1}, func(i, j int) bool { for {} })",
		"a callback of strings":       "strings.Map(func(r rune) rune { for {} }, \"x\")",
		"a callback of a word":        "Each(func(f Force) any { for {} })",
		"Sleep":                       "time.Sleep(time.Hour)",
		"Sleep under recover":         "for { func() { defer func() { recover() }(); time.Sleep(time.Hour) }() }",
		"recursion":                   "fib(60)",
		"a flood":                     "for { fmt.Print(\"x\") }",
	} {
		t.Run(name, func(t *testing.T) {
			e, _ := newEngine(t)
			// Whether it stops is asked, not how soon on a busy machine.
			e.grace = time.Minute
			if got := show(e, "import (\"sort\"; \"strings\"; \"time\"; \"fmt\")\nx := 1\nfunc f() { defer f(); for {} }\n"+
				"func fib(n int) int { if n < 2 { return n }; return fib(n-1) + fib(n-2) }\n_ = fmt.Sprint(strings.ToUpper(\"\"), time.Second)"); got != "" {
				t.Fatal(got)
			}
			ctx, cancel := context.WithCancel(context.Background())
			time.AfterFunc(30*time.Millisecond, cancel)
			_, _, err := e.Run(ctx, cell)
			if err == nil || !strings.Contains(err.Error(), "the cell was stopped") {
				t.Fatalf("%v", err)
			}
			if got := show(e, "y := x > 0\ny"); got != "true" {
				t.Errorf("afterwards %s", got)
			}
		})
	}
}

// An error whose text never comes does not hold up the cell's end.
func TestAnErrorWithoutWords(t *testing.T) {
	e, _ := newEngine(t)
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	_, _, err := e.Run(ctx, "type E struct{ a []any }\nfunc (e E) Error() string { for {} }\npanic(E{})")
	if err == nil || err.(*Error).Kind != Stopped {
		t.Error(err)
	}
	if got := show(e, "1"); got != "1" {
		t.Error(got)
	}
}

// A recover that has nothing to do with a stop works as in Go.
func TestRecoverStillRecovers(t *testing.T) {
	e, _ := newEngine(t)
	if got := show(e, "func safe() (r any) { defer func() { r = recover() }(); panic(\"x\") }\nsafe()"); got != "x" {
		t.Error(got)
	}
	if got := show(e, "func none() (r any) { defer func() { r = recover() }(); return 1 }\nnone()"); got != "<nil>" {
		t.Error(got)
	}
}

func TestCallStopsAndExplains(t *testing.T) {
	e, _ := newEngine(t)
	if err := e.Call(context.Background(), func() { panic("broken") }); err == nil || err.Error() != "broken" {
		t.Error(err)
	}
	v, _, err := e.Run(context.Background(), "func() { for {} }")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	time.AfterFunc(30*time.Millisecond, cancel)
	if err := e.Call(ctx, v.(Shown).Value.(func())); err == nil || !strings.Contains(err.Error(), "stopped") {
		t.Error(err)
	}
	if got := show(e, "1"); got != "1" || e.Stuck() {
		t.Error(got)
	}
}

func TestUnfinished(t *testing.T) {
	for text, want := range map[string]int{"1 + 1": 0, "": 0, "x := ": 1, "1 +": 1, "f(": 1, "func f() {": 1, "if x { for {": 2,
		"`a": 1, "/* a": 1, "\"a": 0, ")": 0, "x := := 3": 0, "// note": 0, "x++": 0, "fit.": 1, "import \"fmt\"": 0} {
		if got, _ := Unfinished(text); got != want {
			t.Errorf("%q: %d brackets are open, want %d", text, got, want)
		}
	}
	for _, text := range []string{")", "x := := 3", "\"a"} {
		if _, err := Unfinished(text); err == nil {
			t.Errorf("%q passes", text)
		}
	}
}
