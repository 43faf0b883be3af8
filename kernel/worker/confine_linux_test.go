package worker

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// lacking tells what this machine's kernel does not hold; where everything is
// to be tested, nothing may be lacking.
func lacking(t *testing.T, s *Supervisor) string {
	t.Helper()
	lacks := strings.Join(s.Protection().Lacks, "; ")
	if lacks != "" {
		t.Logf("not here: %s", lacks)
	}
	if os.Getenv("TAUTLINE_CI") != "" && (strings.Contains(lacks, "Landlock") || strings.Contains(lacks, "system calls")) {
		t.Errorf("this machine is to hold everything, and lacks %s", lacks)
	}
	return lacks
}

func TestNothingReachesOutside(t *testing.T) {
	folder := t.TempDir()
	outside := t.TempDir()
	for _, file := range []string{filepath.Join(folder, "clinic.csv"), filepath.Join(outside, "other.txt")} {
		if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(filepath.Join(outside, "other.txt"), filepath.Join(folder, "way")); err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	t.Setenv("TAUTLINE_SECRET", "hush")
	s := begin(t, Options{Folder: folder})
	lacks := lacking(t, s)
	expect(t, s, "Attempt(\"read clinic.csv\")", "reached")
	expect(t, s, "Attempt(\"list .\")", "reached")
	tries := map[string][]string{
		"Landlock": {"read /etc/passwd", "read ../../../../etc/passwd", "read way", "list /", "read /proc/self/exe", "read /proc/self/environ",
			"read " + filepath.Join(outside, "other.txt"), "list " + outside, "read /proc/1/environ"},
		"system calls": {"write new.txt", "write clinic.csv", "append clinic.csv", "remove clinic.csv", "rename clinic.csv", "mkdir d",
			"link l", "chmod clinic.csv", "write " + filepath.Join(outside, "new.txt"), "write /tmp/tautline-worker-was-here", "write /dev/shm/x",
			"dial tcp " + l.Addr().String(), "dial udp 127.0.0.1:53", "dial unix /run/x", "dial ip 127.0.0.1", "listen",
			"run /bin/true", "run /proc/self/exe", "signal"},
	}
	for what, all := range tries {
		for _, a := range all {
			if strings.Contains(lacks, what) {
				t.Logf("%s: not held here", a)
				continue
			}
			expect(t, s, fmt.Sprintf("Attempt(%q)", a), "refused")
		}
	}
	got := run(s, "Attempt(\"environment\")")
	if strings.Contains(got, "SECRET") || strings.Contains(got, "PATH") || strings.Contains(got, "HOME") {
		t.Errorf("the environment is %s", got)
	}
	left, _ := os.ReadDir(folder)
	if len(left) != 2 {
		t.Errorf("left behind: %v", left)
	}
}

// Without a folder nothing at all can be read.
func TestNoFolder(t *testing.T) {
	s := begin(t, Options{})
	if strings.Contains(lacking(t, s), "Landlock") {
		return
	}
	expect(t, s, "Attempt(\"list .\")", "refused")
	expect(t, s, "Attempt(\"read worker.go\")", "refused")
}
