package worker

import "errors"

// signalParent has no counterpart here; only Linux is tried.
func signalParent() error { return errors.ErrUnsupported }
