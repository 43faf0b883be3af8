package jupyter

import (
	"context"
	"os"
	"strconv"
	"time"
)

// parentName is the variable by which Jupyter tells a kernel that it should not
// outlive who started it: with the parent's number, or on Windows a handle to
// it. Kernels that are meant to go on by themselves are started without it.
const parentName = "JPY_PARENT_PID"

// parentPause is the time between two looks where the system does not tell. Assumed: nobody misses a kernel's
// memory in half a second, and a look costs nothing.
const parentPause = 500 * time.Millisecond

// WithParent gives a context that ends when the front end that started this
// process is gone, if that front end asks for it.
func WithParent(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(ctx)
	if n, err := strconv.ParseUint(os.Getenv(parentName), 10, 32); err == nil && n > 0 {
		go watchParent(ctx, n, cancel)
	}
	return ctx, cancel
}
