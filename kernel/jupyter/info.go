package jupyter

import (
	"runtime"
	"strings"
)

// Language is what front ends are told about the language of cells. They are
// Go: the names of masks and units in them are a package's, and an editor that
// knows Go colours them rightly.
func Language() map[string]any {
	return map[string]any{
		"name":            "go",
		"version":         strings.TrimPrefix(runtime.Version(), "go"),
		"mimetype":        "text/x-go",
		"file_extension":  ".go",
		"pygments_lexer":  "go",
		"codemirror_mode": "go",
	}
}

// helpLinks are shown in the front end's help menu.
var helpLinks = []map[string]string{
	{"text": "The Go language", "url": "https://go.dev/ref/spec"},
	{"text": "A tour of Go", "url": "https://go.dev/tour/"},
	{"text": "gonum, numbers and statistics", "url": "https://pkg.go.dev/gonum.org/v1/gonum"},
	{"text": "gonum/plot, drawing", "url": "https://pkg.go.dev/gonum.org/v1/plot"},
}

// banner greets in consoles.
const banner = `Tautline: the forces between a breathing mask and a face.
Cells are Go with words such as Mask, Face, PutOn and units such as 12*CmH2O.
Tab completes, ?name explains.`

// kernelInfo tells what this kernel is.
func (k *kernel) kernelInfo(*message) (any, error) {
	text := banner
	if k.Notice != nil {
		if more := k.Notice(); more != "" {
			text += "\n" + more
		}
	}
	return map[string]any{
		"status":                 "ok",
		"protocol_version":       ProtocolVersion,
		"implementation":         "tautline",
		"implementation_version": k.Version,
		"language_info":          Language(),
		"banner":                 text,
		"debugger":               false,
		"help_links":             helpLinks,
	}, nil
}

// connect lists the ports, for front ends that know the shell's only.
func (k *kernel) connect(*message) (any, error) {
	answer := map[string]any{"status": "ok"}
	for name, port := range k.ports {
		answer[name] = port
	}
	return answer, nil
}
