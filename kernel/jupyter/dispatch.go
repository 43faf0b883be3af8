package jupyter

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"tautline/kernel/worker"
)

// A handler answers one kind of request. Content nil means that the protocol
// knows no answer.
type handler func(k *kernel, m *message) (content any, err error)

// shellHandlers and controlHandlers are all that a front end can ask. Control
// requests are answered while a cell runs, so none of them may wait for one.
var (
	shellHandlers = map[string]handler{
		"kernel_info_request": (*kernel).kernelInfo,
		"connect_request":     (*kernel).connect,
		"execute_request":     (*kernel).execute,
		"inspect_request":     (*kernel).inspect,
		"complete_request":    (*kernel).complete,
		"is_complete_request": (*kernel).isComplete,
		"history_request":     (*kernel).historyRequest,
		"comm_info_request":   (*kernel).commInfo,
		"comm_open":           (*kernel).comm,
		"comm_msg":            (*kernel).comm,
		"comm_close":          (*kernel).comm,
		"shutdown_request":    (*kernel).shutdown, // older front ends send it here
	}
	controlHandlers = map[string]handler{
		"kernel_info_request": (*kernel).kernelInfo,
		"connect_request":     (*kernel).connect,
		"history_request":     (*kernel).historyRequest,
		"comm_info_request":   (*kernel).commInfo,
		"interrupt_request":   (*kernel).interruptRequest,
		"shutdown_request":    (*kernel).shutdown,
	}
)

// loop serves one channel in order until the kernel ends.
func (k *kernel) loop(q *queue, table map[string]handler) {
	for {
		m, ok := q.next(k.ctx)
		if !ok {
			return
		}
		k.serve(m, table)
	}
}

// serve puts busy and idle round every request.
func (k *kernel) serve(m *message, table map[string]handler) {
	k.status(m, "busy")
	content, err := k.handle(m, table)
	if err != nil {
		content = errorReply(failure(err))
	}
	about, asks := strings.CutSuffix(m.kind, "_request")
	switch {
	case err != nil && !asks:
		k.logf("%s: %v", m.kind, err)
	case content != nil && asks:
		k.reply(m, about+"_reply", content)
	}
	k.status(m, "idle")
	if _, ends := content.(shutdownContent); ends {
		k.cancel()
	}
}

// handle finds and calls the handler. A fault of ours becomes an answer.
func (k *kernel) handle(m *message, table map[string]handler) (content any, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the kernel failed on this %s, please report it: %v", m.kind, p)
		}
	}()
	h, ok := table[m.kind]
	if !ok {
		return nil, refusal{"not supported", "tautline does not answer " + m.kind + " on this channel"}
	}
	return h(k, m)
}

// decode reads the content of a request.
func (m *message) decode(into any) error {
	err := json.Unmarshal(m.content, into)
	if err == nil {
		return nil
	}
	text := err.Error()
	if t := (*json.UnmarshalTypeError)(nil); errors.As(err, &t) {
		text = fmt.Sprintf("%s must not be a %s", cmpOr(t.Field, "the content"), t.Value)
	}
	return refusal{"malformed request", m.kind + ": " + text}
}

func cmpOr(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// A refusal is a request that is not answered as asked.
type refusal struct{ kind, text string }

func (r refusal) Error() string { return r.text }

// failure gives any error the parts that the protocol wants.
func failure(err error) worker.Failure {
	if r := (refusal{}); errors.As(err, &r) {
		return worker.Failure{Name: r.kind, Value: r.text}
	}
	return worker.Failure{Name: "failed", Value: err.Error()}
}

// errorContent is the content of every reply with status error, and of error
// messages.
type errorContent struct {
	Status    string   `json:"status,omitempty"`
	Name      string   `json:"ename"`
	Value     string   `json:"evalue"`
	Traceback []string `json:"traceback"`
	Count     *int     `json:"execution_count,omitempty"` // of an execute_reply
}

func errorReply(f worker.Failure) errorContent {
	c := errorContent{Status: "error", Name: f.Name, Value: f.Value, Traceback: f.Traceback}
	if c.Traceback == nil {
		c.Traceback = []string{}
	}
	return c
}

// reply sends the answer to a request.
func (k *kernel) reply(m *message, kind string, content any) {
	e := envelope{kind: kind, parent: m.header}
	l, err := e.write(k.session, content)
	if err != nil {
		// Something must come back, or the front end waits for ever.
		k.logf("a %s could not be written: %v", kind, err)
		if l, err = e.write(k.session, errorReply(failure(err))); err != nil {
			return
		}
	}
	m.from.Reply(l)
}

// publish tells every front end. A nil message is what nobody asked for.
func (k *kernel) publish(m *message, kind string, content any) error {
	return k.publishWith(m, envelope{kind: kind}, content)
}

func (k *kernel) publishWith(m *message, e envelope, content any) error {
	if m != nil {
		e.parent = m.header
	}
	l, err := e.write(k.session, content)
	if err != nil {
		k.logf("a %s could not be written: %v", e.kind, err)
		return err
	}
	k.show(e.kind, l)
	return nil
}

func (k *kernel) status(m *message, state string) {
	k.publish(m, "status", map[string]string{"execution_state": state})
}
