package worker

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"reflect"
	"strings"
	"testing"
	"time"

	"tautline/kernel/engine"
)

// The test's worker knows some words more: compiled code that does what no
// cell should be able to reach. What is refused to them holds behind the list
// of what cells can name.
func init() {
	moreWords = func(w engine.Words) {
		w.Binds["Attempt"] = reflect.ValueOf(attempt)
		w.Binds["Stray"] = reflect.ValueOf(func() { fmt.Fprintln(os.Stdout, "stray out"); fmt.Fprintln(os.Stderr, "stray err") })
		w.Binds["StrayBytes"] = reflect.ValueOf(func(n int) { fmt.Fprint(os.Stdout, strings.Repeat("\x00\xff{", n)) })
		w.Binds["Stall"] = reflect.ValueOf(func() { time.Sleep(time.Hour) })
		w.Binds["Break"] = reflect.ValueOf(func() { go panic("broken") })
		w.Binds["Nil"] = reflect.ValueOf(func() { var p *int; *p = 1 })
		w.Binds["Deep"] = reflect.ValueOf(deep)
		w.Binds["Leave"] = reflect.ValueOf(func() { os.Exit(0) })
	}
}

// deep ends only with the stack.
func deep(n int) int {
	if n < 0 {
		return 0
	}
	return deep(n+1) + n
}

// attempt tries to reach beyond the process and gives what stopped it.
func attempt(what string) string {
	name, arg, _ := strings.Cut(what, " ")
	var err error
	switch name {
	case "read":
		_, err = os.ReadFile(arg)
	case "list":
		_, err = os.ReadDir(arg)
	case "write":
		err = os.WriteFile(arg, []byte("x"), 0o600)
	case "append":
		var f *os.File
		if f, err = os.OpenFile(arg, os.O_APPEND|os.O_WRONLY, 0); err == nil {
			f.Close()
		}
	case "remove":
		err = os.Remove(arg)
	case "rename":
		err = os.Rename(arg, arg+"2")
	case "mkdir":
		err = os.Mkdir(arg, 0o700)
	case "link":
		err = os.Symlink("/etc", arg)
	case "chmod":
		err = os.Chmod(arg, 0)
	case "dial":
		network, address, _ := strings.Cut(arg, " ")
		_, err = net.DialTimeout(network, address, time.Second)
	case "listen":
		_, err = net.Listen("tcp", "127.0.0.1:0")
	case "run":
		err = exec.Command(arg).Run()
	case "signal":
		err = signalParent()
	case "environment":
		return strings.Join(os.Environ(), " ")
	default:
		return "no such attempt"
	}
	if err == nil {
		return "reached"
	}
	return "refused: " + err.Error()
}

// What something compiled writes to the real streams neither harms the frames
// nor is it lost, and belongs to the cell that did it.
func TestStrayWrites(t *testing.T) {
	s := begin(t, Options{})
	h := newHeard()
	if o := s.Execute(context.Background(), Request{Code: "Stray()\n1 + 1"}, h); o.Err != nil || h.text() != "2" {
		t.Fatalf("%+v", o.Err)
	}
	if h.streams["stderr"] != "stray out\nstray err\n" {
		t.Errorf("%q", h.streams)
	}
	h = newHeard()
	if o := s.Execute(context.Background(), Request{Code: "StrayBytes(1000000)\n7"}, h); o.Err != nil || h.text() != "7" {
		t.Errorf("%+v", o.Err)
	}
	if n := len(h.streams["stderr"]); n > keptStray {
		t.Errorf("%d bytes of it", n)
	}
	expect(t, s, "1 + 1", "2")
}

// Faults that no recover reaches end the process, and nothing else.
func TestFaults(t *testing.T) {
	s := begin(t, Options{Memory: 400 << 20, Grace: 200 * time.Millisecond})
	for code, want := range map[string]string{
		"Break()\nfor {}": "(panic: broken)",
		"Deep(0)":         "too deep",
		"Leave()":         "broke down",
	} {
		expect(t, s, "kept := 4", "")
		expect(t, s, code, want)
		expect(t, s, "1 + 1", "2")
	}
	// A nil pointer in something compiled is an error like others.
	expect(t, s, "kept := 4", "")
	expect(t, s, "Nil()", "never set")
	expect(t, s, "kept", "4")
	// What cannot be stopped is ended, and said.
	o := stopped(s, "import \"fmt\"\nfmt.Println(1)\nStall()")
	if !strings.Contains(o.Lost, "did not stop within 0.2 s") {
		t.Errorf("%+v", o)
	}
	expect(t, s, "1 + 1", "2")
}

// A value that contains itself is shown without end nowhere.
func TestEndlessValues(t *testing.T) {
	s := begin(t, Options{})
	pid := s.worker.cmd.Process.Pid
	for _, code := range []string{
		"type L struct { Next *L }\nl := &L{}\nl.Next = l\nl",
		"type P struct { Name string; Up any }\np := &P{Name: \"a\"}\np.Up = p\n*p",
		"v := []any{nil}\nv[0] = v\nv",
		"m := map[string]any{}\nm[\"m\"] = m\nm",
		"w := []any{1, nil}\nw[1] = map[int]any{1: w}\nw",
	} {
		if got := run(s, code); strings.HasPrefix(got, "error") || got == "" {
			t.Errorf("%s gives %q", code, got)
		}
	}
	if s.worker == nil || s.worker.cmd.Process.Pid != pid {
		t.Error("the worker is another")
	}
}

// nested is a text that goes n deep.
func nested(before, middle, after string, n int) string {
	return strings.Repeat(before, n) + middle + strings.Repeat(after, n)
}

