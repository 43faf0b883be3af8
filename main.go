// Tautline shows the forces between a breathing mask and a face: what the
// vent lets out on purpose, what the cushion lets out by mistake, and what
// tightening costs the skin.
package main

import (
	"os"

	"tautline/kernel/command"
)

func main() { os.Exit(command.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
