package jupyter

import (
	"context"
	"encoding/json"
	"testing"
)

// Of a control's messages that wait in a row, all but the last say that more
// is waiting; another request in between ends the row, and so does a message
// for a comm that is not open.
func TestMoreWaits(t *testing.T) {
	q, open := newQueue(), map[string]string{"a": "jupyter.widget", "b": "jupyter.widget"}
	comm := func(id string) *message {
		content, _ := json.Marshal(map[string]any{"comm_id": id, "data": map[string]any{}})
		return &message{kind: "comm_msg", content: content}
	}
	for _, m := range []*message{comm("a"), comm("b"), comm("a"), {kind: "execute_request"}, comm("a"), comm("gone"),
		comm("b"), {kind: "comm_msg", content: []byte("[]")}, comm("a")} {
		q.put(context.Background(), m)
	}
	for i, want := range []bool{true, true, false, true, false, true, false, true, false} {
		m, _ := q.next(context.Background())
		if got := moreWaits(m, open); got != want {
			t.Errorf("message %d: more waits is %v", i, got)
		}
	}
}
