package words

import (
	"bytes"
	"context"
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"tautline/kernel/engine"
)

var writeSentences = flag.Bool("write-sentences", false, "write testdata/wrong.txt anew, to be read by a person")

// jargon is what a compiler says to programmers.
var jargon = regexp.MustCompile(`untyped|mismatched|operand|invalid|cannot use|expected|undefined|this is not Go|rune|identifier|expression|argument in call|literal|\bint\b.*\bas\b|·`)

// Cells that people get wrong, each with the sentence that answers it. No
// sentence speaks like a compiler, and each says something to do or to look at.
func TestWrongCells(t *testing.T) {
	data, err := os.ReadFile("testdata/wrong.txt")
	if err != nil {
		t.Fatal(err)
	}
	blocks := strings.Split(strings.TrimSpace(string(data)), "\n---\n")
	if len(blocks) < 100 {
		t.Fatalf("only %d cells", len(blocks))
	}
	for i, b := range blocks {
		cell, want, _ := strings.Cut(b, "\n=> ")
		got := answer(t, cell)
		blocks[i] = cell + "\n=> " + got
		if *writeSentences {
			continue
		}
		if got != want {
			t.Errorf("%s\ngives %s\nwant  %s", cell, got, want)
		}
		said := got[strings.Index(got, ": ")+1:]
		if bad := jargon.FindString(said); bad != "" {
			t.Errorf("%s: %q says %q", cell, got, bad)
		}
		if utf8.RuneCountInString(got) > 320 {
			t.Errorf("%s: %q is no sentence any more", cell, got)
		}
	}
	if *writeSentences {
		if err := os.WriteFile("testdata/wrong.txt", []byte(strings.Join(blocks, "\n---\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// answer gives what a cell's error says, in a notebook with a fitting and a
// function of its own.
func answer(t *testing.T, cell string) string {
	t.Helper()
	var out bytes.Buffer
	e, err := engine.New(All(), &out)
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close()
	e.Teach(Help())
	for _, c := range []string{`fit := PutOn(Mask("nasal", "medium"), Face("average"), Straps(3*N))`, "func double(f Force) Force { return 2*f }"} {
		if _, _, err := e.Run(context.Background(), c); err != nil {
			t.Fatal(err)
		}
	}
	_, _, err = e.Run(context.Background(), cell)
	if err == nil {
		return "(nothing)"
	}
	return err.Error()
}
