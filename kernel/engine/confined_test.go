package engine

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
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

// No Go toolchain is asked, even when one is in sight.
func TestNoToolchainIsAsked(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the stand-in for the go command is a shell script")
	}
	dir := t.TempDir()
	marker := filepath.Join(dir, "asked")
	script := "#!/bin/sh\necho \"$@\" >> " + marker + "\nexit 1\n"
	if err := os.WriteFile(filepath.Join(dir, "go"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir)
	t.Setenv("GOROOT", dir)
	t.Setenv("GOPATH", dir)
	e, _ := newEngine(t)
	for _, path := range allowed {
		show(e, "import \""+path+"\"")
	}
	show(e, "import \"os\"\nimport \"example.org/x\"")
	show(e, "type T struct { a int }\nfunc (t T) A() int { return t.a }\nT{1}.A()")
	if text, err := os.ReadFile(marker); err == nil {
		t.Errorf("the go command was called: %s", text)
	}
}
