//go:build !linux

package worker

import (
	"errors"
	"os"
	"os/exec"
)

// canPart tells whether a worker can be started in namespaces of its own.
const canPart = false

func executable() (string, error) { return os.Executable() }

func setAttributes(*exec.Cmd, bool) {}

// confine has nothing to shut the process in with on this system. The list of
// what cells can name holds, and so do the limits.
func confine(s startup) Protection {
	p := Protection{Holds: []string{"memory looked at while a cell runs (" + size(s.Memory) + ")",
		"ends with the process that started it"}}
	none := errors.New("this system has no way that needs no rights")
	p.note("files, network and programs closed by the system too", none)
	return p
}
