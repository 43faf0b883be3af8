package shelf

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

// open makes a shelf with one notebook on it, beside a secret outside of it.
func open(t *testing.T) (*Shelf, string) {
	t.Helper()
	outside := t.TempDir()
	dir := filepath.Join(outside, "lessons")
	write(t, filepath.Join(outside, "secret.txt"), "secret")
	write(t, filepath.Join(dir, "a.ipynb"), "one")
	write(t, filepath.Join(dir, "more", "b.csv"), "x")
	write(t, filepath.Join(dir, ".hidden.txt"), "x")
	write(t, filepath.Join(dir, "run.exe"), "x")
	s, err := Open(dir, filepath.Join(outside, "own"), nil)
	if err != nil {
		t.Fatal(err)
	}
	return s, dir
}

func write(t *testing.T, name, text string) {
	t.Helper()
	os.MkdirAll(filepath.Dir(name), 0o755)
	if err := os.WriteFile(name, []byte(text), 0o640); err != nil {
		t.Fatal(err)
	}
}

func reason(t *testing.T, err error, want Reason, what string) {
	t.Helper()
	e := (*Error)(nil)
	if !errors.As(err, &e) || e.Reason != want {
		t.Errorf("%s: %v, want reason %d", what, err, want)
	}
}

func names(list []Entry) string {
	var all []string
	for _, e := range list {
		all = append(all, e.Name)
	}
	return strings.Join(all, " ")
}

func TestList(t *testing.T) {
	s, _ := open(t)
	list, err := s.List("")
	if err != nil || names(list) != "more a.ipynb" {
		t.Errorf("list %q, %v", names(list), err)
	}
	if list, err = s.List("more"); err != nil || names(list) != "b.csv" || list[0].Path != "more/b.csv" {
		t.Errorf("list %v, %v", list, err)
	}
	_, err = s.List("nowhere")
	reason(t, err, Missing, "a folder that is not there")
}

// Whatever is asked, nothing outside the folder is read or written.
func TestNoPathLeadsOut(t *testing.T) {
	s, dir := open(t)
	paths := []string{"../secret.txt", "more/../../secret.txt", "/../secret.txt", "..\\secret.txt", "./a.ipynb", "more//b.csv",
		filepath.Join(dir, "..", "secret.txt"), "C:\\secret.txt", "C:secret.txt", "\\\\host\\share\\x.txt", "a.ipynb\x00.txt",
		".hidden.txt", "more/.hidden.txt", "con.txt", "NUL.ipynb", "com1.csv", "lpt9.x.txt", "aux .txt", "a.ipynb.", "a .txt ", "b\n.txt",
		"a.ipynb:stream.txt", "run.exe", "more/run.exe", "", strings.Repeat("a", 300) + ".txt", strings.Repeat("a/", 600) + "b.txt", "\xff.txt"}
	for _, p := range paths {
		if _, err := s.Read(p); err == nil {
			t.Errorf("reads %q", p)
		}
		if _, err := s.Save(p, []byte("x"), Anything); err == nil {
			t.Errorf("writes %q", p)
		}
		if _, err := s.Rename("a.ipynb", p); err == nil {
			t.Errorf("renames to %q", p)
		}
		if _, err := s.Delete(p); err == nil {
			t.Errorf("deletes %q", p)
		}
	}
	if b, _ := os.ReadFile(filepath.Join(dir, "..", "secret.txt")); string(b) != "secret" {
		t.Error("the secret was changed")
	}
}

func TestNoLinkLeadsOut(t *testing.T) {
	if runtime.GOOS == "windows" {
		return // links need a right there that tests do not have
	}
	s, dir := open(t)
	os.Symlink("../secret.txt", filepath.Join(dir, "link.txt"))
	os.Symlink("..", filepath.Join(dir, "up"))
	os.Symlink("a.ipynb", filepath.Join(dir, "near.ipynb"))
	for _, p := range []string{"link.txt", "up/secret.txt"} {
		_, err := s.Read(p)
		reason(t, err, Refused, "reading "+p)
		if _, err := s.Save(p, []byte("x"), Anything); err == nil {
			t.Errorf("writes %s", p)
		}
	}
	_, err := s.Save("near.ipynb", []byte("x"), Anything)
	reason(t, err, Refused, "writing through a link")
	if f, err := s.Read("near.ipynb"); err != nil || string(f.Data) != "one" {
		t.Errorf("a link inside the folder: %v", err)
	}
	if list, _ := s.List(""); strings.Contains(names(list), "up") || strings.Contains(names(list), "link") {
		t.Errorf("the list shows ways out: %s", names(list))
	}
}

