package worker

import "golang.org/x/sys/unix"

const (
	arch    = unix.AUDIT_ARCH_X86_64
	foreign = 0x40000000 // calls of the x32 kind have this bit set
)

// olderCalls are those that newer kinds of processors have no more.
var olderCalls = []uint32{
	unix.SYS_OPEN, unix.SYS_CREAT, unix.SYS_UNLINK, unix.SYS_RENAME, unix.SYS_MKDIR, unix.SYS_RMDIR,
	unix.SYS_MKNOD, unix.SYS_LINK, unix.SYS_SYMLINK, unix.SYS_CHMOD, unix.SYS_CHOWN, unix.SYS_LCHOWN,
	unix.SYS_FORK, unix.SYS_VFORK, unix.SYS_UTIME, unix.SYS_UTIMES, unix.SYS_FUTIMESAT,
}
