package jupyter

import (
	"encoding/json"
	"testing"
	"time"
)

// A box takes the answers to one front end's requests.
type box chan Letter

func (b box) Reply(l Letter) { b <- l }

func kindOf(l Letter) string {
	var h struct {
		Type string `json:"msg_type"`
	}
	json.Unmarshal(l.Header, &h)
	return h.Type
}

func localRequest(kind, content string) Letter {
	return Letter{Header: json.RawMessage(`{"msg_id":"1","msg_type":"` + kind + `"}`), Parent: json.RawMessage("{}"),
		Metadata: json.RawMessage("{}"), Content: json.RawMessage(content)}
}

// take waits for a letter of a kind.
func (b box) take(t *testing.T, kind string) Letter {
	t.Helper()
	for end := time.After(10 * time.Second); ; {
		select {
		case l := <-b:
			if kindOf(l) == kind {
				return l
			}
		case <-end:
			t.Fatalf("no %s came", kind)
		}
	}
}

func TestALocalKernelAnswersWhoAsked(t *testing.T) {
	shown := make(box, 1000)
	l := StartLocal(t.Context(), Options{Start: startScripted}, func(l Letter) { shown <- l })
	one, other := make(box, 10), make(box, 10)
	if err := l.Take(Shell, one, localRequest("execute_request", `{"code":"print hello"}`)); err != nil {
		t.Fatal(err)
	}
	one.take(t, "execute_reply")
	shown.take(t, "stream")
	if err := l.Take(Control, other, localRequest("kernel_info_request", `{}`)); err != nil {
		t.Fatal(err)
	}
	other.take(t, "kernel_info_reply")
	if len(one) != 0 {
		t.Error("an answer went to who had not asked")
	}
	if err := l.Take("news", one, localRequest("x", "{}")); err == nil {
		t.Error("an unknown channel is taken")
	}
	if err := l.Take(Shell, one, Letter{Header: json.RawMessage("[]")}); err == nil {
		t.Error("a letter without a header is taken")
	}
}

func TestALocalKernelEndsInTheMidstOfACell(t *testing.T) {
	shown := make(box, 1000)
	l := StartLocal(t.Context(), Options{Start: startScripted}, func(l Letter) { shown <- l })
	asked := make(box, 10)
	l.Take(Shell, asked, localRequest("execute_request", `{"code":"loop"}`))
	shown.take(t, "execute_input")
	l.Close()
	select {
	case <-l.Done():
	default:
		t.Error("closed, and not done")
	}
	asked.take(t, "execute_reply")
}
