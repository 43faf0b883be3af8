package worker

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"tautline/kernel/engine"
)

// TestMain lets a supervisor start this test binary as its worker.
func TestMain(m *testing.M) {
	ServeIfAsked()
	if os.Getenv(asParent) != "" {
		parent()
	}
	os.Exit(m.Run())
}

// asParent makes the test binary a program with a worker, to be killed.
const asParent = "TAUTLINE_TEST_PARENT"

func parent() {
	s, err := Start(context.Background(), Options{})
	if err != nil {
		os.Exit(1)
	}
	go func() {
		time.Sleep(20 * time.Second)
		os.Exit(1)
	}()
	h := newHeard()
	go func() {
		<-h.first
		fmt.Println(s.worker.cmd.Process.Pid)
	}()
	s.Execute(context.Background(), Request{Code: "print(1)\nfor {}"}, h)
}

// heard keeps what a cell shows.
type heard struct {
	mu      sync.Mutex
	streams map[string]string
	order   []string
	results []Bundle
	shown   []string
	comms   []Comm
	pieces  int
	first   chan struct{}
	once    sync.Once
}

func newHeard() *heard { return &heard{streams: map[string]string{}, first: make(chan struct{})} }

func (h *heard) note(what string, f func()) {
	h.mu.Lock()
	defer h.mu.Unlock()
	f()
	h.order = append(h.order, what)
	h.once.Do(func() { close(h.first) })
}

func (h *heard) Stream(name, text string) {
	h.note(name, func() { h.streams[name] += text; h.pieces++ })
}
func (h *heard) Result(b Bundle) { h.note("result", func() { h.results = append(h.results, b) }) }
func (h *heard) Display(b Bundle, id string, update bool) {
	h.note("display", func() { h.shown = append(h.shown, fmt.Sprint(b.Data["text/plain"])) })
}
func (h *heard) Clear(wait bool) { h.note("clear", func() {}) }
func (h *heard) Comm(m Comm)     { h.note("comm", func() { h.comms = append(h.comms, m) }) }

// text is the result as text, or what was printed.
func (h *heard) text() string {
	if len(h.results) > 0 {
		return fmt.Sprint(h.results[len(h.results)-1].Data["text/plain"])
	}
	return h.streams["stdout"]
}

