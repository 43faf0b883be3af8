package jupyter

import (
	"encoding/json"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// testParent starts a kernel as Jupyter does and waits to be killed.
func testParent(file string) int {
	cmd := exec.Command(os.Args[0], file)
	cmd.Env = append(os.Environ(), asKernel+"=1", asParent+"=", parentName+"="+fmt.Sprint(os.Getpid()))
	if err := cmd.Start(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	time.Sleep(time.Minute)
	return 0
}

func writeConnection(t *testing.T, c Connection) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "connection.json")
	data, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

func listens(c Connection) bool {
	conn, err := net.Dial("tcp", net.JoinHostPort(c.IP, itoa(c.Shell)))
	if err == nil {
		conn.Close()
	}
	return err == nil
}

// A connection may be by files instead of ports.
func TestIPC(t *testing.T) {
	dir, err := os.MkdirTemp("", "k") // a socket's path must be short
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	s := serveKernel(t, Connection{Transport: "ipc", IP: filepath.Join(dir, "s"), Shell: 1, Control: 2, Stdin: 3, IOPub: 4, Heartbeat: 5,
		Key: testKey, Scheme: scheme}, Options{})
	c := connectTo(t, s.c)
	if _, shown := c.run("value 1"); kinds(shown) != "execute_input execute_result" {
		t.Errorf("a cell shows %s", kinds(shown))
	}
	s.stop()
	s.wait(t)
	if left, _ := os.ReadDir(dir); len(left) > 0 {
		t.Errorf("%v is left", left)
	}
}

func TestReadConnection(t *testing.T) {
	want := freeConnection(t, testKey)
	got, err := ReadConnection(writeConnection(t, want))
	if err != nil || got != want {
		t.Errorf("%+v, %v", got, err)
	}
	want.Shell = 70000
	if _, err := ReadConnection(writeConnection(t, want)); err == nil {
		t.Error("port 70000 is taken")
	}
}
