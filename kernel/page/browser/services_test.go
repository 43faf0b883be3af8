package browser_test

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"testing"
	"time"
)

const small = `{"cells":[{"cell_type":"code","execution_count":null,"id":"a","metadata":{},"outputs":[],"source":[]}],"metadata":{},"nbformat":4,"nbformat_minor":5}`

// opened starts the server of a folder and gives address and token for another
// front end.
func opened(t *testing.T, folder string) (address, token string) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	cmd := exec.Command(self, "open", folder, "--no-browser", "--token")
	cmd.Env = append(os.Environ(), "HOME="+home, "XDG_DATA_HOME="+home, "LOCALAPPDATA="+home)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if found := regexp.MustCompile(`(http://[^/]+)/\?token=(\w+)`).FindStringSubmatch(lines.Text()); found != nil {
			go io.Copy(io.Discard, out)
			return found[1], found[2]
		}
	}
	t.Fatal("the server printed no address with a token")
	return
}

// TestServices drives the server with the published client library of Jupyter
// front ends.
func TestServices(t *testing.T) {
	node, _ := needed(t)
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "a.ipynb"), []byte(small), 0o644); err != nil {
		t.Fatal(err)
	}
	address, token := opened(t, folder)
	ctx, cancel := context.WithTimeout(t.Context(), 4*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, node, "services.mjs", address, token)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	var saw map[string]any
	if err := json.Unmarshal(out, &saw); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	want := map[string]any{
		"specs": "tautline Tautline", "folder": "a.ipynb", "saved": "changed", "left": "a.ipynb b.ipynb", "checkpoints": 1.0, "refused": "400",
		"shared": true, "info": "go", "result": "4 N", "count": 1.0, "states": "busy idle", "wrong": "error", "complete": true, "inspect": true,
		"isComplete": "incomplete", "picture": true, "moved": true, "interrupted": "Interrupted", "kept": "3 N", "forgotten": "error", "running": 0.0, "thoughtDead": false,
	}
	if !reflect.DeepEqual(saw, want) {
		t.Errorf("saw  %v\nwant %v", saw, want)
	}
}
