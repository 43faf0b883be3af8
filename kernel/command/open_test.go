package command

import (
	"bufio"
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"
)

// A served is a `tautline open` that runs, with a browser that has a cookie
// jar. A home of its own stands for the user's.
type served struct {
	t        *testing.T
	home     string
	cmd      *exec.Cmd
	out      *bufio.Scanner
	messages strings.Builder
	link     string // with the code
	browser  *http.Client
}

// serve starts the command and waits for the address that it prints.
func serve(t *testing.T, home string, args ...string) *served {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	s := &served{t: t, home: home, browser: &http.Client{Jar: jar, Timeout: 30 * time.Second}}
	s.cmd = exec.Command("tautline", append([]string{"open"}, args...)...)
	s.cmd.Env = append(os.Environ(), "HOME="+home, "USERPROFILE="+home, "XDG_DATA_HOME="+filepath.Join(home, "data"),
		"LOCALAPPDATA="+filepath.Join(home, "data"), "APPDATA="+filepath.Join(home, "data"), "DISPLAY=", "WAYLAND_DISPLAY=")
	s.cmd.Stderr = &s.messages
	out, err := s.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.cmd.Process.Kill(); s.cmd.Wait() })
	s.out = bufio.NewScanner(out)
	s.link = s.prints(`http://\S+/enter\?code=\w+`)
	return s
}

// prints waits for a line that fits.
func (s *served) prints(pattern string) string {
	s.t.Helper()
	for fits := regexp.MustCompile(pattern); s.out.Scan(); {
		if found := fits.FindString(s.out.Text()); found != "" {
			return found
		}
	}
	s.t.Fatalf("the command did not print %s, but said: %s", pattern, s.messages.String())
	return ""
}

func (s *served) address() string { return s.link[:strings.Index(s.link, "/enter")] }

