// Package assets holds the page's files: our script and style, built from
// kernel/page/web, the fonts of formulas, and the licences of what is in them.
package assets

import "embed"

// Files holds them under their names.
//
//go:embed all:files
var Files embed.FS
