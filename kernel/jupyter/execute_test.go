package jupyter

import (
	"fmt"
	"strings"
	"testing"
)

// A cell's messages come in order: busy, input, outputs, idle, all with the
// request's header as parent; shown and next check the statuses.
func TestExecuteOrder(t *testing.T) {
	_, c := kernelAndClient(t)
	for _, tc := range []struct{ code, kinds string }{
		{"print hello, world", "execute_input stream"},
		{"print a\nprint b\nwarn c\nprint d", "execute_input stream stream stream"},
		{"value 42", "execute_input execute_result"},
		{"print a\nshow\nprint b\nclear wait\nvalue 3", "execute_input stream display_data stream clear_output execute_result"},
		{"show one\nrenew one", "execute_input display_data update_display_data"},
		{"slide s1", "execute_input comm_open"},
		{"print a\nfail no", "execute_input stream error"},
		{"page about Straps", "execute_input"},
		{"", "execute_input"},
	} {
		reply, shown := c.run(tc.code)
		if got := kinds(shown); got != tc.kinds {
			t.Errorf("%q shows %q, want %q", tc.code, got, tc.kinds)
		}
		for _, m := range append(shown, reply) {
			if m.parent["session"] != c.session || m.parent["username"] != "tester" {
				t.Errorf("%s: parent header %v is not the request's", m.kind, m.parent)
			}
		}
	}
}

func TestExecuteContents(t *testing.T) {
	_, c := kernelAndClient(t)
	_, shown := c.run("print a\nprint µ\nwarn b")
	if a, b := shown[1].content, shown[2].content; a["text"] != "a\nµ\n" || a["name"] != "stdout" || b["text"] != "b\n" || b["name"] != "stderr" {
		t.Errorf("streams %v and %v", a, b)
	}
	// A character may arrive in two halves.
	if _, shown = c.run(`raw "\xc2"` + "\nnap\nnap\n" + `raw "\xb5m"`); len(shown) != 2 || shown[1].content["text"] != "µm" {
		t.Errorf("a halved character: %v", shown)
	}
	// And bytes that are none do not harm.
	if _, shown = c.run(`raw "\xff"`); len(shown) != 2 || shown[1].content["text"] != "\ufffd" {
		t.Errorf("a wrong byte: %v", shown)
	}
	_, shown = c.run("show one\nrenew one\nshow")
	for i, id := range []any{"one", "one", nil} {
		transient, _ := shown[i+1].content["transient"].(map[string]any)
		if transient["display_id"] != id {
			t.Errorf("display %d has id %v, want %v", i, transient["display_id"], id)
		}
	}
	reply, _ := c.run("page about Straps")
	payload := reply.content["payload"].([]any)[0].(map[string]any)
	if payload["source"] != "page" || payload["data"].(map[string]any)["text/plain"] != "about Straps" {
		t.Errorf("payload %v", payload)
	}
	reply, shown = c.run("fail 3*CmH2O is a pressure")
	for _, m := range []received{reply, shown[1]} {
		if m.content["ename"] != "wrong unit" || m.content["evalue"] != "3*CmH2O is a pressure" || len(m.content["traceback"].([]any)) != 1 {
			t.Errorf("%s: %v", m.kind, m.content)
		}
	}
}

func TestExecutionCount(t *testing.T) {
	_, c := kernelAndClient(t)
	for i, tc := range []struct {
		code  string
		extra map[string]any
		count float64
	}{
		{"value 1", nil, 1},
		{"value 1", map[string]any{"silent": true}, 1},
		{"value 1", map[string]any{"silent": true, "store_history": true}, 1},
		{"value 1", map[string]any{"store_history": false}, 1},
		{"  \n", nil, 1},
		{"value 1", map[string]any{"allow_stdin": true, "stop_on_error": false, "silent": false, "store_history": true}, 2},
		{"fail", nil, 3},
		{"die", nil, 4},
		{"value 1", nil, 5},
	} {
		reply, shown := c.run(tc.code, tc.extra)
		if got := reply.content["execution_count"]; got != tc.count {
			t.Errorf("cell %d, %q: count %v, want %v", i, tc.code, got, tc.count)
		}
		for _, m := range shown {
			if got, ok := m.content["execution_count"]; ok && got != tc.count {
				t.Errorf("cell %d: %s has count %v, want %v", i, m.kind, got, tc.count)
			}
		}
	}
}

