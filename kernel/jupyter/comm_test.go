package jupyter

import (
	"bytes"
	"context"
	"testing"

	"tautline/kernel/worker"
)

// Comms go both ways, with buffers and metadata.
func TestComms(t *testing.T) {
	runner := newScripted()
	s := serveKernel(t, freeConnection(t, testKey), Options{Start: func(context.Context) (worker.Runner, error) { return runner, nil }})
	c := connectTo(t, s.c)
	_, shown := c.run("slide s1")
	open := shown[1]
	if open.content["comm_id"] != "s1" || open.content["target_name"] != "jupyter.widget" || open.about["version"] != "2.1.0" ||
		len(open.buffers) != 1 || !bytes.Equal(open.buffers[0], []byte{0, 1, 255}) {
		t.Errorf("comm_open %+v", open)
	}
	id := c.send(c.shell, "comm_msg", map[string]any{"comm_id": "s1", "data": map[string]any{"method": "update"}}, []byte("raw"), nil)
	shown = c.shown(id)
	if kinds(shown) != "stream comm_msg" || shown[1].content["data"].(map[string]any)["method"] != "update" ||
		len(shown[1].buffers) != 2 || string(shown[1].buffers[0]) != "raw" {
		t.Errorf("comm_msg brings %v", shown)
	}
	c.shown(c.send(c.shell, "comm_open", map[string]any{"comm_id": "s2", "target_name": "jupyter.widget", "data": map[string]any{}}))
	for target, want := range map[string]int{"jupyter.widget": 2, "another": 0, "": 2} {
		q := map[string]any{}
		if target != "" {
			q["target_name"] = target
		}
		if comms := c.ask("comm_info_request", q)["comms"].(map[string]any); len(comms) != want {
			t.Errorf("target %q: %v", target, comms)
		}
	}
	c.shown(c.send(c.shell, "comm_close", map[string]any{"comm_id": "s1", "data": map[string]any{}}))
	if comms := c.askControl("comm_info_request", map[string]any{})["comms"].(map[string]any); len(comms) != 1 || comms["s2"] == nil {
		t.Errorf("after the close: %v", comms)
	}
	if got := runner.heard[len(runner.heard)-1]; got.Kind != "close" || got.ID != "s1" {
		t.Errorf("heard last: %+v", got)
	}
}

// A comm that nobody listens to is closed at once; a message to none is said;
// nonsense is left. None has a reply.
func TestCommsThatFail(t *testing.T) {
	_, c := kernelAndClient(t)
	id := c.send(c.shell, "comm_open", map[string]any{"comm_id": "x", "target_name": "unknown", "data": map[string]any{}})
	if shown := c.shown(id); kinds(shown) != "comm_close" || shown[0].content["comm_id"] != "x" {
		t.Errorf("an unknown target brings %s", kinds(shown))
	}
	id = c.send(c.shell, "comm_msg", map[string]any{"comm_id": "none", "data": map[string]any{}})
	if shown := c.shown(id); kinds(shown) != "stream" {
		t.Errorf("an unknown comm brings %s", kinds(shown))
	}
	id = c.send(c.shell, "comm_msg", []int{1})
	if shown := c.shown(id); len(shown) > 0 {
		t.Errorf("nonsense brings %s", kinds(shown))
	}
	c.ask("kernel_info_request", map[string]any{}) // is the next reply, so none came before
}
