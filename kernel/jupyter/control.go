package jupyter

// interruptRequest stops the running cell and keeps what it has declared.
func (k *kernel) interruptRequest(*message) (any, error) {
	k.interrupt()
	return map[string]string{"status": "ok"}, nil
}

// A shutdownContent is the last answer of a kernel; see serve.
type shutdownContent struct {
	Status  string `json:"status"`
	Restart bool   `json:"restart"`
}

// shutdown ends the kernel, also in the midst of a cell. For a restart it ends
// as well: the front end starts it anew.
func (k *kernel) shutdown(m *message) (any, error) {
	var q struct {
		Restart bool `json:"restart"`
	}
	if err := m.decode(&q); err != nil {
		return nil, err
	}
	k.stopCell()
	answer := shutdownContent{"ok", q.Restart}
	// All front ends are told, not only the one that asked.
	k.publish(m, "shutdown_reply", answer)
	return answer, nil
}
