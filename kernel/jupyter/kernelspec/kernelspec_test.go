package kernelspec

import (
	"bytes"
	"encoding/json"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func installation(t *testing.T) Installation {
	t.Helper()
	program := filepath.Join(t.TempDir(), "tautline")
	if err := os.WriteFile(program, []byte("a program"), 0o755); err != nil {
		t.Fatal(err)
	}
	return Installation{Data: filepath.Join(t.TempDir(), "not", "there", "yet"), Name: Name, Program: program, Build: "v1"}
}

func install(t *testing.T, i Installation) (replaced bool) {
	t.Helper()
	replaced, err := i.Install()
	if err != nil {
		t.Fatal(err)
	}
	return replaced
}

func TestInstall(t *testing.T) {
	i := installation(t)
	i.Name = "Tautline"
	if install(t, i) {
		t.Error("the first installation replaces something")
	}
	if filepath.Base(i.Dir()) != "tautline" {
		t.Errorf("the folder is %s", i.Dir())
	}
	data, err := os.ReadFile(filepath.Join(i.Dir(), "kernel.json"))
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Argv      []string
		Display   string `json:"display_name"`
		Language  string
		Interrupt string `json:"interrupt_mode"`
		Metadata  map[string]map[string]string
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Argv) != 3 || got.Argv[0] != i.Program || !filepath.IsAbs(got.Argv[0]) || got.Argv[1] != "kernel" || got.Argv[2] != "{connection_file}" {
		t.Errorf("argv %q", got.Argv)
	}
	if got.Display == "" || got.Language != "go" || got.Interrupt != "message" || got.Metadata["language_info"]["file_extension"] != ".go" {
		t.Errorf("%+v", got)
	}
	if !install(t, i) {
		t.Error("the second installation replaces nothing")
	}
	if left, _ := os.ReadDir(filepath.Dir(i.Dir())); len(left) != 1 {
		t.Errorf("%v is left beside the kernelspec", left)
	}
}

func TestLogos(t *testing.T) {
	i := installation(t)
	install(t, i)
	for name, size := range map[string]int{"logo-32x32.png": 32, "logo-64x64.png": 64} {
		data, err := os.ReadFile(filepath.Join(i.Dir(), name))
		if err != nil {
			t.Fatal(err)
		}
		c, err := png.DecodeConfig(bytes.NewReader(data))
		if err != nil || c.Width != size || c.Height != size {
			t.Errorf("%s: %d by %d, %v", name, c.Width, c.Height, err)
		}
	}
	svg, err := os.ReadFile(filepath.Join(i.Dir(), "logo-svg.svg"))
	if err != nil || !bytes.Contains(svg, []byte("<svg")) {
		t.Errorf("the SVG: %v", err)
	}
}

// Another program's kernelspec stays, whatever is asked.
func TestAnothersKernelspec(t *testing.T) {
	i := installation(t)
	if err := os.MkdirAll(i.Dir(), 0o755); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(i.Dir(), "kernel.json")
	if err := os.WriteFile(file, []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := i.Install(); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("install: %v", err)
	}
	if _, err := Uninstall(i.Dir()); err == nil {
		t.Error("it is uninstalled")
	}
	if data, _ := os.ReadFile(file); string(data) != "{}" {
		t.Error("it is changed")
	}
}

func TestUninstall(t *testing.T) {
	i := installation(t)
	if _, err := Uninstall(i.Dir()); err != ErrNone {
		t.Errorf("nothing there: %v", err)
	}
	install(t, i)
	if program, err := Uninstall(i.Dir()); err != nil || program != i.Program {
		t.Errorf("%q, %v", program, err)
	}
	if _, err := os.Stat(i.Dir()); err == nil {
		t.Error("it is still there")
	}
}

func TestStale(t *testing.T) {
	i := installation(t)
	data := []string{i.Data, i.Data, "not there"}
	expect := func(what string, want ...string) {
		t.Helper()
		got := Stale(data, "v2")
		if len(got) != min(len(want), 1) {
			t.Fatalf("%s: %q", what, got)
		}
		for _, w := range want {
			if !strings.Contains(got[0], w) {
				t.Errorf("%s: %q does not say %q", what, got[0], w)
			}
		}
	}
	expect("nothing installed")
	install(t, i)
	expect("as this program would write it")
	if users := Users(data, i.Program); len(users) != 1 {
		t.Errorf("users %v", users)
	}
	icon := filepath.Join(i.Dir(), "logo-32x32.png")
	os.Remove(icon)
	expect("an icon is gone", i.Dir(), "logo-32x32.png", "tautline install")
	install(t, i)

	n, _ := readNote(i.Dir())
	n.Files = "0123"
	changed, _ := pretty(n)
	os.WriteFile(filepath.Join(i.Dir(), noteFile), changed, 0o644)
	expect("an older program wrote it", i.Dir(), "v1", "v2")
	install(t, i)
	os.Remove(i.Program)
	expect("the program is gone", i.Dir(), i.Program, "tautline uninstall")
}

func TestNames(t *testing.T) {
	for _, good := range []string{"tautline", "Tautline-2.0_b"} {
		if err := CheckName(good); err != nil {
			t.Error(err)
		}
	}
	for _, bad := range []string{"", ".", "..", "a/b", `a\b`, "a b", "µ", "../x"} {
		if CheckName(bad) == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

func TestPassing(t *testing.T) {
	for path, want := range map[string]bool{
		"/tmp/go-build123/b001/exe/tautline":             true,
		"/home/ann/.cache/go-build/6a/6af-d/tautline":    true,
		"/home/ann/go/bin/tautline":                      false,
		"/usr/local/bin/tautline":                        false,
		"C:/Users/ann/AppData/Local/go-build/x/tautline": true,
	} {
		if got := Passing(filepath.FromSlash(path)); got != want {
			t.Errorf("%s: %v", path, got)
		}
	}
}

func TestCopyProgram(t *testing.T) {
	i := installation(t)
	to := LastingPath(t.TempDir(), runtime.GOOS)
	for range 2 {
		if err := CopyProgram(i.Program, to); err != nil {
			t.Fatal(err)
		}
	}
	info, err := os.Stat(to)
	if err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o755 {
		t.Errorf("%v, %v", info, err)
	}
	if left, _ := os.ReadDir(filepath.Dir(to)); len(left) != 1 {
		t.Errorf("%v is left beside the copy", left)
	}
	if err := CopyProgram("not there", to); err == nil {
		t.Error("nothing is copied without an error")
	}
	if LastingPath("x", "windows") != filepath.Join("x", "bin", "tautline.exe") {
		t.Error("Windows wants .exe")
	}
}
