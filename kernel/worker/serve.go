package worker

import (
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"time"
)

// Verb is the command line's word for being a worker. It is for the
// supervisor alone and not shown by help.
const Verb = "worker"

// queued bounds the calls that wait for a running cell.
const queued = 1024

// maxStack is how much a goroutine's stack may take: well above what the
// deepest calls that a cell may make need, and soon full when something
// compiled goes round in circles.
func maxStack(memory int64) int { return int(min(256<<20, max(64<<20, memory/8))) }

// Serve is the worker: it takes calls from the process's standard input and
// answers on its standard output, which nothing else can write to any more. It
// gives the process's exit code, and ends the process itself when the one who
// asks is gone.
func Serve() int {
	signal.Ignore(os.Interrupt) // at a terminal it goes to both; the supervisor decides
	in, out, err := takeStreams()
	if err != nil {
		return refuse("the streams are not those of a supervisor: %v", err)
	}
	first, err := receive(in)
	if err != nil || first.Kind != start || first.Start == nil {
		return refuse("this verb is for tautline's own use")
	}
	frames := &frameWriter{w: out}
	if first.Start.Version != version {
		frames.send(message{Kind: ready, Version: version})
		return 1
	}
	_ = time.Now().Local().String() // reads the time zone while it may
	limitMemory(first.Start.Memory)
	protection := confine(*first.Start)
	c, err := newCells(frames, *first.Start)
	if err != nil {
		return refuse("%v", err)
	}
	queue := make(chan message, queued)
	go c.listen(in, queue)
	frames.send(message{Kind: ready, Version: version, Protection: &protection})
	for m := range queue {
		c.answer(m)
	}
	return 0
}

func refuse(format string, a ...any) int {
	fmt.Fprintf(os.Stderr, "tautline worker: "+format+"\n", a...)
	return 1
}

// limitMemory makes the collector work harder as the limit comes near.
func limitMemory(bytes int64) {
	debug.SetMemoryLimit(bytes / 10 * 8)
	debug.SetMaxStack(maxStack(bytes))
	debug.SetTraceback("single")
}

// listen takes in what the supervisor says, also while a cell runs.
func (c *cells) listen(in *os.File, queue chan<- message) {
	for {
		m, err := receive(in)
		if err != nil {
			os.Exit(0) // the supervisor is gone
		}
		if m.Kind == interrupt {
			c.stop(m.ID, m.Flag)
			continue
		}
		if m.Assist != nil {
			go c.helpAtOnce(m)
			continue
		}
		select {
		case queue <- m:
		default:
			c.finish(message{Kind: done, ID: m.ID, Text: "too many calls are waiting"})
		}
	}
}

func (c *cells) answer(m message) {
	reply := message{Kind: done, ID: m.ID}
	switch {
	case m.Kind == execute && m.Request != nil:
		o := c.execute(m.ID, *m.Request)
		reply.Outcome = &o
	case m.Kind == comm && m.Comm != nil:
		reply.Text = c.comm(m.ID, *m.Comm)
	default:
		reply.Text = "an unknown kind of call"
	}
	c.finish(reply)
}
