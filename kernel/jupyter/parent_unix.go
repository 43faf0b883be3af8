//go:build unix

package jupyter

import (
	"context"
	"errors"
	"os"
	"syscall"
	"time"
)

// watchParent waits for the parent's end: the system then gives this process
// another parent. Where a shell or "go run" stands between, the parent named
// must go on existing too.
func watchParent(ctx context.Context, named uint64, gone func()) {
	parent := os.Getppid()
	between := named != uint64(parent) && exists(int(named))
	tick := time.NewTicker(parentPause)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if os.Getppid() != parent || between && !exists(int(named)) {
			gone()
			return
		}
	}
}

// exists reports whether a process is there, also one of another user.
func exists(pid int) bool { return !errors.Is(syscall.Kill(pid, 0), syscall.ESRCH) }
