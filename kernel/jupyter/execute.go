package jupyter

import (
	"context"
	"encoding/json"
	"strings"
	"time"

	"tautline/kernel/worker"
)

// An executeRequest leaves of the protocol's keys those out that change
// nothing here: cells cannot ask for input, so allow_stdin has no say.
type executeRequest struct {
	Code        *string                    `json:"code"`
	Silent      bool                       `json:"silent"`
	Store       *bool                      `json:"store_history"`
	Expressions map[string]json.RawMessage `json:"user_expressions"`
	StopOnError *bool                      `json:"stop_on_error"`
}

type executeContent struct {
	Status      string           `json:"status"`
	Count       int              `json:"execution_count"`
	Payload     []map[string]any `json:"payload"`
	Expressions map[string]any   `json:"user_expressions"`
}

// arrival is how long a failed cell waits for requests that were sent before
// its failure could be known and are still under way. Assumed: a local
// socket's delay is far smaller.
const arrival = 2 * time.Millisecond

// execute runs a cell.
func (k *kernel) execute(m *message) (any, error) {
	if m.aborted {
		return map[string]string{"status": "aborted"}, nil
	}
	var q executeRequest
	if err := m.decode(&q); err != nil {
		return nil, err
	}
	if q.Code == nil {
		return nil, refusal{"malformed request", "execute_request: code is missing"}
	}
	store := !q.Silent && (q.Store == nil || *q.Store) && strings.TrimSpace(*q.Code) != ""
	if store {
		k.count++
	}
	out := newOutput(k, m, k.count, q.Silent)
	ctx, over := k.announce()
	defer over()
	if !q.Silent {
		k.publish(m, "execute_input", map[string]any{"code": *q.Code, "execution_count": k.count})
	}
	outcome := k.run(ctx, &q, out)
	out.flush()
	if store {
		k.History.Add(k.count, *q.Code, out.resultText())
	}
	if outcome.Err == nil {
		return okContent(k.count, outcome), nil
	}
	return k.failedCell(&q, m, *outcome.Err), nil
}

// run hands a cell to the worker.
func (k *kernel) run(ctx context.Context, q *executeRequest, out *output) worker.Outcome {
	if strings.TrimSpace(*q.Code) == "" && len(q.Expressions) == 0 {
		return worker.Outcome{}
	}
	w, err := k.worker()
	if err != nil {
		f := failure(err)
		return worker.Outcome{Err: &f}
	}
	asked, odd := expressions(q.Expressions)
	var o worker.Outcome
	k.alone(func() {
		o = w.Execute(ctx, worker.Request{Code: *q.Code, Silent: q.Silent, Count: out.count, Expressions: asked}, out)
	})
	for name, answer := range odd {
		if o.Expressions == nil {
			o.Expressions = map[string]any{}
		}
		o.Expressions[name] = answer
	}
	return lost(o, out)
}

// alone runs what a shutdown has to stop first.
func (k *kernel) alone(f func()) {
	k.running.Lock()
	defer k.running.Unlock()
	f()
}

// lost makes known that the worker died in the cell: as its error, or beside
// the error if it has one.
func lost(o worker.Outcome, out *output) worker.Outcome {
	switch {
	case o.Lost == "":
	case o.Err == nil:
		o.Err = &worker.Failure{Name: "lost", Value: o.Lost, Traceback: []string{o.Lost}}
	case o.Lost != o.Err.Value:
		out.Stream("stderr", o.Lost+"\n")
	}
	return o
}

// expressions parts what can be evaluated from what is no text at all; an
// error in one expression is an answer to it alone.
func expressions(all map[string]json.RawMessage) (asked map[string]string, odd map[string]errorContent) {
	asked, odd = map[string]string{}, map[string]errorContent{}
	for name, raw := range all {
		var text string
		if json.Unmarshal(raw, &text) != nil {
			odd[name] = errorReply(worker.Failure{Name: "malformed request", Value: "an expression must be a string"})
			continue
		}
		asked[name] = text
	}
	return asked, odd
}

func okContent(count int, o worker.Outcome) executeContent {
	c := executeContent{Status: "ok", Count: count, Payload: o.Payload, Expressions: o.Expressions}
	if c.Payload == nil {
		c.Payload = []map[string]any{}
	}
	if c.Expressions == nil {
		c.Expressions = map[string]any{}
	}
	return c
}

// failedCell publishes the error and gives up what waits behind the cell. What
// came in before the answer is on its way was sent without knowing of it.
func (k *kernel) failedCell(q *executeRequest, m *message, f worker.Failure) errorContent {
	content := errorReply(f)
	if !q.Silent {
		content.Status = ""
		k.publish(m, "error", content)
		content.Status = "error"
		if q.StopOnError == nil || *q.StopOnError {
			time.Sleep(arrival)
			k.shellQueue.abort()
		}
	}
	content.Count = &k.count
	return content
}
