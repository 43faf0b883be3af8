package worker

import "time"

// Options say what the cells may have. What is zero takes its default.
type Options struct {
	// Folder is the notebook's, the only one that cells' words can read from.
	// Without one they can read none.
	Folder string
	// Controls names the run, so that the ids of its controls follow from the
	// name; without one they are like no others.
	Controls string
	// Memory is how many bytes the worker may take; 2 GB by default.
	Memory int64
	// OutputLimit is how many bytes one cell may show; 10 MB by default.
	OutputLimit int64
	// Grace is how long a cell may go on after it was told to stop, before its
	// process is ended; 2 s by default.
	Grace time.Duration
	// Startup is how long a worker may take to start; 20 s by default.
	Startup time.Duration
}

func (o Options) filled() Options {
	if o.Memory <= 0 {
		o.Memory = 2 << 30
	}
	if o.OutputLimit <= 0 {
		o.OutputLimit = 10 << 20
	}
	if o.Grace <= 0 {
		o.Grace = 2 * time.Second
	}
	if o.Startup <= 0 {
		o.Startup = 20 * time.Second
	}
	return o
}

// keptTexts bounds the texts of earlier cells that are kept to be run again,
// in bytes.
const keptTexts = 8 << 20
