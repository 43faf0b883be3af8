package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// The committed tables are those that the generator writes. Another Go release
// may export more; the tables then still hold, so only the one that made them
// is compared.
func TestTheTablesAreFresh(t *testing.T) {
	if _, err := exec.LookPath("go"); err != nil {
		t.Skip("no Go toolchain here")
	}
	files, err := tables()
	if err != nil {
		t.Skipf("the packages cannot be read here: %v", err)
	}
	for name, want := range files {
		have, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(have, []byte(madeBy())) {
			t.Skipf("the tables were made with another Go release than this one (%s)", madeBy())
		}
		if !bytes.Equal(have, want) {
			t.Errorf("%s is stale: run go generate in kernel/engine/library", name)
		}
	}
}
