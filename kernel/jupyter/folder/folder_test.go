package folder

import (
	"path/filepath"
	"reflect"
	"runtime"
	"testing"
)

func place(system, home string, env map[string]string) Place {
	return Place{system, func(name string) string { return env[name] }, home}
}

func slashed(s string, err error) string {
	if err != nil {
		return "error"
	}
	return filepath.ToSlash(s)
}

// The folders are those of Jupyter's documentation, "Common directories and
// file locations", and of each system.
func TestFolders(t *testing.T) {
	root := ""
	if runtime.GOOS == "windows" {
		root = "C:"
	}
	for _, c := range []struct {
		place        Place
		jupyter, own string
	}{
		{place("linux", "/home/ann", nil), "/home/ann/.local/share/jupyter", "/home/ann/.local/share/tautline"},
		{place("linux", "/home/ann", map[string]string{"XDG_DATA_HOME": root + "/data"}), root + "/data/jupyter", root + "/data/tautline"},
		{place("linux", "/home/ann", map[string]string{"XDG_DATA_HOME": "not/absolute"}), "/home/ann/.local/share/jupyter", "/home/ann/.local/share/tautline"},
		{place("linux", "/home/ann", map[string]string{"JUPYTER_DATA_DIR": root + "/j"}), root + "/j", "/home/ann/.local/share/tautline"},
		{place("freebsd", "/home/ann", nil), "/home/ann/.local/share/jupyter", "/home/ann/.local/share/tautline"},
		{place("darwin", "/Users/ann", map[string]string{"XDG_DATA_HOME": root + "/data"}), "/Users/ann/Library/Jupyter", "/Users/ann/Library/Application Support/tautline"},
		{place("windows", "C:/Users/ann", map[string]string{"APPDATA": "C:/R", "LOCALAPPDATA": "C:/L"}), "C:/R/jupyter", "C:/L/tautline"},
		{place("windows", "C:/Users/ann", nil), "C:/Users/ann/.jupyter/data", "C:/Users/ann/AppData/Local/tautline"},
		{place("linux", "", nil), "error", "error"},
	} {
		if got := slashed(c.place.Jupyter()); got != c.jupyter {
			t.Errorf("%s: Jupyter in %s, want %s", c.place.System, got, c.jupyter)
		}
		if got := slashed(c.place.Own()); got != c.own {
			t.Errorf("%s: own in %s, want %s", c.place.System, got, c.own)
		}
	}
}

func TestAll(t *testing.T) {
	for _, c := range []struct {
		place Place
		want  []string
	}{
		{place("linux", "/h", map[string]string{"VIRTUAL_ENV": "/v", "CONDA_PREFIX": "/c"}),
			[]string{"/h/.local/share/jupyter", "/v/share/jupyter", "/usr/local/share/jupyter", "/usr/share/jupyter"}},
		{place("darwin", "/h", map[string]string{"JUPYTER_PATH": "/p", "CONDA_PREFIX": "/c"}),
			[]string{"/p", "/h/Library/Jupyter", "/c/share/jupyter", "/usr/local/share/jupyter", "/usr/share/jupyter"}},
		{place("windows", "C:/h", map[string]string{"PROGRAMDATA": "C:/P", "APPDATA": "C:/R"}), []string{"C:/R/jupyter", "C:/P/jupyter"}},
		{place("linux", "", nil), []string{"/usr/local/share/jupyter", "/usr/share/jupyter"}},
	} {
		var got []string
		for _, dir := range c.place.All() {
			got = append(got, filepath.ToSlash(dir))
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %q, want %q", c.place.System, got, c.want)
		}
	}
	if Here().System != runtime.GOOS {
		t.Error("here is elsewhere")
	}
}