// ask sends a request with the cookies so far.
func (s *served) ask(method, address, body string) (int, string) {
	s.t.Helper()
	r, err := http.NewRequest(method, address, strings.NewReader(body))
	if err != nil {
		s.t.Fatal(err)
	}
	w, err := s.browser.Do(r)
	if err != nil {
		s.t.Fatal(err)
	}
	defer w.Body.Close()
	data, err := io.ReadAll(w.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	return w.StatusCode, string(data)
}

// stop is Ctrl-C. Where a process cannot send it to another, it is killed.
func (s *served) stop() error {
	if runtime.GOOS == "windows" {
		s.cmd.Process.Kill()
		s.cmd.Wait()
		return nil
	}
	s.cmd.Process.Signal(os.Interrupt)
	ended := make(chan error, 1)
	go func() { ended <- s.cmd.Wait() }()
	select {
	case err := <-ended:
		return err
	case <-time.After(60 * time.Second):
		s.t.Fatal("Ctrl-C does not end the page")
		return nil
	}
}

func folderWith(t *testing.T, name string) string {
	t.Helper()
	dir := t.TempDir()
	notebook := `{"cells":[],"metadata":{},"nbformat":4,"nbformat_minor":5}`
	if err := os.WriteFile(filepath.Join(dir, name), []byte(notebook), 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

// TestOpen goes through the life of a page: entered once, left open, ended,
// started again at the same place.
func TestOpen(t *testing.T) {
	home, dir := t.TempDir(), folderWith(t, "fit.ipynb")
	s := serve(t, home, dir, "--no-browser")
	if code, page := s.ask("GET", s.link, ""); code != 200 || !strings.Contains(page, "<!doctype html>") && !strings.Contains(page, "<!DOCTYPE html>") {
		t.Fatalf("the printed address: %d %.200s", code, page)
	}
	if w, err := http.Get(s.link); err != nil || w.StatusCode != http.StatusUnauthorized {
		t.Errorf("the same address elsewhere: %v %v", w, err)
	}
	if code, list := s.ask("GET", s.address()+"/api/contents", ""); code != 200 || !strings.Contains(list, "fit.ipynb") {
		t.Errorf("the list: %d %s", code, list)
	}
	if code, _ := s.ask("POST", s.address()+"/api/sessions", `{"path":"fit.ipynb"}`); code != 201 {
		t.Errorf("a kernel: %d", code)
	}
	w, err := (&http.Client{Jar: s.browser.Jar}).Get(s.address() + "/tautline/events")
	if err != nil {
		t.Fatal(err)
	}
	defer w.Body.Close()
	heard := make(chan string)
	go func() {
		data, _ := io.ReadAll(w.Body)
		heard <- string(data)
	}()
	if err := s.stop(); err != nil {
		t.Errorf("ended by Ctrl-C: %v: %s", err, s.messages.String())
	}
	if told := <-heard; runtime.GOOS != "windows" && !strings.Contains(told, "event: closing") {
		t.Errorf("an open page was told %q", told)
	}
	again := serve(t, home, dir, "--no-browser")
	again.browser = s.browser
	if again.address() != s.address() || again.link == s.link {
		t.Errorf("started again at %s, before at %s", again.link, s.link)
	}
	if code, _ := again.ask("GET", again.address()+"/api/contents", ""); code != 200 {
		t.Errorf("the page left open is a stranger: %d", code)
	}
}

func TestOpenTheLessonsThatComeWithIt(t *testing.T) {
	home := t.TempDir()
	s := serve(t, home, "--no-browser")
	s.ask("GET", s.link, "")
	kept := filepath.Join(home, "tautline lessons")
	code, lesson := s.ask("GET", s.address()+"/api/contents/03-balance.ipynb", "")
	if _, err := os.Stat(kept); code != 200 || err == nil {
		t.Errorf("looking at a lesson: %d, and its folder: %v", code, err)
	}
	if code, said := s.ask("PUT", s.address()+"/api/contents/03-balance.ipynb", lesson); code != 200 {
		t.Errorf("saving it: %d %s", code, said)
	}
	if all, err := os.ReadDir(kept); err != nil || len(all) != 1 || all[0].Name() != "03-balance.ipynb" {
		t.Errorf("the folder holds %v, %v", all, err)
	}
}

func TestOpenOneNotebook(t *testing.T) {
	s := serve(t, t.TempDir(), filepath.Join(folderWith(t, "fit.ipynb"), "fit.ipynb"), "--no-browser", "--token")
	token := strings.TrimPrefix(s.prints(`token=\w+`), "token=")
	s.ask("GET", s.link, "")
	if _, start := s.ask("GET", s.address()+"/tautline/start", ""); !strings.Contains(start, `"notebook":"fit.ipynb"`) {
		t.Errorf("the page starts with %s", start)
	}
	if strings.Contains(strings.Join(s.cmd.Args, " "), token) {
		t.Error("other users of this computer can see the token")
	}
	if code, _ := (&served{t: t, browser: &http.Client{}}).ask("GET", s.address()+"/api/kernelspecs?token="+token, ""); code != 200 {
		t.Errorf("a program with the token: %d", code)
	}
}

// Listening to others says what that means, and without it no other name of
// this computer leads in.
func TestOpenToOthersSaysWhatItMeans(t *testing.T) {
	s := serve(t, t.TempDir(), folderWith(t, "fit.ipynb"), "--no-browser", "--listen", "127.0.0.1")
	s.ask("GET", s.link, "")
	s.stop()
	if said := s.messages.String(); !strings.Contains(said, "can run cells on this one, and nothing on the way is encrypted") {
		t.Errorf("said: %s", said)
	}
	quiet := serve(t, t.TempDir(), folderWith(t, "fit.ipynb"), "--no-browser")
	quiet.ask("GET", quiet.link, "")
	r, _ := http.NewRequest("GET", quiet.address(), nil)
	r.Host = "192.0.2.1" + quiet.address()[strings.LastIndex(quiet.address(), ":"):]
	if w, err := quiet.browser.Do(r); err != nil || w.StatusCode != http.StatusForbidden {
		t.Errorf("by another name: %v, %v", w, err)
	}
	quiet.stop()
	if strings.Contains(quiet.messages.String(), "encrypted") {
		t.Errorf("said: %s", quiet.messages.String())
	}
}
