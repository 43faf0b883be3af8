package worker

import (
	"context"
	"os"
	"runtime/metrics"
	"time"
)

// watchTime is how often a running cell's memory is looked at. What grows
// faster meets the system's own limit, where there is one.
const watchTime = 10 * time.Millisecond

// watch stops the running cell when the process takes more memory than it may,
// and ends the process when even that does not help.
func (c *cells) watch(cancel context.CancelCauseFunc) (stop func()) {
	over := make(chan struct{})
	go func() {
		tick := time.NewTicker(watchTime)
		defer tick.Stop()
		looks := 0 // at which there was too much
		for {
			select {
			case <-over:
				return
			case <-tick.C:
			}
			used := memory()
			if used > hardLimit(c.memory) && looks > 0 {
				os.Exit(exitMemory)
			}
			if used > c.memory {
				cancel(errMemory)
				looks++
			}
		}
	}()
	return func() { close(over) }
}

// hardLimit leaves room for a stopped cell to wind up.
func hardLimit(memory int64) int64 { return memory + memory/4 + 256<<20 }

// memory is what the process holds of the computer's memory, in bytes.
func memory() int64 {
	s := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	metrics.Read(s)
	return int64(s[0].Value.Uint64() - s[1].Value.Uint64())
}
