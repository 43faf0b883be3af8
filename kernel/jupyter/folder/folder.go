// Package folder knows where things are kept: Jupyter's kernelspecs, and what
// tautline keeps itself. Jupyter need not be there. The rules are Jupyter's
// own (https://docs.jupyter.org, "Common directories and file locations") and
// those of each system.
package folder

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// A Place is what the folders depend on. Tests make up their own.
type Place struct {
	System string                   // runtime.GOOS
	Env    func(name string) string // os.Getenv
	Home   string                   // the user's folder; may be empty
}

// Here is the place where this process runs.
func Here() Place {
	home, _ := os.UserHomeDir()
	return Place{runtime.GOOS, os.Getenv, home}
}

var errHome = errors.New("this user has no home folder; name one with --prefix, or set HOME")

// Jupyter is the user's data folder of Jupyter.
func (p Place) Jupyter() (string, error) {
	if dir := p.Env("JUPYTER_DATA_DIR"); dir != "" {
		return filepath.Abs(dir)
	}
	switch p.System {
	case "windows":
		if dir := p.Env("APPDATA"); dir != "" {
			return filepath.Join(dir, "jupyter"), nil
		}
		return p.inHome(".jupyter", "data")
	case "darwin":
		return p.inHome("Library", "Jupyter")
	}
	return p.xdg("jupyter")
}

// Prefix is Jupyter's data folder of an installation, such as a Python
// environment or /usr/local.
func Prefix(prefix string) string { return filepath.Join(prefix, "share", "jupyter") }

// Environment is the active Python environment; empty if there is none.
func (p Place) Environment() string {
	for _, name := range []string{"VIRTUAL_ENV", "CONDA_PREFIX"} {
		if dir := p.Env(name); dir != "" {
			return dir
		}
	}
	return ""
}

// All lists the data folders in which front ends look, in their order.
func (p Place) All() []string {
	all := filepath.SplitList(p.Env("JUPYTER_PATH"))
	if dir, err := p.Jupyter(); err == nil {
		all = append(all, dir)
	}
	if dir := p.Environment(); dir != "" {
		all = append(all, Prefix(dir))
	}
	if p.System == "windows" {
		if dir := p.Env("PROGRAMDATA"); dir != "" {
			all = append(all, filepath.Join(dir, "jupyter"))
		}
		return all
	}
	return append(all, Prefix("/usr/local"), Prefix("/usr"))
}

// Own is where tautline keeps what must last: the history of cells, and a copy
// of itself.
func (p Place) Own() (string, error) {
	switch p.System {
	case "windows":
		if dir := p.Env("LOCALAPPDATA"); dir != "" {
			return filepath.Join(dir, "tautline"), nil
		}
		return p.inHome("AppData", "Local", "tautline")
	case "darwin":
		return p.inHome("Library", "Application Support", "tautline")
	}
	return p.xdg("tautline")
}

// xdg is a folder after the XDG Base Directory Specification, which wants
// paths that are not absolute to be ignored.
func (p Place) xdg(name string) (string, error) {
	if dir := p.Env("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, name), nil
	}
	return p.inHome(".local", "share", name)
}

func (p Place) inHome(parts ...string) (string, error) {
	if p.Home == "" {
		return "", errHome
	}
	return filepath.Join(append([]string{p.Home}, parts...)...), nil
}
