package jupyter

import (
	"reflect"
	"testing"

	"tautline/kernel/jupyter/history"
)

// History is numbered like the cells, kept over a restart, and given in all
// three ways.
func TestHistoryRequests(t *testing.T) {
	dir := t.TempDir()
	for session := 1.0; session <= 2; session++ {
		kept := history.Open(dir)
		defer kept.Close()
		s := serveKernel(t, freeConnection(t, testKey), Options{History: kept})
		c := connectTo(t, s.c)
		c.run("value 42")
		c.run("value 1", map[string]any{"silent": true})
		c.run("value 2", map[string]any{"store_history": false})
		c.run("fail")
		for _, tc := range []struct {
			q    map[string]any
			want []any
		}{
			{map[string]any{"hist_access_type": "tail", "n": 2}, []any{[]any{session, 1.0, "value 42"}, []any{session, 2.0, "fail"}}},
			{map[string]any{"hist_access_type": "tail", "n": 0}, []any{}},
			{map[string]any{"hist_access_type": "range", "session": 0, "start": 1, "stop": 2, "output": true},
				[]any{[]any{session, 1.0, []any{"value 42", "42"}}}},
			{map[string]any{"hist_access_type": "range", "session": 1, "start": 2, "output": true},
				[]any{[]any{1.0, 2.0, []any{"fail", nil}}}},
			{map[string]any{"hist_access_type": "search", "pattern": "value ?2", "n": 1, "raw": false}, []any{[]any{session, 1.0, "value 42"}}},
			{map[string]any{"hist_access_type": "search", "pattern": "value"}, []any{}},
		} {
			if got := c.ask("history_request", tc.q)["history"]; !reflect.DeepEqual(got, tc.want) {
				t.Errorf("session %v, %v: %v, want %v", session, tc.q, got, tc.want)
			}
		}
		if all := c.ask("history_request", map[string]any{"hist_access_type": "tail"})["history"].([]any); len(all) != int(2*session) {
			t.Errorf("all of history has %d cells", len(all))
		}
		s.stop()
		s.wait(t)
	}
}
