package page

import (
	"bytes"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"

	"tautline/kernel/page/api"
	"tautline/kernel/page/assets"
	"tautline/kernel/page/door"
)

// files are the page's own, from the folder that assets embeds.
var files = func() fs.FS {
	sub, err := fs.Sub(assets.Files, "files")
	if err != nil {
		panic(err) // the folder is embedded, or this does not compile
	}
	return sub
}()

// registerPage serves the page's files. Every address that a person may have
// open is the same page: it looks at the address itself.
func registerPage(mux api.Mux) {
	for _, pattern := range []string{"GET /{$}", "GET /open/{path...}", "GET /tree"} {
		mux.Handle(pattern, http.HandlerFunc(index))
	}
	mux.Handle("GET /assets/{file...}", http.HandlerFunc(asset))
}

// index is the page with a nonce of its own for the editor's style sheets.
func index(w http.ResponseWriter, r *http.Request) {
	page, err := fs.ReadFile(files, "index.html")
	if err != nil {
		http.Error(w, "the page is missing from this program", http.StatusInternalServerError)
		return
	}
	nonce := door.Nonce()
	door.Policy(w.Header(), r.Host, nonce)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(bytes.ReplaceAll(page, []byte("{{nonce}}"), []byte(nonce)))
}

// asset gives one file. The browser may keep it, but asks whether it is still
// the one: the program may have been renewed.
func asset(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	data, err := fs.ReadFile(files, name)
	if err != nil || name == "index.html" {
		http.NotFound(w, r)
		return
	}
	h := w.Header()
	h.Set("Content-Type", typeOf(name))
	h.Set("Cache-Control", "private, no-cache")
	tag := strconv.Quote(etag(name, data))
	h.Set("ETag", tag)
	if strings.Contains(r.Header.Get("If-None-Match"), tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	w.Write(data)
}

// typeOf knows the few kinds there are, so that no registry of the system can
// make a script a text.
func typeOf(name string) string {
	known := map[string]string{".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".woff2": "font/woff2",
		".svg": "image/svg+xml", ".txt": "text/plain; charset=utf-8"}
	if t, ok := known[path.Ext(name)]; ok {
		return t
	}
	return mime.TypeByExtension(path.Ext(name))
}
