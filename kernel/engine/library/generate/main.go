// Command generate writes the tables of what cells can import: a name and a
// value for everything that the listed packages export, as far as reflection
// can hold it. Run it with go generate in the folder above.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	files, err := tables()
	if err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Clean(name), text, 0o644); err != nil {
			fmt.Fprintln(os.Stderr, "generate:", err)
			os.Exit(1)
		}
	}
}
