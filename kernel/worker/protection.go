package worker

import "strings"

// A Protection says what shuts a worker in, beside the list of what cells can
// name at all, which holds everywhere.
type Protection struct {
	Holds []string `json:"holds"`
	Lacks []string `json:"lacks"`
}

// String is the protection in one line, for a log.
func (p Protection) String() string {
	text := "cells run shut in: " + strings.Join(p.Holds, "; ")
	if len(p.Holds) == 0 {
		text = "cells run in a process of their own"
	}
	if len(p.Lacks) > 0 {
		text += "; not here: " + strings.Join(p.Lacks, "; ")
	}
	return text
}

// note adds to what holds or, with an error, to what does not.
func (p *Protection) note(what string, err error) {
	if err == nil {
		p.Holds = append(p.Holds, what)
	} else {
		p.Lacks = append(p.Lacks, what+" ("+err.Error()+")")
	}
}
