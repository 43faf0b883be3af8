package jupyter

import (
	"sync"
	"time"
)

// Times at the end of a kernel. Assumed: a cell that listens to an interrupt
// does so in a few milliseconds, and a front end kills after several seconds.
const (
	stopTime  = 300 * time.Millisecond // for the running cell to answer
	closeTime = time.Second            // for front ends to read the last messages
)

// stopCell interrupts the running cell and gives it a moment to answer; what
// waits behind it is given up.
func (k *kernel) stopCell() {
	k.shellQueue.giveUp()
	k.interrupt()
	for deadline := time.Now().Add(stopTime); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		if k.running.TryLock() {
			k.running.Unlock()
			return
		}
	}
}

// end closes the worker, so that no cell outlives the kernel, and lets the
// last answers be given.
func (k *kernel) end(loops *sync.WaitGroup) {
	<-k.ready
	if k.runner != nil {
		if err := k.runner.Close(); err != nil {
			k.logf("the worker did not end well: %v", err)
		}
	}
	ended := make(chan struct{})
	go func() { loops.Wait(); close(ended) }()
	select {
	case <-ended:
	case <-time.After(closeTime):
	}
}
