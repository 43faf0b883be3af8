//go:build !windows

// The stand-in for the go command is a shell script.

package engine

import (
	"os"
	"path/filepath"
	"testing"
)

// No Go toolchain is asked, even when one is in sight.
func TestNoToolchainIsAsked(t *testing.T) {
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
	for _, path := range importable() {
		show(e, "import \""+path+"\"")
	}
	show(e, "import \"os\"\nimport \"example.org/x\"")
	show(e, "type T struct { a int }\nfunc (t T) A() int { return t.a }\nT{1}.A()")
	if text, err := os.ReadFile(marker); err == nil {
		t.Errorf("the go command was called: %s", text)
	}
}
