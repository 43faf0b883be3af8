package widget_test

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"tautline/kernel/worker"
)

// The time from a control's message to the new picture with the way to the
// worker's process and back.
func benchmarkWorker(b *testing.B, cell int) {
	cells, err := worker.Start(b.Context(), worker.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer cells.Close()
	n, out := lesson(b), &shownPage{}
	for _, i := range []int{1, cell} {
		if o := cells.Execute(b.Context(), worker.Request{Code: n.Cells[i].Source}, out); o.Err != nil {
			b.Fatal(o.Err.Value)
		}
	}
	id := opened(out.All, "FloatSliderModel")
	var took []time.Duration
	for i := range b.N {
		data, _ := json.Marshal(map[string]any{"method": "update", "state": map[string]any{"value": 2 + 0.05*float64(i*37%120)}, "buffer_paths": []any{}})
		begin := time.Now()
		if err := cells.Comm(b.Context(), worker.Comm{Kind: "msg", ID: id, Data: data}, &shownPage{}); err != nil {
			b.Fatal(err)
		}
		took = append(took, time.Since(begin))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
}

func BenchmarkWorkerFit(b *testing.B)   { benchmarkWorker(b, 2) }
func BenchmarkWorkerSweep(b *testing.B) { benchmarkWorker(b, 3) }

// opened finds the first opened model of a kind.
func opened(all []told, name string) string {
	for _, m := range all {
		var state struct{ State map[string]any }
		if raw, ok := m.Data.(json.RawMessage); ok && m.Type == "comm_open" && json.Unmarshal(raw, &state) == nil && state.State["_model_name"] == name {
			return m.ID
		}
	}
	return ""
}
