package engine

import (
	"errors"
	"go/parser"
	"go/token"
)

// Unfinished tells whether more lines could still make a text a whole cell,
// as the number of brackets that are open, at least 1 then. It reads the text
// only; an error is what is wrong with a text that no more lines will mend.
func Unfinished(text string) (open int, err error) {
	c := &cell{text: text}
	spans, err := split(c)
	if e := (*Error)(nil); errors.As(err, &e) {
		if e.Incomplete {
			return max(1, openBrackets(c)), nil
		}
		return 0, err
	}
	files := token.NewFileSet()
	for i, s := range spans {
		before, after := declBefore, ""
		if s.stmts {
			before, after = stmtsBefore, stmtsAfter
		}
		p := &piece{cell: c, start: s.start, wrap: len(before), size: s.end - s.start}
		_, err := parser.ParseFile(files, "", before+text[s.start:s.end]+after, parser.SkipObjectResolution)
		if err == nil {
			continue
		}
		err = p.syntaxError(err)
		if i == len(spans)-1 && dangles(text) {
			return 1, nil
		}
		return 0, err
	}
	return 0, nil
}

func openBrackets(c *cell) int {
	words, _ := lex(c)
	depth := 0
	for _, w := range words {
		depth += nesting(w.token)
	}
	return depth
}

// dangles tells whether a text ends where Go wants something to follow.
func dangles(text string) bool {
	words, err := lex(&cell{text: text})
	if err != nil || len(words) == 0 {
		return false
	}
	last := words[len(words)-1].token
	return last.IsOperator() && last != token.SEMICOLON && nesting(last) >= 0 && last != token.INC && last != token.DEC
}
