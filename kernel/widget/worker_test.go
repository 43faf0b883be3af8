package widget_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"tautline/kernel/widget"
	"tautline/kernel/worker"
)

func startCells(t *testing.T, code string) (*worker.Supervisor, *shownPage) {
	t.Helper()
	cells, err := worker.Start(t.Context(), worker.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cells.Close() })
	out := &shownPage{}
	if o := cells.Execute(t.Context(), worker.Request{Code: code}, out); o.Err != nil {
		t.Fatal(o.Err.Value)
	}
	return cells, out
}

func say(t *testing.T, cells worker.Runner, m worker.Comm, data string) *shownPage {
	t.Helper()
	out := &shownPage{}
	m.Data = json.RawMessage(data)
	if err := cells.Comm(t.Context(), m, out); err != nil {
		t.Fatal(err)
	}
	return out
}

func (p *shownPage) kinds() string {
	var all []string
	for _, m := range p.All {
		all = append(all, m.Type)
	}
	return strings.Join(all, " ")
}

// Through the worker's process: controls are comms, only the last of several
// waiting positions is drawn, and a front end can ask for all states.
func TestControlsInAWorker(t *testing.T) {
	cells, out := startCells(t, `Live(Count("n", 0, 9).Start(0), func(n int) any { return n*n })`)
	id := opened(out.All, "IntSliderModel")
	if cells.Comms()[id] != widget.Target || len(cells.Comms()) != strings.Count(out.kinds(), "comm_open") {
		t.Errorf("open: %v", cells.Comms())
	}
	slider := worker.Comm{Kind: "msg", ID: id}
	for i := 1; i < 9; i++ {
		slider.More = true
		if got := say(t, cells, slider, fmt.Sprintf(`{"method":"update","state":{"value":%d}}`, i)).kinds(); got != "comm_msg" {
			t.Errorf("while more waits: %s", got)
		}
	}
	slider.More = false
	last := say(t, cells, slider, `{"method":"update","state":{"value":9}}`)
	if last.kinds() != "comm_msg display" || !strings.Contains(fmt.Sprint(last.All[1].Data), "<pre>81</pre>") || !last.All[1].Update {
		t.Errorf("the last: %+v", last.All)
	}
	control := worker.Comm{Kind: "open", ID: "c1", Target: widget.ControlTarget}
	if got := say(t, cells, control, `{}`).kinds(); got != "" {
		t.Errorf("opening the control comm brings %s", got)
	}
	control.Kind = "msg"
	if got := say(t, cells, control, `{"method":"request_states"}`); got.kinds() != "comm_msg" || !strings.Contains(string(got.All[0].Data.(json.RawMessage)), id) {
		t.Errorf("all states: %+v", got.All)
	}
	if got := say(t, cells, worker.Comm{Kind: "open", ID: "x", Target: "another"}, `{}`).kinds(); got != "comm_close" {
		t.Errorf("a target that nobody knows brings %q", got)
	}
}

// A picture that never comes can be stopped; the worker and all controls live on.
func TestARedrawCanBeStopped(t *testing.T) {
	cells, out := startCells(t, `Live(Count("n", 0, 9).Start(0), func(n int) any { for n == 1 {}; return n })`)
	slider := worker.Comm{Kind: "msg", ID: opened(out.All, "IntSliderModel")}
	stop := time.AfterFunc(100*time.Millisecond, cells.Interrupt)
	defer stop.Stop()
	if got := say(t, cells, slider, `{"method":"update","state":{"value":1}}`); got.kinds() != "comm_msg comm_msg" || !strings.Contains(string(got.All[1].Data.(json.RawMessage)), "With n 1: ") {
		t.Errorf("stopped: %+v", got.All)
	}
	if got := say(t, cells, slider, `{"method":"update","state":{"value":2}}`).kinds(); !strings.HasSuffix(got, "display") {
		t.Errorf("afterwards: %s", got)
	}
}
