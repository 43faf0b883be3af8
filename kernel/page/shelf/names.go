package shelf

import (
	"fmt"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limits on names. Assumed: below what file systems of today allow.
const (
	longestName = 200  // bytes
	longestPath = 1000 // bytes
)

// devices are names that Windows keeps for devices, with any ending.
var devices = map[string]bool{"con": true, "prn": true, "aux": true, "nul": true, "conin$": true, "conout$": true}

func init() {
	for _, n := range []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "¹", "²", "³"} {
		devices["com"+n], devices["lpt"+n] = true, true
	}
}

// clean gives a path as it is used inside: slashes, no empty or dotted parts,
// "" for the folder itself. It refuses names that mean something else
// somewhere: a folder may travel from a Mac to a clinic PC.
func clean(p string) (string, error) {
	p = strings.Trim(p, "/")
	if p == "" {
		return "", nil
	}
	if len(p) > longestPath {
		return "", &Error{Odd, p, "the path is too long"}
	}
	for _, name := range strings.Split(p, "/") {
		if reason := oddName(name); reason != "" {
			return "", &Error{Odd, p, reason}
		}
	}
	return p, nil
}

// oddName tells why a name cannot be used, or nothing.
func oddName(name string) string {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case name == "":
		return "a name is missing between two slashes"
	case name[0] == '.':
		return "names that begin with a dot are not shown here"
	case !utf8.ValidString(name):
		return "the name is not UTF-8"
	case len(name) > longestName:
		return "the name is too long"
	case strings.ContainsAny(name, `<>:"|?*\`):
		return `a name holds none of < > : " | ? * \`
	case strings.IndexFunc(name, unicode.IsControl) >= 0:
		return "a name holds no control characters"
	case strings.HasSuffix(name, " ") || strings.HasSuffix(name, "."):
		return "a name does not end with a blank or a dot"
	case devices[strings.TrimRight(stem, " ")]:
		return fmt.Sprintf("%s is the name of a device on Windows", stem)
	}
	return ""
}

// kinds are the endings of files that are shown, and whether they may be
// written. What a notebook reads or makes is there; programs are not.
var kinds = map[string]bool{
	".ipynb": true, ".csv": true, ".tsv": true, ".toml": true, ".txt": true, ".md": true, ".json": true,
	".svg": false, ".png": false, ".html": false, ".pdf": false,
}

// file refuses a path that is no file of a kind shown here.
func file(p string, write bool) (string, error) {
	p, err := clean(p)
	if err != nil {
		return "", err
	}
	writable, known := kinds[strings.ToLower(path.Ext(p))]
	switch {
	case p == "" || !known:
		return "", &Error{Odd, p, "files of this kind are not opened here: notebooks (.ipynb) and what they read are"}
	case write && !writable:
		return "", &Error{Odd, p, "files of this kind are shown here, not written"}
	}
	return p, nil
}
