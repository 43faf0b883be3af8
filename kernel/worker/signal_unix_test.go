//go:build !windows

package worker

import (
	"os"
	"syscall"
)

// signalParent asks whether the process that started this one could be
// signalled.
func signalParent() error { return syscall.Kill(os.Getppid(), 0) }
