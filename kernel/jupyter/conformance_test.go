package jupyter

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// asKernel makes the test's own program the kernel of a connection file, and
// asParent a front end that starts one and does nothing more.
const (
	asKernel = "TAUTLINE_TEST_KERNEL"
	asParent = "TAUTLINE_TEST_PARENT"
)

func TestMain(m *testing.M) {
	switch {
	case os.Getenv(asKernel) != "":
		os.Exit(testKernel(os.Args[1]))
	case os.Getenv(asParent) != "":
		os.Exit(testParent(os.Args[1]))
	}
	os.Exit(m.Run())
}

func testKernel(file string) int {
	c, err := ReadConnection(file)
	if err == nil {
		ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGTERM)
		defer stop()
		ctx, cancel := WithParent(ctx)
		defer cancel()
		err = Serve(ctx, c, Options{Start: startScripted, Log: os.Stderr, Version: "1.2.3"})
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// samples are what jupyter_kernel_test wants to know about a language; here
// that of the scripted runner.
var samples = map[string]any{
	"kernel_name":                  "scripted",
	"language_name":                "go",
	"file_extension":               ".go",
	"code_hello_world":             "print hello, world",
	"code_stderr":                  "warn oh",
	"completion_samples":           []map[string]any{{"text": "Mas", "matches": []string{"Mas"}}, {"text": "µ", "matches": []string{"µ"}}},
	"complete_code_samples":        []string{"print 1", ""},
	"incomplete_code_samples":      []string{"func f() {"},
	"invalid_code_samples":         []string{"}"},
	"code_page_something":          "page about Straps",
	"code_generate_error":          "fail no",
	"code_execute_result":          []map[string]any{{"code": "value 42", "result": "42"}, {"code": "value 7 and more", "result": "7 and more"}},
	"code_display_data":            []map[string]any{{"code": "show", "mime": "image/svg+xml"}},
	"code_history_pattern":         "value ?2*",
	"supported_history_operations": []string{"tail", "range", "search"},
	"code_inspect_sample":          "Straps",
	"code_clear_output":            "clear",
}

// wanted fails where continuous integration promises a program, and skips
// elsewhere.
func wanted(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("TAUTLINE_CI") != "" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// TestConformance runs Debian's jupyter_kernel_test. All of its tests must run.
func TestConformance(t *testing.T) {
	python := "/usr/bin/python3" // Debian's, which has Debian's packages
	if err := exec.Command(python, "-c", "import jupyter_kernel_test").Run(); err != nil {
		wanted(t, "jupyter_kernel_test is not there: on Debian, apt-get install python3-jupyter-kernel-test")
	}
	data := filepath.Join(t.TempDir(), "kernels", "scripted")
	if err := os.MkdirAll(data, 0o755); err != nil {
		t.Fatal(err)
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	spec, _ := json.Marshal(map[string]any{"argv": []string{program, "{connection_file}"}, "display_name": "Scripted",
		"language": "go", "interrupt_mode": "message", "env": map[string]string{asKernel: "1"}})
	if err := os.WriteFile(filepath.Join(data, "kernel.json"), spec, 0o644); err != nil {
		t.Fatal(err)
	}
	all, _ := json.Marshal(samples)
	cmd := exec.Command(python, "testdata/conformance.py")
	cmd.Env = append(os.Environ(), "KERNEL_SAMPLES="+string(all), "JUPYTER_PATH="+filepath.Dir(filepath.Dir(data)),
		"JUPYTER_DATA_DIR="+t.TempDir(), "PYTHONDONTWRITEBYTECODE=1")
	out, err := cmd.CombinedOutput()
	if exit := (*exec.ExitError)(nil); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	out = bytes.TrimSpace(out)
	var ran, skipped, failed int
	last := out[bytes.LastIndexByte(out, '\n')+1:]
	if _, err := fmt.Sscanf(string(last), "ran %d, skipped %d, failed %d", &ran, &skipped, &failed); err != nil || ran < 12 || skipped > 0 || failed > 0 {
		t.Errorf("%s\n%v", out, err)
	}
	if n := strings.Count(string(out), "skipped"); n != 1 {
		t.Errorf("a part of a test was skipped:\n%s", out)
	}
}