func begin(t *testing.T, o Options) *Supervisor {
	t.Helper()
	s, err := Start(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// run runs a cell and gives its result or its error as text.
func run(s *Supervisor, code string) string {
	h := newHeard()
	o := s.Execute(context.Background(), Request{Code: code, Count: 1}, h)
	if o.Err != nil {
		return "error: " + o.Err.Value
	}
	return h.text()
}

func expect(t *testing.T, s *Supervisor, code, want string) {
	t.Helper()
	if got := run(s, code); !strings.Contains(got, want) || want == "" && got != "" {
		t.Errorf("%s gives %q, want %q", code, got, want)
	}
}

// stopped runs a cell, stops it once it shows something, and gives its outcome.
func stopped(s *Supervisor, code string) Outcome {
	h := newHeard()
	reply := make(chan Outcome, 1)
	go func() { reply <- s.Execute(context.Background(), Request{Code: code}, h) }()
	select {
	case <-h.first:
	case <-time.After(20 * time.Second):
	}
	s.Interrupt()
	return <-reply
}

func TestACellShowsItself(t *testing.T) {
	s := begin(t, Options{})
	h := newHeard()
	o := s.Execute(context.Background(), Request{Code: "import \"fmt\"\nfmt.Println(\"p\")\nShow(3*N)\nfmt.Print(\"q\")\n1 + 1",
		Expressions: map[string]string{"a": "2*N", "b": "nothing"}}, h)
	if o.Err != nil || o.Lost != "" {
		t.Fatalf("%+v", o)
	}
	if got := strings.Join(h.order, " "); got != "stdout display stdout result" {
		t.Errorf("in the order %s", got)
	}
	if h.streams["stdout"] != "p\nq" || h.text() != "2" || h.shown[0] != "3 N" {
		t.Errorf("%q, %q, %q", h.streams, h.text(), h.shown)
	}
	a, b := o.Expressions["a"].(map[string]any), o.Expressions["b"].(map[string]any)
	if a["status"] != "ok" || a["data"].(map[string]any)["text/plain"] != "2 N" || b["status"] != "error" {
		t.Errorf("expressions: %v", o.Expressions)
	}
	if f := failing(s); f.Line != 2 || f.Name != "RuntimeError" || len(f.Traceback) != 3 || f.Traceback[0] != "Cell 7, line 2:" {
		t.Errorf("%+v", f)
	}
	h = newHeard()
	if o := s.Execute(context.Background(), Request{Code: "5", Silent: true}, h); o.Err != nil || len(h.order) > 0 {
		t.Errorf("silently: %v, %v", o.Err, h.order)
	}
}

// failing runs a cell whose second line asks for a mask that is not there.
func failing(s *Supervisor) Failure {
	o := s.Execute(context.Background(), Request{Code: "x := 1\nMask(\"nasle\", \"medium\")", Count: 7}, newHeard())
	if o.Err == nil {
		return Failure{}
	}
	return *o.Err
}

// The cells' values outlive an interrupt, whatever the cell was doing.
func TestInterruptKeepsVariables(t *testing.T) {
	s := begin(t, Options{})
	expect(t, s, "import (\"fmt\"; \"time\"; \"sort\")\nkept := 4\n"+
		"func fib(n int) int { if n < 2 { return n }; return fib(n-1) + fib(n-2) }\n"+
		"fit := PutOn(Mask(\"nasal\", \"medium\"), Face(\"average\"), Straps(3*N))\n_ = sort.IsSorted\n_ = time.Second", "")
	pid := s.worker.cmd.Process.Pid
	for name, code := range map[string]string{
		"loop":      "fmt.Println(1)\nfor {}",
		"sleep":     "fmt.Println(1)\ntime.Sleep(time.Hour)",
		"recursion": "fmt.Println(1)\nfib(70)",
		"flood":     "for { fmt.Println(\"flood\") }",
		"letters":   "for { fmt.Print(\"x\") }",
		"callback":  "fmt.Println(1)\nsort.Slice([]int{2, 1}, func(i, j int) bool { for {} })",
		"recover":   "fmt.Println(1)\nfor { func() { defer func() { recover() }(); for {} }() }",
		"model":     "fmt.Println(1)\nfor { fit.AcrossStraps(1*N, 8*N, 12*CmH2O, Limit(24*LPerMin), Line(70*MmHg)) }",
		"compare":   "fmt.Println(1)\nfor { Compare(fit, fit) }",
		"pressures": "fmt.Println(1)\nfor { fit.AcrossPressures(4*CmH2O, 20*CmH2O) }",
	} {
		o := stopped(s, code)
		if o.Err == nil || o.Err.Name != "Interrupted" || o.Lost != "" {
			t.Fatalf("%s: %+v %+v", name, o.Err, o)
		}
		expect(t, s, "kept", "4")
	}
	if s.worker.cmd.Process.Pid != pid {
		t.Error("the worker is another")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	if o := s.Execute(ctx, Request{Code: "for {}"}, newHeard()); o.Err == nil || !strings.Contains(o.Err.Value, "took too long") {
		t.Errorf("%+v", o.Err)
	}
	s.Interrupt() // while nothing runs: nothing happens
	expect(t, s, "kept", "4")
}

// What no interrupt reaches is ended after the grace time, and said.
func TestGraceEnds(t *testing.T) {
	s := begin(t, Options{Grace: 300 * time.Millisecond})
	expect(t, s, "import (\"fmt\"; \"strings\")\nlong := strings.Repeat(\"a\", 100000)", "")
	o := stopped(s, "fmt.Println(1)\nstrings.Map(func(r rune) rune { return r }, \"\")\nfor i := 0; i < 1000; i++ { strings.Count(strings.Repeat(\"ab\", 300<<20), \"ba\") }")
	if o.Err == nil {
		t.Fatal("it ended")
	}
	if o.Lost != "" && !strings.Contains(o.Lost, "did not stop within 0.3 s") {
		t.Errorf("%s", o.Lost)
	}
	expect(t, s, "1 + 1", "2")
}

// A cell that was stopped before its worker took it, or while the worker had
// yet to start, is stopped all the same, and the next one runs.
func TestStoppedBeforeItBegan(t *testing.T) {
	s := begin(t, Options{})
	gone, stop := context.WithCancel(context.Background())
	stop()
	for _, dead := range []bool{false, true} {
		if dead {
			s.drop()
		}
		o := s.Execute(gone, Request{Code: "for {\n}"}, newHeard())
		if o.Err == nil || o.Err.Name != engine.Stopped.String() {
			t.Errorf("dead %t: %+v", dead, o.Err)
		}
		expect(t, s, "1 + 1", "2")
	}
}

// A cell that kills its process costs one sentence; Again brings back what was.
func TestDeaths(t *testing.T) {
	s := begin(t, Options{Memory: 300 << 20, Grace: time.Second})
	expect(t, s, "import \"strings\"\nn := 40", "")
	expect(t, s, "n = n + 2", "")
	expect(t, s, "nothing", "error")
	earlier := 2
	for name, c := range map[string]struct{ code, want string }{
		"memory in one go": {"strings.Repeat(\"x\", 1<<36)", "more memory than the 300 MB"},
		"a huge list":      {"make([]int, 1<<36)", "more memory than the 300 MB"},
		"a value inside itself": {"v := []any{nil}\nv[0] = v\nimport \"fmt\"\nfmt.Sprint(v)",
			"too deep"},
	} {
		got := run(s, c.code)
		if strings.HasPrefix(got, "error") && strings.Contains(got, c.want) {
			if !strings.Contains(got, fmt.Sprintf("those %d again", earlier)) {
				t.Errorf("%s: %s", name, got)
			}
		} else {
			t.Errorf("%s: %s", name, got)
		}
		expect(t, s, "Again()", fmt.Sprintf("The earlier cells ran again: %d of %[1]d", earlier))
		expect(t, s, "n", "42")
		earlier++
	}
	if n := strings.Count(fmt.Sprint(s.past), "n = n + 2"); n != 1 {
		t.Errorf("kept %d times", n)
	}
	expect(t, s, "Again()", "nothing to run again")
	expect(t, s, "x := 1\nAgain()", "stands alone")
}

// Memory that grows step by step stops the cell and keeps the worker.
func TestMemoryGrows(t *testing.T) {
	s := begin(t, Options{Memory: 200 << 20})
	expect(t, s, "kept := 4", "")
	pid := s.worker.cmd.Process.Pid
	expect(t, s, "func() { var all [][]byte; for { all = append(all, make([]byte, 1<<16)) } }()", "more than the 200 MB of memory")
	expect(t, s, "kept", "4")
	if s.worker.cmd.Process.Pid != pid {
		t.Error("the worker is another")
	}
}

func TestKilledFromOutside(t *testing.T) {
	s := begin(t, Options{})
	expect(t, s, "n := 42", "")
	h, reply := newHeard(), make(chan Outcome, 1)
	go func() {
		reply <- s.Execute(context.Background(), Request{Code: "import \"fmt\"\nfmt.Println(1)\nfor {}"}, h)
	}()
	<-h.first
	s.worker.cmd.Process.Kill()
	if o := <-reply; o.Err == nil || !strings.Contains(o.Lost, "ended from outside") || !strings.Contains(o.Lost, "Again()") {
		t.Errorf("%+v", o)
	}
	expect(t, s, "Again()", "1 of 1")
	expect(t, s, "n", "42")
	p := s.worker
	p.cmd.Process.Kill()
	<-p.gone
	h = newHeard()
	o := s.Execute(context.Background(), Request{Code: "1 + 1"}, h)
	// The cell that comes next is not to blame: told beside it, once.
	if o.Err != nil || o.Lost != "" || strings.Count(h.streams["stderr"], "ended from outside") != 1 || h.text() != "2" {
		t.Errorf("%+v, %v", o, h.streams)
	}
	if err := s.Restart(context.Background()); err != nil {
		t.Fatal(err)
	}
	expect(t, s, "n", "not known")
	expect(t, s, "Again()", "nothing to run again")
}

func TestOutputLimit(t *testing.T) {
	s := begin(t, Options{OutputLimit: 100 << 10})
	expect(t, s, "import (\"fmt\"; \"strings\")\n_ = fmt.Sprint(strings.ToUpper(\"\"))", "")
	h := newHeard()
	if o := s.Execute(context.Background(), Request{Code: "for i := 0; i < 200000; i++ { fmt.Print(\"é\") }\n7"}, h); o.Err != nil {
		t.Fatal(o.Err)
	}
	out := h.streams["stdout"]
	if len(out) > 101<<10 || strings.Count(out, "the rest is left out") != 1 || strings.Contains(out, "\uFFFD") {
		t.Errorf("%d bytes, ending %q", len(out), out[len(out)-100:])
	}
	if h.pieces > 500 {
		t.Errorf("%d messages for one cell", h.pieces)
	}
	// What is shown counts too.
	expect(t, s, "strings.Repeat(\"x\", 200<<10)", "a cell shows at most 100 kB; the rest is left out")
	expect(t, s, "1 + 1", "2")
}

// A worker goes when the one who asks is gone, in the midst of a cell too.
func TestNoOrphan(t *testing.T) {
	s := begin(t, Options{})
	h := newHeard()
	go s.Execute(context.Background(), Request{Code: "import \"fmt\"\nfmt.Println(1)\nfor {}"}, h)
	<-h.first
	p := s.worker
	p.in.Close() // as the system does when a process ends
	select {
	case <-p.exited:
	case <-time.After(10 * time.Second):
		t.Error("the worker goes on alone")
		p.cmd.Process.Kill()
	}
}

// Nothing is left behind when the program itself is killed.
func TestNoOrphanOfAKilledParent(t *testing.T) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), asParent+"=1")
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var pid int
	if _, err := fmt.Fscan(out, &pid); err != nil {
		t.Fatal(err)
	}
	cmd.Process.Kill()
	cmd.Wait()
	worker, err := os.FindProcess(pid)
	if err != nil {
		return // it is gone already
	}
	for range 200 {
		stat, _ := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
		ended := strings.Contains(string(stat), ") Z ") // and not yet buried
		if runtime.GOOS == "windows" || ended || worker.Signal(syscall.Signal(0)) != nil {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	worker.Kill()
	t.Error("the worker goes on alone")
}

func TestClosed(t *testing.T) {
	s := begin(t, Options{})
	p := s.worker
	h := newHeard()
	reply := make(chan Outcome, 1)
	go func() {
		reply <- s.Execute(context.Background(), Request{Code: "import \"fmt\"\nfmt.Println(1)\nfor {}"}, h)
	}()
	<-h.first
	s.Close()
	if o := <-reply; o.Err == nil {
		t.Error("the cell ended well")
	}
	<-p.exited
	if o := s.Execute(context.Background(), Request{Code: "1"}, newHeard()); o.Err == nil || !strings.Contains(o.Err.Value, "ended") {
		t.Errorf("%+v", o)
	}
	if _, err := s.Complete(context.Background(), "f", 1); err == nil {
		t.Error("completion by a closed one")
	}
}

func TestAssist(t *testing.T) {
	s := begin(t, Options{})
	for code, want := range map[string]string{"1 + 1": "complete", "for {": "incomplete", ")": "invalid"} {
		if got, err := s.IsComplete(context.Background(), code); err != nil || got.Status != want {
			t.Errorf("%q is %v, %v", code, got, err)
		}
	}
	for _, cursor := range []int{-1, 0, 3, 99} {
		if c, err := s.Complete(context.Background(), "µé", cursor); err != nil || c.Start < 0 || c.End > 2 {
			t.Errorf("at %d: %v, %v", cursor, c, err)
		}
	}
}

// A comm that nobody knows is closed, and listed no more.
func TestUnknownComm(t *testing.T) {
	s := begin(t, Options{})
	h := newHeard()
	if err := s.Comm(context.Background(), Comm{Kind: "open", ID: "a", Target: "none", Buffers: [][]byte{{1, 2}, nil}}, h); err != nil {
		t.Fatal(err)
	}
	if len(h.comms) != 1 || h.comms[0].Kind != "close" || h.comms[0].ID != "a" || len(s.Comms()) != 0 {
		t.Errorf("%v, %v", h.comms, s.Comms())
	}
}