// Cells that mean harm. Each ends with an error or a harmless value, within
// the grace time once it is told to stop, and the next cell runs.
func TestHostileCells(t *testing.T) {
	s := begin(t, Options{Memory: 400 << 20, OutputLimit: 1 << 20, Grace: 200 * time.Millisecond})
	prepare := "import (\"fmt\"; \"strings\"; \"sort\"; \"strconv\"; \"math/rand\"; \"errors\"; \"time\")\n" +
		"_ = fmt.Sprint(strings.ToUpper(\"\"), sort.IsSorted, strconv.Itoa(1), rand.Int(), errors.New(\"\"), time.Second)"
	expect(t, s, prepare, "")
	for name, code := range map[string]string{
		"brackets":          nested("(", "1", ")", 200_000),
		"blocks":            nested("{", "", "}", 200_000),
		"signs":             nested("-", "1", "", 200_000),
		"stars":             "var p " + nested("*", "int", "", 200_000),
		"lists":             "var p " + nested("[]", "int", "", 100_000),
		"functions":         nested("func() { ", "", " }()", 20_000),
		"sums":              nested("1 + ", "1", "", 90_000),
		"chain":             "strings" + nested(".x", "", "", 100_000),
		"ifs":               nested("if true { ", "", " }", 50_000),
		"elses":             "if true { }" + nested(" else if true { }", "", "", 50_000),
		"texts":             "x := \"" + strings.Repeat("a", 5<<20) + "\"\n_ = x",
		"names":             strings.Repeat("a", 5<<20),
		"many names":        "var " + strings.Repeat("a, ", 100_000) + "b int",
		"huge number":       "1e1000000000",
		"huge shift":        "1 << 1000000000",
		"huge power":        "x := " + nested("1e300*", "1.0", "", 1000),
		"huge array":        "var a [1 << 40]int\n_ = a",
		"big array":         "var a [1 << 27]int\n_ = a",
		"array of arrays":   "type T [1 << 20][1 << 20]int\nvar t T\n_ = t",
		"huge make":         "m := make(map[int]int, 1 << 40)\n_ = m",
		"doubling text":     "x := \"ab\"\nfor { x += x }",
		"doubling list":     "x := []int{1}\nfor { x = append(x, x...) }",
		"map":               "m := map[int]int{}\nfor i := 0; ; i++ { m[i] = i }",
		"closures":          "var f func()\nfor { g := f; f = func() { _ = g } }",
		"wide format":       "fmt.Printf(\"%999999999d\", 1)",
		"star format":       "fmt.Printf(\"%*d\", 1 << 40, 1)",
		"long output":       "for i := 0; i < 1000; i++ { fmt.Print(strings.Repeat(\"x\", 1000000)) }",
		"1e9 characters":    "fmt.Print(strings.Repeat(\"x\", 1000000000))",
		"nul and escapes":   "fmt.Print(\"\\x00\\x1b[2J\\xff\\xfe\")",
		"endless Less":      "sort.Slice(make([]int, 100), func(i, j int) bool { for {} })",
		"false Less":        "sort.Slice(make([]int, 100000), func(i, j int) bool { return true })",
		"panic in Less":     "sort.Slice(make([]int, 100), func(i, j int) bool { panic(i) })",
		"panic nil":         "panic(nil)",
		"panic in panic":    "func() { defer func() { panic(2) }(); panic(1) }()",
		"own error":         "type E struct{ a []any }\nfunc (e E) Error() string { return e.Error() }\npanic(E{})",
		"loop by itself":    "func f(n int) int { return f(n + 1) + 1 }\nf(0)",
		"mutual":            "func a() { b() }\nfunc b() { a() }\na()",
		"list in itself":    "v := []any{nil}\nv[0] = v\nv",
		"map in itself":     "m := map[string]any{}\nm[\"m\"] = m\nfmt.Sprint(m)",
		"pointer to itself": "type L struct { Next *L }\nl := &L{}\nl.Next = l\nl",
		"quick random":      "rand.New(nil).Int()",
		"empty source":      "var r rand.Rand\nr.Int()",
		"errors in circles": "errors.As(errors.New(\"x\"), nil)",
		"bad repeat":        "strings.Repeat(\"x\", -1)",
		"huge repeat":       "strings.Repeat(\"x\", 1 << 62)",
		"zero time":         "time.Time{}.In(nil)",
		"odd widths":        "fmt.Sprintf(\"%[99999999999999999999]d\", 1)",
		"empty fitting":     "Fitting{}",
		"empty point":       "Point{}",
		"empty sweep":       "PutOn(Mask(\"nasal\", \"medium\"), Face(\"average\"), Setting{})",
		"nan":               "import \"math\"\nPutOn(Mask(\"nasal\", \"medium\"), Face(\"average\"), Straps(Force(math.NaN())))",
		"infinite":          "import \"math\"\nPutOn(Mask(\"nasal\", \"medium\"), Face(\"average\"), Straps(Force(math.Inf(1))))",
		"script":            "\"<script>alert(1)</script><svg onload=alert(1)>\"",
	} {
		t.Run(name, func(t *testing.T) {
			ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
			defer cancel()
			h := newHeard()
			o := s.Execute(ctx, Request{Code: code}, h)
			say := ""
			if o.Err != nil {
				say = o.Err.Value
			}
			t.Logf("%.150s", say)
			if strings.Contains(say, "please report") || strings.Contains(say, "itself failed") || strings.Contains(say, "reflect") {
				t.Errorf("%s", say)
			}
			for _, b := range h.results {
				if page, ok := b.Data["text/html"]; ok && strings.Contains(fmt.Sprint(page), "<script") {
					t.Error("a text became a page")
				}
			}
			if got := run(s, "1 + 1"); got != "2" {
				t.Errorf("afterwards %s", got)
			}
			if o.Lost != "" {
				run(s, prepare)
			}
		})
	}
}
