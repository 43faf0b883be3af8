//go:build amd64 || arm64

package worker

import (
	"fmt"
	"runtime"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A seccomp filter is a small program that the kernel runs before each system
// call. This one refuses those by which a process reaches beyond itself; what
// the Go runtime needs is all allowed. Offsets and values are those of the
// kernel's struct seccomp_data and include/uapi/linux/seccomp.h.
const (
	dataCall, dataArch, dataArgs = 0, 4, 16 // offsets in the data it looks at

	retAllow  = 0x7fff0000
	retRefuse = 0x00050000 // with an error number in the low half
)

// closedCalls fail as if the process had no right to them.
var closedCalls = []uint32{
	// network, also by way of a ring that would make the calls itself
	unix.SYS_SOCKET, unix.SYS_SOCKETPAIR, unix.SYS_CONNECT, unix.SYS_BIND, unix.SYS_LISTEN,
	unix.SYS_ACCEPT, unix.SYS_ACCEPT4, unix.SYS_SENDTO, unix.SYS_SENDMSG, unix.SYS_SENDMMSG,
	unix.SYS_IO_URING_SETUP, unix.SYS_IO_URING_ENTER, unix.SYS_IO_URING_REGISTER,
	// other programs and processes
	unix.SYS_EXECVE, unix.SYS_EXECVEAT, unix.SYS_PTRACE, unix.SYS_PROCESS_VM_READV,
	unix.SYS_PROCESS_VM_WRITEV, unix.SYS_KILL, unix.SYS_TKILL, unix.SYS_PIDFD_SEND_SIGNAL,
	unix.SYS_PIDFD_GETFD, unix.SYS_PIDFD_OPEN, unix.SYS_PRLIMIT64, unix.SYS_SETPRIORITY, unix.SYS_MEMFD_CREATE,
	// changing files
	unix.SYS_UNLINKAT, unix.SYS_RENAMEAT, unix.SYS_RENAMEAT2, unix.SYS_MKDIRAT, unix.SYS_MKNODAT,
	unix.SYS_LINKAT, unix.SYS_SYMLINKAT, unix.SYS_FCHMODAT, unix.SYS_FCHMODAT2, unix.SYS_FCHMOD, unix.SYS_FCHOWNAT,
	unix.SYS_FCHOWN, unix.SYS_TRUNCATE, unix.SYS_FTRUNCATE, unix.SYS_UTIMENSAT, unix.SYS_SETXATTR,
	unix.SYS_LSETXATTR, unix.SYS_FSETXATTR, unix.SYS_FALLOCATE,
	unix.SYS_NAME_TO_HANDLE_AT, unix.SYS_OPEN_BY_HANDLE_AT,
	// the system itself
	unix.SYS_MOUNT, unix.SYS_UMOUNT2, unix.SYS_PIVOT_ROOT, unix.SYS_CHROOT, unix.SYS_UNSHARE, unix.SYS_SETNS,
	unix.SYS_BPF, unix.SYS_PERF_EVENT_OPEN, unix.SYS_KEYCTL, unix.SYS_ADD_KEY, unix.SYS_REQUEST_KEY,
	unix.SYS_USERFAULTFD, unix.SYS_INIT_MODULE, unix.SYS_FINIT_MODULE, unix.SYS_KEXEC_LOAD, unix.SYS_REBOOT,
	unix.SYS_SHMGET, unix.SYS_MSGGET, unix.SYS_SEMGET,
}

// unknownCalls hide from a filter what they are asked to do. They fail as if
// the kernel did not know them, so that callers take the older ones.
var unknownCalls = []uint32{unix.SYS_CLONE3, unix.SYS_OPENAT2}

// writing are the flags with which a file is opened for more than reading.
const writing = unix.O_WRONLY | unix.O_RDWR | unix.O_CREAT | unix.O_TRUNC | unix.O_APPEND | unix.O_TMPFILE&^unix.O_DIRECTORY

// closeCalls puts the filter over every thread of the process, for good.
func closeCalls() error {
	program := filter()
	p := unix.SockFprog{Len: uint16(len(program)), Filter: &program[0]}
	runtime.LockOSThread() // the first call counts for the thread that makes the second
	defer runtime.UnlockOSThread()
	if err := unix.Prctl(unix.PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0); err != nil {
		return err
	}
	r, _, e := unix.Syscall(unix.SYS_SECCOMP, unix.SECCOMP_SET_MODE_FILTER,
		unix.SECCOMP_FILTER_FLAG_TSYNC, uintptr(unsafe.Pointer(&p)))
	if e != 0 {
		return e
	}
	if r != 0 {
		return fmt.Errorf("thread %d could not be shut in", r)
	}
	return nil
}

func filter() []unix.SockFilter {
	const (
		load  = unix.BPF_LD | unix.BPF_W | unix.BPF_ABS
		equal = unix.BPF_JMP | unix.BPF_JEQ | unix.BPF_K
		above = unix.BPF_JMP | unix.BPF_JGE | unix.BPF_K
		bits  = unix.BPF_JMP | unix.BPF_JSET | unix.BPF_K
		give  = unix.BPF_RET | unix.BPF_K
	)
	allow := unix.SockFilter{Code: give, K: retAllow}
	refuse := unix.SockFilter{Code: give, K: retRefuse | uint32(unix.EACCES)}
	absent := unix.SockFilter{Code: give, K: retRefuse | uint32(unix.ENOSYS)}
	program := []unix.SockFilter{
		// Calls of another kind of processor's numbering are all refused.
		{Code: load, K: dataArch},
		{Code: equal, K: arch, Jt: 1},
		refuse,
		{Code: load, K: dataCall},
		{Code: above, K: foreign, Jf: 1},
		refuse,
	}
	for _, n := range append(closedCalls, olderCalls...) {
		program = append(program, unix.SockFilter{Code: equal, K: n, Jf: 1}, refuse)
	}
	unknown := unix.SockFilter{Code: give, K: retRefuse | uint32(unix.ENOSYS)}
	for _, n := range unknownCalls {
		program = append(program, unix.SockFilter{Code: equal, K: n, Jf: 1}, unknown)
	}
	// Threads are made, processes are not; files are opened to be read. clone3
	// hides its flags from a filter; the C library, by which threads are made in
	// a binary built with cgo, takes clone where clone3 seems not to exist, and
	// gives up where it is refused.
	return append(program,
		unix.SockFilter{Code: equal, K: unix.SYS_CLONE3, Jf: 1},
		absent,
		unix.SockFilter{Code: equal, K: unix.SYS_CLONE, Jf: 4},
		unix.SockFilter{Code: load, K: dataArgs},
		unix.SockFilter{Code: bits, K: unix.CLONE_THREAD, Jt: 1},
		refuse,
		allow,
		unix.SockFilter{Code: equal, K: unix.SYS_OPENAT, Jf: 3},
		unix.SockFilter{Code: load, K: dataArgs + 2*8},
		unix.SockFilter{Code: bits, K: writing, Jf: 1},
		refuse,
		allow)
}
