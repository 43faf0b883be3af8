package jupyter

import (
	"encoding/json"
	"strings"

	"tautline/kernel/worker"
)

// commContent is the content of comm_open, comm_msg and comm_close, which are
// the same in both directions.
type commContent struct {
	ID     string          `json:"comm_id"`
	Target string          `json:"target_name,omitempty"`
	Data   json.RawMessage `json:"data"`
}

func commContentOf(c worker.Comm) commContent {
	return commContent{c.ID, c.Target, object(c.Data)}
}

// comm hands a front end's comm message to the worker. There is no reply; what
// comes of it is published.
func (k *kernel) comm(m *message) (any, error) {
	var c commContent
	if err := m.decode(&c); err != nil {
		return nil, err
	}
	w, err := k.worker()
	if err != nil {
		return nil, err
	}
	kind := strings.TrimPrefix(m.kind, "comm_")
	out := newOutput(k, m, k.count, false)
	defer out.flush()
	said := worker.Comm{Kind: kind, ID: c.ID, Target: c.Target, Data: object(c.Data), Metadata: m.metadata, Buffers: m.buffers,
		More: moreWaits(m, w.Comms())}
	k.alone(func() { err = w.Comm(k.ctx, said, out) })
	if err == nil {
		return nil, nil
	}
	if kind == "open" {
		// So the protocol wants it where a target is not known.
		out.Comm(worker.Comm{Kind: "close", ID: c.ID})
	} else {
		out.Stream("stderr", err.Error()+"\n")
	}
	return nil, err
}

// moreWaits tells whether another message for one of the open comms is waiting
// right behind this one. A slider that is dragged sends faster than pictures
// are drawn; so only the last of its positions needs one.
func moreWaits(m *message, open map[string]string) bool {
	if m.next == nil {
		return false
	}
	var c commContent
	if m.next.decode(&c) != nil {
		return false
	}
	_, ok := open[c.ID]
	return ok
}

// commInfo lists the open comms, of one target if the request names one.
func (k *kernel) commInfo(m *message) (any, error) {
	var q struct {
		Target string `json:"target_name"`
	}
	if err := m.decode(&q); err != nil {
		return nil, err
	}
	comms := map[string]map[string]string{}
	if w := k.present(); w != nil {
		for id, target := range w.Comms() {
			if q.Target == "" || q.Target == target {
				comms[id] = map[string]string{"target_name": target}
			}
		}
	}
	return map[string]any{"status": "ok", "comms": comms}, nil
}
