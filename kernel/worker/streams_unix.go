//go:build unix

package worker

import (
	"os"

	"golang.org/x/sys/unix"
)

// takeStreams moves the pipe to the supervisor out of the way of everything
// that thinks it knows standard input and output: what is written there from
// now on comes out of the error stream, and there is nothing to read.
func takeStreams() (in, out *os.File, err error) {
	from, err := unix.FcntlInt(0, unix.F_DUPFD_CLOEXEC, 3)
	if err != nil {
		return nil, nil, err
	}
	to, err := unix.FcntlInt(1, unix.F_DUPFD_CLOEXEC, 3)
	if err != nil {
		return nil, nil, err
	}
	null, err := os.Open(os.DevNull)
	if err != nil {
		return nil, nil, err
	}
	defer null.Close()
	if err := unix.Dup2(int(null.Fd()), 0); err != nil {
		return nil, nil, err
	}
	if err := unix.Dup2(2, 1); err != nil {
		return nil, nil, err
	}
	return os.NewFile(uintptr(from), "supervisor"), os.NewFile(uintptr(to), "supervisor"), nil
}
