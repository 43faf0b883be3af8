package worker

import (
	"fmt"
	"os"
	"strings"
)

// All wording for a worker that died, for people who know masks: what
// happened, and nothing about processes that they cannot use.

// sentence says why the worker is gone. The lock is held.
func (p *process) sentence() string {
	switch p.why {
	case closed:
		return "The cells were ended."
	case unstoppable:
		return stuckSentence(p.options)
	case garbled, silent:
		return "What runs the cells stopped answering and was ended; please report this."
	}
	return cause(p.cmd.ProcessState, p.stray.take(), p.options)
}

func stuckSentence(o Options) string {
	return fmt.Sprintf("The cell did not stop within %g s, so what ran it was ended.", o.Grace.Seconds())
}

const tooDeep = "The cell went too deep: something in it calls or contains itself without an end, or it is nested too deeply."

// signs are what a crash report holds, and what that means.
var signs = []struct{ sign, sentence string }{
	{"stack exceeds", tooDeep},
	{"stack overflow", tooDeep},
	{"out of memory", ""},
	{"cannot allocate memory", ""},
	{"failed to create new OS thread", "The computer had no room left for what the cell asked."},
}

func cause(state *os.ProcessState, report string, o Options) string {
	memory := fmt.Sprintf("The cell asked for more memory than the %s that it may have.", size(o.Memory))
	switch state.ExitCode() {
	case exitStuck:
		return stuckSentence(o)
	case exitMemory:
		return memory
	}
	for _, s := range signs {
		if strings.Contains(report, s.sign) {
			if s.sentence == "" {
				return memory
			}
			return s.sentence
		}
	}
	if report == "" && !state.Exited() {
		return "What runs the cells was ended from outside; perhaps the computer was short of memory."
	}
	return "Something in the cell broke down in a way that cells should not" + detail(report) + "; please report this."
}

// detail gives the line of a crash report that says what it was.
func detail(report string) string {
	for line := range strings.Lines(report) {
		line = strings.TrimSpace(line)
		for _, start := range []string{"panic: ", "fatal error: ", "unexpected fault", "SIG"} {
			if strings.HasPrefix(line, start) {
				return " (" + line[:min(len(line), 200)] + ")"
			}
		}
	}
	return ""
}

// offer says what is lost with it and how to get it back.
func offer(earlier int) string {
	kept := " Numbering and history are kept"
	switch earlier {
	case 0:
		return kept + "."
	case 1:
		return kept + "; what the earlier cell set up is gone. To run it again, type Again() in a cell of its own."
	}
	return fmt.Sprintf("%s; what the earlier cells set up is gone. To run those %d again, type Again() in a cell of its own.", kept, earlier)
}