func TestSaveNeverOverwritesAnothersChange(t *testing.T) {
	s, dir := open(t)
	f, err := s.Read("a.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	mine, err := s.Save("a.ipynb", []byte("two"), f.Hash)
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "a.ipynb"), "theirs")
	_, err = s.Save("a.ipynb", []byte("three"), mine.Hash)
	reason(t, err, Conflict, "saving over another's change")
	if b, _ := os.ReadFile(filepath.Join(dir, "a.ipynb")); string(b) != "theirs" {
		t.Errorf("the file holds %q", b)
	}
	if _, err = s.Save("a.ipynb", []byte("three"), Anything); err != nil {
		t.Error(err)
	}
	os.Remove(filepath.Join(dir, "a.ipynb"))
	_, err = s.Save("a.ipynb", []byte("four"), mine.Hash)
	reason(t, err, Conflict, "saving what was deleted")
	_, err = s.Save("more/b.csv", []byte("four"), New)
	reason(t, err, Exists, "saving as new")
	if left, _ := filepath.Glob(filepath.Join(dir, ".tautline-*")); left != nil {
		t.Errorf("left behind: %v", left)
	}
}

// Of many tabs that saw the same content, one saves.
func TestOneOfManyTabsSaves(t *testing.T) {
	s, _ := open(t)
	f, _ := s.Read("a.ipynb")
	var won sync.Map
	var all sync.WaitGroup
	for i := range 20 {
		all.Go(func() {
			if _, err := s.Save("a.ipynb", []byte{byte('a' + i)}, f.Hash); err == nil {
				won.Store(i, true)
			}
		})
	}
	all.Wait()
	n := 0
	won.Range(func(any, any) bool { n++; return true })
	if n != 1 {
		t.Errorf("%d tabs saved", n)
	}
}

func TestPermissionsStay(t *testing.T) {
	if runtime.GOOS == "windows" {
		return
	}
	s, dir := open(t)
	if _, err := s.Save("a.ipynb", []byte("two"), Anything); err != nil {
		t.Fatal(err)
	}
	if info, _ := os.Stat(filepath.Join(dir, "a.ipynb")); info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v", info.Mode())
	}
	os.Chmod(filepath.Join(dir, "a.ipynb"), 0o440)
	_, err := s.Save("a.ipynb", []byte("three"), Anything)
	reason(t, err, Refused, "a write-protected file")
}

func TestAddCopyRename(t *testing.T) {
	s, _ := open(t)
	for _, want := range []string{"untitled.ipynb", "untitled 2.ipynb"} {
		if f, err := s.Add("", "untitled", ".ipynb", []byte("{}")); err != nil || f.Name != want {
			t.Errorf("%s, %v", f.Name, err)
		}
	}
	for _, want := range []string{"more/a copy.ipynb", "more/a copy 2.ipynb"} {
		if f, err := s.Copy("a.ipynb", "more"); err != nil || f.Path != want {
			t.Errorf("%s, %v", f.Path, err)
		}
	}
	s.Draft("a.ipynb", []byte("draft"), "")
	if e, err := s.Rename("a.ipynb", "more/c.ipynb"); err != nil || e.Path != "more/c.ipynb" {
		t.Errorf("%v, %v", e, err)
	}
	if k, ok := s.DraftOf("more/c.ipynb"); !ok || string(k.Data) != "draft" {
		t.Error("the draft did not follow")
	}
	_, err := s.Rename("more/c.ipynb", "untitled.ipynb")
	reason(t, err, Exists, "renaming over a file")
	_, err = s.Rename("more/c.ipynb", "more/c.txt")
	reason(t, err, Odd, "another ending")
	if e, err := s.Rename("more", "less"); err != nil || !e.Folder {
		t.Errorf("%v, %v", e, err)
	}
	if e, err := s.AddFolder("", "less"); err != nil || e.Name != "less 2" {
		t.Errorf("%v, %v", e, err)
	}
}

func TestDeleteAndBringBack(t *testing.T) {
	s, _ := open(t)
	undo, err := s.Delete("a.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Read("a.ipynb"); err == nil {
		t.Error("it is still there")
	}
	s.Save("a.ipynb", []byte("another"), New)
	f, err := s.Undelete(undo)
	if err != nil || f.Path != "a 2.ipynb" || string(f.Data) != "one" {
		t.Errorf("%s %q, %v", f.Path, f.Data, err)
	}
	_, err = s.Undelete(undo)
	reason(t, err, Missing, "bringing back twice")
	for _, odd := range []string{"../../secret", "", "x/y", "."} {
		_, err = s.Undelete(odd)
		reason(t, err, Missing, "bringing back "+odd)
	}
	_, err = s.Delete("more")
	reason(t, err, Refused, "a folder that is not empty")
	_, err = s.Delete("")
	reason(t, err, Refused, "the folder itself")
}

