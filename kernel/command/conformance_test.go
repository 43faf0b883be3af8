package command

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// samples tell jupyter_kernel_test what cells look like.
var samples = map[string]any{
	"kernel_name":      "tautline",
	"language_name":    "go",
	"file_extension":   ".go",
	"code_hello_world": "import \"fmt\"\nfmt.Println(\"hello, world\")",
	"complete_code_samples": []string{
		"1 + 1", "fit := PutOn(Mask(\"nasal\", \"medium\"), Face(\"narrow bridge\"), Straps(3*N))", "for i := range 3 {\n\tprintln(i)\n}",
	},
	"incomplete_code_samples": []string{"for i := range 3 {", "PutOn(", "var s = `text"},
	"invalid_code_samples":    []string{"}", "x := := 1"},
	"completion_samples": []map[string]any{{"text": "PutO", "matches": []string{"PutOn"}},
		{"text": "Mask(\"pil", "matches": []string{"pillows"}}},
	"code_stderr":                  "println(\"a word aside\")",
	"code_page_something":          "?Straps",
	"code_inspect_sample":          "Straps",
	"code_clear_output":            "Clear()",
	"code_generate_error":          "Straps(3*CmH2O)",
	"code_execute_result":          []map[string]any{{"code": "3*N", "result": "3 N"}, {"code": "6*7", "result": "42"}},
	"code_display_data":            []map[string]any{{"code": "Show(3*N)", "mime": "text/plain"}},
	"code_history_pattern":         "6?7*",
	"supported_history_operations": []string{"tail", "range", "search"},
}

// TestConformance installs the kernel and runs Debian's jupyter_kernel_test on
// it: the front end finds it by its kernelspec, and cells run in a worker.
func TestConformance(t *testing.T) {
	python := "/usr/bin/python3" // Debian's, which has Debian's packages
	if err := exec.Command(python, "-c", "import jupyter_kernel_test").Run(); err != nil {
		missing := "jupyter_kernel_test is not there: on Debian, apt-get install python3-jupyter-kernel-test"
		if os.Getenv("TAUTLINE_CI") != "" {
			t.Fatal(missing)
		}
		t.Skip(missing)
	}
	all, err := json.Marshal(samples)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	env := append(os.Environ(), "HOME="+dir, "XDG_DATA_HOME="+filepath.Join(dir, "data"), "JUPYTER_DATA_DIR="+filepath.Join(dir, "jupyter"),
		"JUPYTER_PATH=", "PYTHONDONTWRITEBYTECODE=1", "KERNEL_SAMPLES="+string(all))
	install := exec.Command("tautline", "install") // see TestMain
	install.Env = env
	if out, err := install.CombinedOutput(); err != nil {
		t.Fatalf("%s\n%v", out, err)
	}
	run := exec.Command(python, filepath.Join("..", "jupyter", "testdata", "conformance.py"))
	run.Env = env
	out, err := run.CombinedOutput()
	const want = "ran 12, skipped 0, failed 0"
	if !strings.HasSuffix(strings.TrimSpace(string(out)), want) {
		t.Errorf("%s\n%v, want %s", out, err, want)
	}
	// Jupyter's history is where it belongs.
	if kept, _ := os.ReadDir(filepath.Join(dir, "data", "tautline", "history")); len(kept) == 0 {
		t.Error("no history is kept")
	}
}
