package page

import (
	"sync"

	"tautline/kernel/page/shelf"
)

// tags keeps the hashes of the page's files, which never change in one run.
var tags sync.Map

func etag(name string, data []byte) string {
	if t, ok := tags.Load(name); ok {
		return t.(string)
	}
	t := shelf.Hash(data)[:20]
	tags.Store(name, t)
	return t
}