// A silent cell shows nothing, not even its failure, and stops nothing.
func TestSilent(t *testing.T) {
	_, c := kernelAndClient(t)
	for _, code := range []string{"print a\nvalue 1\nshow\nclear", "fail no"} {
		if _, shown := c.run(code, map[string]any{"silent": true}); len(shown) > 0 {
			t.Errorf("%q shows %s", code, kinds(shown))
		}
	}
}

func TestUserExpressions(t *testing.T) {
	_, c := kernelAndClient(t)
	reply, _ := c.run("", map[string]any{"silent": true, "user_expressions": map[string]any{"a": "1+1", "b": 7}})
	answers := reply.content["user_expressions"].(map[string]any)
	a, b := answers["a"].(map[string]any), answers["b"].(map[string]any)
	if a["status"] != "ok" || a["data"].(map[string]any)["text/plain"] != "1+1" || b["status"] != "error" {
		t.Errorf("answers %v", answers)
	}
}

// A failed cell gives up what waits behind it, unless it says otherwise; what
// is no cell is answered all the same.
func TestAborted(t *testing.T) {
	_, c := kernelAndClient(t)
	for _, tc := range []struct {
		extra  map[string]any
		status string
	}{
		{map[string]any{}, "aborted"},
		{map[string]any{"stop_on_error": true}, "aborted"},
		{map[string]any{"stop_on_error": false}, "ok"},
		{map[string]any{"silent": true}, "ok"},
	} {
		content := map[string]any{"code": strings.Repeat("nap\n", 5) + "fail"}
		for key, v := range tc.extra {
			content[key] = v
		}
		first := c.send(c.shell, "execute_request", content)
		second := c.send(c.shell, "execute_request", map[string]any{"code": "value 1"})
		third := c.send(c.shell, "kernel_info_request", map[string]any{})
		if got := c.replyOn(c.shellIn, first).content["status"]; got != "error" {
			t.Errorf("the failed cell has status %v", got)
		}
		reply := c.replyOn(c.shellIn, second).content
		if reply["status"] != tc.status {
			t.Errorf("%v: the next cell has status %v, want %v", tc.extra, reply["status"], tc.status)
		}
		if got := c.replyOn(c.shellIn, third).content["status"]; got != "ok" {
			t.Errorf("kernel_info after an error has status %v", got)
		}
		if shown := c.shown(second); tc.status == "aborted" && len(shown) > 0 {
			t.Errorf("an aborted cell shows %s", kinds(shown))
		}
		// What was asked after the answer runs again.
		if reply, _ := c.run("value 1"); reply.content["status"] != "ok" {
			t.Errorf("a cell after the failure has status %v", reply.content["status"])
		}
	}
}

func TestLostWorkerIsSaid(t *testing.T) {
	_, c := kernelAndClient(t)
	reply, shown := c.run("die")
	if reply.content["status"] != "error" || !strings.Contains(fmt.Sprint(shown[1].content["evalue"]), "a new one took over") {
		t.Errorf("%v, %v", reply.content, shown)
	}
}

// Whatever goes wrong inside, a reply comes.
func TestFaultsAreAnswered(t *testing.T) {
	_, c := kernelAndClient(t)
	for _, code := range []string{"panic", "nans"} {
		id := c.send(c.shell, "execute_request", map[string]any{"code": code})
		if reply := c.replyOn(c.shellIn, id); reply.content["status"] != "error" {
			t.Errorf("%s: %v", code, reply.content)
		}
		c.shown(id)
	}
	if _, shown := c.run("nan"); kinds(shown) != "execute_input stream" {
		t.Errorf("a value that cannot be written shows %s", kinds(shown))
	}
	if reply, _ := c.run("value 1"); reply.content["status"] != "ok" {
		t.Error("the kernel does not go on after a fault")
	}
}

// Many prints are few messages, and nothing of them is lost.
func TestStreamsAreGathered(t *testing.T) {
	_, c := kernelAndClient(t)
	_, shown := c.run("flood 20000")
	text := ""
	for _, m := range shown[1:] {
		text += m.content["text"].(string)
	}
	if strings.Count(text, "\n") != 20000 || !strings.HasSuffix(text, "\n19999\n") || len(shown) > 200 {
		t.Errorf("%d messages, %d lines", len(shown), strings.Count(text, "\n"))
	}
	// A print shows while its cell still runs.
	id := c.send(c.shell, "execute_request", map[string]any{"code": "print now\nloop"})
	for next(t, c.iopubIn).kind != "stream" {
	}
	c.askControl("interrupt_request", map[string]any{})
	c.replyOn(c.shellIn, id)
}
