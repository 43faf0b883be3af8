package worker

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"strconv"
	"strings"
	"syscall"

	"github.com/landlock-lsm/go-landlock/landlock"
	ll "github.com/landlock-lsm/go-landlock/landlock/syscall"
	"golang.org/x/sys/unix"
)

// canPart tells whether a worker can be started in namespaces of its own.
const canPart = true

// executable names this very binary, even when the file it came from has been
// replaced or deleted since.
func executable() (string, error) {
	const self = "/proc/self/exe"
	if _, err := os.Stat(self); err == nil {
		return self, nil
	}
	return os.Executable()
}

// nobody is the user and group that a worker is to itself in its namespace:
// one without rights.
const nobody = 65534

// setAttributes has a worker end with its supervisor, whatever ends that, and
// gives it a network without a way out.
func setAttributes(cmd *exec.Cmd, apart bool) {
	a := &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	if apart {
		a.Cloneflags = unix.CLONE_NEWUSER | unix.CLONE_NEWNET | unix.CLONE_NEWIPC
		a.UidMappings = []syscall.SysProcIDMap{{ContainerID: nobody, HostID: os.Geteuid(), Size: 1}}
		a.GidMappings = []syscall.SysProcIDMap{{ContainerID: nobody, HostID: os.Getegid(), Size: 1}}
	}
	cmd.SysProcAttr = a
}

// confine shuts the process in before any cell runs. Each part stands on its
// own, so that where the system lacks one the others hold.
func confine(s startup) Protection {
	var p Protection
	p.note("memory at most "+size(s.Memory), limits(s))
	p.note("no file can be read outside the notebook's folder and none written (Landlock)", lockFiles(s.Folder))
	p.note("no network, no other programs, no writing (system calls closed)", closeCalls())
	var err error
	if !s.Namespaces {
		err = errors.New("this system does not let ordinary users make one")
	}
	p.note("a network of its own without a way out (namespace)", err)
	p.note("ends with the process that started it", nil)
	return p
}

// limits sets what the kernel counts. The limit of memory leaves room above
// the one at which a cell is stopped, and for what the process holds already.
func limits(s startup) error {
	signal.Ignore(syscall.SIGXFSZ) // a write that is too long fails, and ends nothing
	var failed error
	for _, l := range []struct {
		which int
		bytes uint64
	}{
		{unix.RLIMIT_CORE, 0},
		{unix.RLIMIT_FSIZE, 0},
		{unix.RLIMIT_NOFILE, 256},
		{unix.RLIMIT_DATA, uint64(dataSize() + hardLimit(s.Memory))},
	} {
		var have unix.Rlimit
		if err := unix.Getrlimit(l.which, &have); err != nil {
			failed = err
			continue
		}
		bytes := min(l.bytes, have.Max)
		if err := unix.Setrlimit(l.which, &unix.Rlimit{Cur: bytes, Max: bytes}); err != nil {
			failed = err
		}
	}
	return failed
}

// dataSize is what the kernel counts as the process's data now, in bytes.
func dataSize() int64 {
	text, _ := os.ReadFile("/proc/self/status")
	for line := range strings.Lines(string(text)) {
		if rest, ok := strings.CutPrefix(line, "VmData:"); ok {
			kB, _ := strconv.ParseInt(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 10, 64)
			return kB << 10
		}
	}
	return 256 << 20
}

// lockFiles lets the process read the notebook's folder and nothing else, as
// far as this kernel's Landlock goes.
func lockFiles(folder string) error {
	abi, err := ll.LandlockGetABIVersion()
	if err != nil || abi < 1 {
		return errors.New("this kernel has no Landlock")
	}
	var rules []landlock.Rule
	if folder != "" {
		const read = landlock.AccessFSSet(ll.AccessFSReadFile | ll.AccessFSReadDir)
		rules = append(rules, landlock.PathAccess(read, folder).IgnoreIfMissing())
	}
	if err := landlock.V11.BestEffort().Restrict(rules...); err != nil {
		return fmt.Errorf("version %d of it refused: %w", abi, err)
	}
	return nil
}
