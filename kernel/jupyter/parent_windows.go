package jupyter

import (
	"context"

	"golang.org/x/sys/windows"
)

// watchParent waits for the parent's end by the handle that Jupyter passes on.
func watchParent(_ context.Context, named uint64, gone func()) {
	if e, err := windows.WaitForSingleObject(windows.Handle(named), windows.INFINITE); err == nil && e == windows.WAIT_OBJECT_0 {
		gone()
	}
}
