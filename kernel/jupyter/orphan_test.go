//go:build !windows

// On Windows the parent is named by a handle, which this test cannot pass on.

package jupyter

import (
	"os"
	"os/exec"
	"testing"
	"time"
)

// A kernel does not outlive the front end that started it, even one that is
// killed, and not while a cell runs.
func TestNoOrphan(t *testing.T) {
	c := freeConnection(t, testKey)
	parent := exec.Command(os.Args[0], writeConnection(t, c))
	parent.Env = append(os.Environ(), asParent+"=1")
	if err := parent.Start(); err != nil {
		t.Fatal(err)
	}
	front := connectTo(t, c)
	front.send(front.shell, "execute_request", map[string]any{"code": "loop"})
	time.Sleep(2 * parentPause)
	if !listens(c) {
		t.Fatal("the kernel ended while its front end was there")
	}
	parent.Process.Kill()
	parent.Wait()
	settle(func() bool { return !listens(c) })
	if listens(c) {
		t.Error("the kernel outlives its front end")
	}
}
