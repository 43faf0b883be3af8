// Package notebooks holds the lessons, in reading order, inside the program.
package notebooks

import "embed"

// Files holds every lesson under its file name.
//
//go:embed *.ipynb
var Files embed.FS
