package engine

import (
	"fmt"
	"go/scanner"
	"go/token"
	"strings"
)

// A span is a stretch of a cell that is parsed on its own: either a run of
// statements, or one function or import declaration, which Go allows only
// outside functions.
type span struct {
	start, end int
	stmts      bool
}

type lexeme struct {
	offset, end int
	token       token.Token
}

// split cuts a cell at its top-level functions and imports.
func split(c *cell) ([]span, error) {
	words, err := lex(c)
	if err != nil {
		return nil, err
	}
	if err := balanced(c, words); err != nil {
		return nil, err
	}
	var spans []span
	from, depth, fresh := 0, 0, true // fresh: a new item may begin here
	for i := 0; i < len(words); i++ {
		w := words[i]
		if fresh && depth == 0 && w.token == token.PACKAGE {
			return nil, c.errorAt(w.offset, Refused, "a cell needs no package line; leave it out")
		}
		if fresh && depth == 0 && opensDecl(words[i:]) {
			last := endOfItem(words, i)
			spans = appendStmts(spans, c, from, w.offset)
			spans = append(spans, span{w.offset, words[last].end, false})
			from, i, fresh = words[last].end, last, true
			continue
		}
		depth += nesting(w.token)
		fresh = w.token == token.SEMICOLON
	}
	return appendStmts(spans, c, from, len(c.text)), nil
}

func appendStmts(spans []span, c *cell, from, to int) []span {
	if from >= to {
		return spans
	}
	return append(spans, span{from, to, true})
}

// lex reads all of a cell's tokens.
func lex(c *cell) ([]lexeme, error) {
	var s scanner.Scanner
	var first *Error
	file := token.NewFileSet().AddFile("", -1, len(c.text))
	s.Init(file, []byte(c.text), func(pos token.Position, msg string) {
		if first == nil {
			first = c.errorAt(pos.Offset, Syntax, syntaxSentence(c, pos.Offset, msg))
			first.Incomplete = strings.Contains(msg, "raw string literal not terminated") || strings.Contains(msg, "comment not terminated")
		}
	}, 0)
	var words []lexeme
	for {
		pos, tok, lit := s.Scan()
		if tok == token.EOF {
			break
		}
		if lit == "" || tok == token.SEMICOLON {
			lit = tok.String()
		}
		start := file.Offset(pos)
		words = append(words, lexeme{start, min(start+len(lit), len(c.text)), tok})
	}
	if first != nil {
		return nil, first
	}
	return words, nil
}

func nesting(t token.Token) int {
	switch t {
	case token.LPAREN, token.LBRACK, token.LBRACE:
		return 1
	case token.RPAREN, token.RBRACK, token.RBRACE:
		return -1
	}
	return 0
}

var closes = map[token.Token]token.Token{token.LPAREN: token.RPAREN,
	token.LBRACK: token.RBRACK, token.LBRACE: token.RBRACE}

// balanced checks that every bracket is closed by its own kind. The pieces
// could not be cut out otherwise, and Go's own message would point elsewhere.
func balanced(c *cell, words []lexeme) error {
	var open []lexeme
	for _, w := range words {
		switch nesting(w.token) {
		case 1:
			open = append(open, w)
		case -1:
			if len(open) == 0 {
				return c.errorAt(w.offset, Syntax, fmt.Sprintf("this %s closes nothing", w.token))
			}
			last := open[len(open)-1]
			if closes[last.token] != w.token {
				return c.errorAt(w.offset, Syntax, fmt.Sprintf("%s found where the %s of line %d wants %s",
					w.token, last.token, lineOf(c, last), closes[last.token]))
			}
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 {
		last := open[len(open)-1]
		err := c.errorAt(last.offset, Syntax, fmt.Sprintf("this %s is never closed", last.token))
		err.Incomplete = true
		return err
	}
	return nil
}

func lineOf(c *cell, w lexeme) int {
	line, _ := c.place(w.offset)
	return line
}

// opensDecl tells whether the tokens begin a function or import declaration.
// A function literal used as a statement is told apart by what follows: only a
// method has a name and a parameter list after the first parentheses.
func opensDecl(w []lexeme) bool {
	if w[0].token == token.IMPORT {
		return true
	}
	if w[0].token != token.FUNC || len(w) < 2 {
		return false
	}
	if w[1].token == token.IDENT {
		return true
	}
	depth := 0
	for i := 1; i < len(w); i++ {
		depth += nesting(w[i].token)
		if depth == 0 {
			return i+2 < len(w) && w[i+1].token == token.IDENT && w[i+2].token == token.LPAREN
		}
	}
	return false
}

// endOfItem finds the semicolon, typed or implied, that ends the item which
// begins at word i.
func endOfItem(words []lexeme, i int) int {
	depth := 0
	for ; i < len(words)-1; i++ {
		depth += nesting(words[i].token)
		if depth == 0 && words[i].token == token.SEMICOLON {
			break
		}
	}
	return i
}
