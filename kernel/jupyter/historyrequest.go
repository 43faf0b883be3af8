package jupyter

import "tautline/kernel/jupyter/history"

type historyRequest struct {
	Output  bool    `json:"output"`
	Access  string  `json:"hist_access_type"`
	Session int     `json:"session"`
	Start   *int    `json:"start"`
	Stop    *int    `json:"stop"`
	N       *int    `json:"n"`
	Pattern *string `json:"pattern"`
	Unique  bool    `json:"unique"`
}

// historyRequest gives cells that were run, of this kernel and earlier ones.
func (k *kernel) historyRequest(m *message) (any, error) {
	var q historyRequest
	if err := m.decode(&q); err != nil {
		return nil, err
	}
	entries, err := q.find(k.History)
	if err != nil {
		return nil, err
	}
	list := make([]any, 0, len(entries))
	for _, e := range entries {
		list = append(list, q.item(e))
	}
	return map[string]any{"status": "ok", "history": list}, nil
}

func (q *historyRequest) find(h *history.Store) ([]history.Entry, error) {
	n := -1 // all
	if q.N != nil {
		n = max(*q.N, 0)
	}
	switch q.Access {
	case "tail":
		return h.Tail(n), nil
	case "range":
		start, stop := 0, -1
		if q.Start != nil {
			start = *q.Start
		}
		if q.Stop != nil {
			stop = *q.Stop
		}
		return h.Range(q.Session, start, stop), nil
	case "search":
		pattern := "*"
		if q.Pattern != nil {
			pattern = *q.Pattern
		}
		return h.Search(pattern, n, q.Unique), nil
	}
	return nil, refusal{"malformed request", "hist_access_type must be tail, range or search"}
}

// item is an entry as the protocol writes it.
func (q *historyRequest) item(e history.Entry) []any {
	if !q.Output {
		return []any{e.Session, e.Line, e.Input}
	}
	pair := []any{e.Input, nil}
	if e.Output != "" {
		pair[1] = e.Output
	}
	return []any{e.Session, e.Line, pair}
}
