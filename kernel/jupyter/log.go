package jupyter

import (
	"fmt"
	"sync"
)

// A logLimit keeps a peer that sends nothing but nonsense from filling a disk.
type logLimit struct {
	mu   sync.Mutex
	said int
}

const maxLogged = 100

func (k *kernel) logf(format string, a ...any) {
	k.logged.mu.Lock()
	defer k.logged.mu.Unlock()
	if k.logged.said++; k.Log != nil && k.logged.said <= maxLogged {
		fmt.Fprintf(k.Log, "tautline kernel: "+format+"\n", a...)
	}
}
