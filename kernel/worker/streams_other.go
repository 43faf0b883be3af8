//go:build !unix

package worker

import "os"

// takeStreams keeps the pipe to the supervisor for the worker alone: what is
// printed from now on comes out of the error stream, and there is nothing to
// read.
func takeStreams() (in, out *os.File, err error) {
	null, err := os.Open(os.DevNull)
	if err != nil {
		return nil, nil, err
	}
	in, out = os.Stdin, os.Stdout
	os.Stdin, os.Stdout = null, os.Stderr
	return in, out, nil
}
