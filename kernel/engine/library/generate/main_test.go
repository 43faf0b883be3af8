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
		unneeded(t, "no Go toolchain here")
	}
	files, err := tables()
	if err != nil {
		unneeded(t, "the packages cannot be read here: "+err.Error())
	}
	for name, want := range files {
		have, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(have, []byte(madeBy())) {
			unneeded(t, "the tables were made with another Go release than this one ("+madeBy()+"): run go generate in kernel/engine/library")
		}
		if !bytes.Equal(have, want) {
			t.Errorf("%s is stale: run go generate in kernel/engine/library", name)
		}
	}
}

// unneeded skips, since the tables hold without being compared; continuous
// integration promises the comparison and fails.
func unneeded(t *testing.T, why string) {
	t.Helper()
	if os.Getenv("TAUTLINE_CI") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}
