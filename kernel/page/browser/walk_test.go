package browser_test

import (
	"bufio"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tautline/kernel/command"
	"tautline/kernel/worker"
)

// The test binary is the server that the walks start, stop and kill, the worker
// of its kernels, and what makes a page of a notebook.
func TestMain(m *testing.M) {
	worker.ServeIfAsked()
	if len(os.Args) > 1 && (os.Args[1] == "open" || os.Args[1] == "run") {
		os.Exit(command.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

// needed finds what the walks run with, or skips; in CI nothing may be missing.
func needed(t *testing.T) (node, chromium string) {
	t.Helper()
	var missing []string
	find := func(names ...string) string {
		for _, name := range names {
			if path, err := exec.LookPath(name); err == nil {
				return path
			}
		}
		missing = append(missing, names[0])
		return ""
	}
	node, chromium = find("node"), find("chromium", "chromium-browser", "google-chrome")
	if _, err := os.Stat(filepath.Join("node_modules", "playwright-core")); err != nil {
		missing = append(missing, "the packages of kernel/page/browser (npm ci --ignore-scripts there)")
	}
	if len(missing) == 0 {
		return node, chromium
	}
	text := "the page is not walked through here: missing " + strings.Join(missing, ", ")
	if os.Getenv("TAUTLINE_CI") != "" {
		t.Fatal(text)
	}
	t.Skip(text)
	return
}

// TestWalks does in a browser what a person does in a lesson, one walk per
// task. WALK_PICTURES names the folder for pictures of walks that failed,
// WALK names a part of the names of the walks to take.
func TestWalks(t *testing.T) {
	node, chromium := needed(t)
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	pictures := os.Getenv("WALK_PICTURES")
	if pictures == "" {
		pictures = t.TempDir()
	}
	ctx, cancel := context.WithTimeout(t.Context(), 8*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, node, "walks.mjs", self, chromium, pictures, os.Getenv("WALK"))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	taken := 0
	for lines := bufio.NewScanner(out); lines.Scan(); taken++ {
		report(t, lines.Bytes())
	}
	if err := cmd.Wait(); err != nil || taken == 0 {
		t.Errorf("the walks ended after %d: %v", taken, err)
	}
}

// report makes a test of one walk, as it comes.
func report(t *testing.T, line []byte) {
	var walk struct {
		Name, Failed string
		Seconds      float64
	}
	if err := json.Unmarshal(line, &walk); err != nil {
		t.Fatalf("%v\n%s", err, line)
	}
	t.Run(walk.Name, func(t *testing.T) {
		t.Logf("%.1f s", walk.Seconds)
		if walk.Failed != "" {
			t.Error(walk.Failed)
		}
	})
}
