package jupyter

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// Cursors count code points, not bytes and not UTF-16: a micro sign takes two
// bytes, a combining mark is a code point of its own, an emoji takes two units
// of UTF-16.
func TestCursors(t *testing.T) {
	_, c := kernelAndClient(t)
	const text = "µe\u0301\U0001f637x" // micro sign, e, combining acute, face with a mask, x
	for _, tc := range []struct {
		cursor any
		before string
	}{
		{0, ""}, {1, "µ"}, {2, "µe"}, {3, "µe\u0301"}, {4, "µe\u0301\U0001f637"}, {5, text},
		{6, text}, {1 << 40, text}, {-1, ""}, {-1 << 40, ""}, {nil, text},
	} {
		q := map[string]any{"code": text}
		if tc.cursor != nil {
			q["cursor_pos"] = tc.cursor
		}
		a := c.ask("complete_request", q)
		if a["status"] != "ok" || a["matches"].([]any)[0] != tc.before || a["cursor_end"] != float64(utf8.RuneCountInString(tc.before)) {
			t.Errorf("cursor %v: %v, want %q", tc.cursor, a, tc.before)
		}
		if i := c.ask("inspect_request", q); i["found"] != true {
			t.Errorf("cursor %v: %v", tc.cursor, i)
		}
	}
}

func TestCursorNeverLeavesTheText(t *testing.T) {
	k := &kernel{ctx: t.Context(), ready: make(chan struct{}), runner: newScripted()}
	close(k.ready)
	rapid.Check(t, func(t *rapid.T) {
		code, cursor := rapid.String().Draw(t, "code"), rapid.Int().Draw(t, "cursor")
		body, err := plainJSON(map[string]any{"code": code, "cursor_pos": cursor})
		if err != nil {
			t.Fatal(err)
		}
		q, at, _, err := k.ask(&message{content: body})
		if err != nil || at < 0 || at > utf8.RuneCountInString(q.Code) {
			t.Fatalf("cursor %d, %v", at, err)
		}
	})
}

func TestCompleteAndInspect(t *testing.T) {
	_, c := kernelAndClient(t)
	if a := c.ask("complete_request", map[string]any{"code": "nothing", "cursor_pos": 3}); len(a["matches"].([]any)) != 0 || a["cursor_start"] != 3.0 || a["cursor_end"] != 3.0 {
		t.Errorf("no matches: %v", a)
	}
	if a := c.ask("complete_request", map[string]any{"code": "broken"}); a["status"] != "error" {
		t.Errorf("an error: %v", a)
	}
	if a := c.ask("inspect_request", map[string]any{"code": ""}); a["status"] != "ok" || a["found"] != false {
		t.Errorf("nothing found: %v", a)
	}
	for detail, want := range map[int]string{0: "detail 0", 1: "detail 1", 7: "detail 1"} {
		a := c.ask("inspect_request", map[string]any{"code": "x", "cursor_pos": 0, "detail_level": detail})
		if text := a["data"].(map[string]any)["text/plain"].(string); !strings.HasSuffix(text, want) {
			t.Errorf("detail %d: %q", detail, text)
		}
	}
	for code, want := range map[string]any{"a {": "incomplete", "a": "complete"} {
		if a := c.ask("is_complete_request", map[string]any{"code": code}); a["status"] != want || (a["indent"] == "\t") != (want == "incomplete") {
			t.Errorf("%q: %v", code, a)
		}
	}
}

// Every reply has a status, and the client checks that; here also for what is
// asked wrongly or on the wrong channel.
func TestRepliesToEverything(t *testing.T) {
	_, c := kernelAndClient(t)
	for kind := range shellHandlers {
		if !strings.HasSuffix(kind, "_request") || kind == "shutdown_request" {
			continue
		}
		ok := c.ask(kind, map[string]any{"code": "", "hist_access_type": "tail", "a_new_key": []int{1}})
		if s := ok["status"]; s != "ok" && s != "complete" {
			t.Errorf("%s: %v", kind, ok)
		}
	}
	for _, wrong := range []struct {
		kind    string
		content any
	}{
		{"execute_request", map[string]any{}},
		{"execute_request", map[string]any{"code": 5}},
		{"execute_request", map[string]any{"code": "value 1", "silent": "yes"}},
		{"execute_request", []int{1}},
		{"complete_request", map[string]any{"code": "x", "cursor_pos": "end"}},
		{"inspect_request", "text"},
		{"history_request", map[string]any{"hist_access_type": "all"}},
		{"history_request", map[string]any{}},
		{"comm_info_request", map[string]any{"target_name": 1}},
		{"shutdown_request", map[string]any{"restart": "maybe"}},
	} {
		if a := c.ask(wrong.kind, wrong.content); a["status"] != "error" || a["evalue"] == "" {
			t.Errorf("%s %v: %v", wrong.kind, wrong.content, a)
		}
	}
	if a := c.ask("is_complete_request", map[string]any{"code": 1}); a["status"] != "unknown" {
		t.Errorf("is_complete of nonsense: %v", a)
	}
}
