// Command build makes the page's files from its sources: one script, one style
// sheet, the fonts of formulas and the licences of all that is in them. The
// same sources give the same bytes, on any machine.
//
//	cd kernel/page/web && npm ci --ignore-scripts
//	go run -C kernel/page/build .
package main

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

const (
	web = "../web"
	out = "../assets/files"
)

func main() {
	log.SetFlags(0)
	used := bundle()
	if err := licences(used); err != nil {
		log.Fatal(err)
	}
}

// bundle writes script and style, and gives the packages that are in them.
func bundle() []string {
	dir, err := filepath.Abs(web)
	if err != nil {
		log.Fatal(err)
	}
	target, err := filepath.Abs(out)
	if err != nil {
		log.Fatal(err)
	}
	r := api.Build(api.BuildOptions{
		AbsWorkingDir: dir,
		EntryPointsAdvanced: []api.EntryPoint{
			{InputPath: "src/main.ts", OutputPath: "page"},
			{InputPath: "src/page.css", OutputPath: "page"},
		},
		Outdir: target, Bundle: true, Write: true, Metafile: true, Charset: api.CharsetUTF8,
		MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true,
		Format: api.FormatIIFE, Target: api.ES2021, LegalComments: api.LegalCommentsNone,
		AssetNames: "fonts/[name]",
		Loader:     map[string]api.Loader{".woff2": api.LoaderFile},
		Plugins:    []api.Plugin{oneKindOfFont},
	})
	for _, e := range append(r.Errors, r.Warnings...) {
		where := ""
		if e.Location != nil {
			where = fmt.Sprintf("%s:%d: ", e.Location.File, e.Location.Line)
		}
		log.Print(where + e.Text)
	}
	if len(r.Errors) > 0 {
		os.Exit(1)
	}
	for _, f := range r.OutputFiles {
		fmt.Printf("%8d  %s\n", len(f.Contents), filepath.Base(f.Path))
	}
	return packages(r.Metafile)
}

// older are the kinds of font that the style sheet of formulas offers besides
// woff2, which every browser that can run the page reads.
var older = regexp.MustCompile(`,url\([^)]*\.(?:woff|ttf)\) format\("[a-z]+"\)`)

// oneKindOfFont leaves the older ones out, so that the browser has a third as
// many addresses to look at before it first paints.
var oneKindOfFont = api.Plugin{Name: "one kind of font", Setup: func(b api.PluginBuild) {
	b.OnLoad(api.OnLoadOptions{Filter: `katex\.min\.css$`}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
		data, err := os.ReadFile(a.Path)
		text := older.ReplaceAllString(string(data), "")
		return api.OnLoadResult{Contents: &text, Loader: api.LoaderCSS, ResolveDir: filepath.Dir(a.Path)}, err
	})
}}

// packages reads from the bundler's notes whose code went in.
func packages(notes string) []string {
	var m struct{ Inputs map[string]struct{} }
	if err := json.Unmarshal([]byte(notes), &m); err != nil {
		log.Fatal(err)
	}
	found := map[string]bool{}
	for path := range m.Inputs {
		_, rest, ok := strings.Cut(path, "node_modules/")
		if !ok {
			continue
		}
		parts := strings.Split(rest, "/")
		n := 1
		if strings.HasPrefix(rest, "@") {
			n = 2
		}
		found[strings.Join(parts[:n], "/")] = true
	}
	var names []string
	for name := range found {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

// licences writes the terms of every package beside the bundle. A package
// without a text of them must not be in it.
func licences(names []string) error {
	var b strings.Builder
	b.WriteString("The page contains these packages. Each is used under the terms that follow its name.\n")
	b.WriteString("DOMPurify is offered under two licences; it is used under the Apache License 2.0.\n")
	for _, name := range names {
		dir := filepath.Join(web, "node_modules", name)
		var p struct{ Version, License string }
		data, err := os.ReadFile(filepath.Join(dir, "package.json"))
		if err != nil {
			return err
		}
		if err := json.Unmarshal(data, &p); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		text, err := licence(dir)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		fmt.Fprintf(&b, "\n%s\n%s %s (%s)\n%s\n\n%s\n", strings.Repeat("=", 72), name, p.Version, p.License, strings.Repeat("-", 72), strings.TrimSpace(text))
	}
	return os.WriteFile(filepath.Join(out, "licences.txt"), []byte(b.String()), 0o644)
}

func licence(dir string) (string, error) {
	all, err := os.ReadDir(dir)
	if err != nil {
		return "", err
	}
	for _, f := range all {
		name := strings.ToLower(f.Name())
		if strings.HasPrefix(name, "license") || strings.HasPrefix(name, "licence") {
			data, err := os.ReadFile(filepath.Join(dir, f.Name()))
			return strings.ReplaceAll(string(data), "\r\n", "\n"), err
		}
	}
	return "", fmt.Errorf("has no text of its licence")
}
