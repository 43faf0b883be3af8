package command

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tautline/kernel/jupyter/folder"
)

// A test's program lies where go run's does: it copies itself to a lasting
// place, says where, and takes the copy away with its last kernelspec.
func TestInstallFromGoRun(t *testing.T) {
	dir := t.TempDir()
	env := map[string]string{"XDG_DATA_HOME": filepath.Join(dir, "data")}
	p := folder.Place{System: "linux", Env: func(name string) string { return env[name] }, Home: dir}
	cmd := installCommand()
	var out, messages strings.Builder
	cmd.SetOut(&out)
	cmd.SetErr(&messages)
	f := &specFlags{name: "tautline"}
	if err := f.install(cmd, p); err != nil {
		t.Fatal(err)
	}
	copied := filepath.Join(dir, "data", "tautline", "bin", "tautline")
	if !strings.HasPrefix(out.String(), "Copied this program to "+copied) || !strings.Contains(out.String(), "It starts "+copied) {
		t.Errorf("it says %q, %q", &out, &messages)
	}
	if _, err := os.Stat(copied); err != nil {
		t.Error(err)
	}
	out.Reset()
	if err := (&specFlags{name: "tautline", user: true}).uninstall(cmd, p); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(copied); err == nil || !strings.Contains(out.String(), "Removed: the copy of the program, "+copied) {
		t.Errorf("it says %q, and the copy: %v", &out, err)
	}
}