func TestDraftsAndCheckpoints(t *testing.T) {
	s, _ := open(t)
	if err := s.Draft("a.ipynb", []byte("unsaved"), "h"); err != nil {
		t.Fatal(err)
	}
	k, ok := s.DraftOf("a.ipynb")
	if !ok || string(k.Data) != "unsaved" || k.Match != "h" || len(s.Drafts()) != 1 {
		t.Errorf("draft %+v, list %v", k, s.Drafts())
	}
	s.Save("a.ipynb", []byte("unsaved"), Anything)
	if _, ok := s.DraftOf("a.ipynb"); ok {
		t.Error("a draft that says what the file says is none")
	}
	if _, err := s.Checkpoint("a.ipynb"); err != nil {
		t.Fatal(err)
	}
	s.Save("a.ipynb", []byte("later"), Anything)
	if k, ok := s.CheckpointOf("a.ipynb"); !ok || string(k.Data) != "unsaved" {
		t.Errorf("checkpoint %q", k.Data)
	}
	s.DropCheckpoint("a.ipynb")
	if _, ok := s.CheckpointOf("a.ipynb"); ok {
		t.Error("a dropped checkpoint is there")
	}
}

func TestLessonsAreCopiedByTheFirstEdit(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "lessons")
	base := fstest.MapFS{"01-x.ipynb": {Data: []byte("lesson")}, "embed.go": {Data: []byte("x")}}
	s, err := Open(dir, t.TempDir(), base)
	if err != nil {
		t.Fatal(err)
	}
	list, err := s.List("")
	if err != nil || names(list) != "01-x.ipynb" || !list[0].BuiltIn {
		t.Fatalf("%v, %v", list, err)
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("looking has made the folder")
	}
	f, _ := s.Read("01-x.ipynb")
	_, err = s.Delete("01-x.ipynb")
	reason(t, err, Refused, "deleting a lesson")
	if f, err = s.Save("01-x.ipynb", []byte("mine"), f.Hash); err != nil || f.BuiltIn {
		t.Fatalf("%+v, %v", f.Entry, err)
	}
	if _, err = s.Delete("01-x.ipynb"); err != nil {
		t.Error(err)
	}
	if f, err = s.Read("01-x.ipynb"); err != nil || string(f.Data) != "lesson" {
		t.Errorf("after deleting one's copy: %q, %v", f.Data, err)
	}
	if e, err := s.Rename("01-x.ipynb", "my own.ipynb"); err != nil || e.BuiltIn {
		t.Errorf("%+v, %v", e, err)
	}
}

func TestTooLarge(t *testing.T) {
	s, dir := open(t)
	f, _ := os.Create(filepath.Join(dir, "big.csv"))
	f.Truncate(MaxSize + 1)
	f.Close()
	_, err := s.Read("big.csv")
	reason(t, err, TooLarge, "reading")
	_, err = s.Save("a.ipynb", bytes.Repeat([]byte("a"), MaxSize+1), Anything)
	reason(t, err, TooLarge, "saving")
}

// A name that is taken is one that comes back as it is.
func TestCleanNamesStay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.String().Draw(t, "path")
		c, err := clean(p)
		if err != nil {
			return
		}
		again, err := clean(c)
		if err != nil || again != c || strings.Contains(c, "..") && strings.Contains("/"+c+"/", "/../") || strings.HasPrefix(c, "/") {
			t.Fatalf("%q gives %q, then %q, %v", p, c, again, err)
		}
	})
}

// A link that leads out, or nowhere, is not destroyed by a file of its name.
func TestALinkIsNotOverwritten(t *testing.T) {
	if runtime.GOOS == "windows" {
		return // there, links want rights that tests have not
	}
	dir := t.TempDir()
	for _, to := range []string{filepath.Join(t.TempDir(), "none"), filepath.Dir(dir)} {
		link := filepath.Join(dir, "link.csv")
		if err := os.Symlink(to, link); err != nil {
			t.Fatal(err)
		}
		s, err := Open(dir, t.TempDir(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Save("own.csv", nil, Anything); err != nil {
			t.Fatal(err)
		}
		_, saved := s.Save("link.csv", nil, Anything)
		_, renamed := s.Rename("own.csv", "link.csv")
		if got, err := os.Readlink(link); saved == nil || renamed == nil || err != nil || got != to {
			t.Errorf("saved: %v, renamed: %v, the link: %q, %v", saved, renamed, got, err)
		}
		os.Remove(link)
	}
}
