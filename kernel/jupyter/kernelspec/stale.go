package kernelspec

import (
	"fmt"
	"os"
	"path/filepath"
)

// Stale looks through Jupyter's data folders for kernelspecs of ours that no
// longer do what they should, and says of each what is wrong.
func Stale(data []string, build string) []string {
	var said []string
	for _, dir := range ours(data) {
		if text := stale(dir, build); text != "" {
			said = append(said, text)
		}
	}
	return said
}

// ours lists the kernelspecs that this program wrote.
func ours(data []string) []string {
	var found []string
	seen := map[string]bool{}
	for _, d := range data {
		names, _ := os.ReadDir(filepath.Join(d, "kernels"))
		for _, name := range names {
			dir := Dir(d, name.Name())
			if _, ok := readNote(dir); ok && !seen[dir] {
				seen[dir] = true
				found = append(found, dir)
			}
		}
	}
	return found
}

// stale says what is wrong with a kernelspec; nothing if it is as this program
// would write it.
func stale(dir, build string) string {
	n, _ := readNote(dir)
	const remedy = `; "tautline install" makes it new, "tautline uninstall" removes it`
	if _, err := os.Stat(n.Program); err != nil {
		return fmt.Sprintf("The kernelspec %s is stale: it starts %s, which is not there%s.", dir, n.Program, remedy)
	}
	all, err := files(n.Program, filepath.Base(dir), n.Build)
	if err != nil {
		return ""
	}
	if n.Files != digest(all) {
		return fmt.Sprintf("The kernelspec %s is stale: it was written by tautline %s, and this is tautline %s%s.", dir, n.Build, build, remedy)
	}
	for name, want := range all {
		if got, err := os.ReadFile(filepath.Join(dir, name)); name != noteFile && (err != nil || string(got) != string(want)) {
			return fmt.Sprintf("The kernelspec %s is not as it was written: %s differs%s.", dir, name, remedy)
		}
	}
	return ""
}

// Users lists the kernelspecs that start a program.
func Users(data []string, program string) []string {
	var found []string
	for _, dir := range ours(data) {
		if n, _ := readNote(dir); n.Program == program {
			found = append(found, dir)
		}
	}
	return found
}
