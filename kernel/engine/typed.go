package engine

import (
	"go/scanner"
	"go/token"
	"strings"
	"unicode/utf8"
)

// A spot is a place in a text that is being typed, and what stands before it.
type spot struct {
	code   string
	at     int      // bytes
	before []lexeme // tokens that are whole before the name that is being typed
	from   int      // where that name, or the text in quotes, begins
	inside place    // what the spot is inside of
}

type place int

const (
	inCode place = iota
	inQuotes
	inNothing // a remark, a number: nothing can be offered
)

// spotAt reads the text up to a cursor in code points.
func spotAt(code string, cursor int) spot {
	s := spot{code: code, at: byteOffset(code, cursor)}
	s.from = s.at
	words, broken := lexAll(code[:s.at])
	if len(words) == 0 {
		return s
	}
	last := words[len(words)-1]
	s.before = words
	if last.end < s.at {
		return s
	}
	switch last.token {
	case token.IDENT:
		s.from, s.before = last.offset, words[:len(words)-1]
	case token.STRING:
		s.inside = inNothing
		if broken {
			s.inside, s.from, s.before = inQuotes, last.offset+1, words[:len(words)-1]
		}
	case token.COMMENT:
		if broken || strings.HasPrefix(code[last.offset:], "//") {
			s.inside = inNothing
		}
	case token.INT, token.FLOAT, token.IMAG, token.CHAR:
		s.inside = inNothing
	default:
		if last.token.IsKeyword() { // it may be the beginning of a longer name
			s.from, s.before = last.offset, words[:len(words)-1]
		}
	}
	return s
}

// byteOffset turns a cursor in code points into bytes, kept inside the text.
func byteOffset(code string, cursor int) int {
	at := 0
	for ; cursor > 0 && at < len(code); cursor-- {
		_, size := utf8.DecodeRuneInString(code[at:])
		at += size
	}
	return at
}

// lexAll reads the tokens of a text that may end anywhere, remarks too; broken
// tells that its last token wants an end.
func lexAll(text string) (words []lexeme, broken bool) {
	var s scanner.Scanner
	bad := -1
	file := token.NewFileSet().AddFile("", -1, len(text))
	s.Init(file, []byte(text), func(p token.Position, msg string) {
		if strings.Contains(msg, "not terminated") {
			bad = p.Offset
		}
	}, scanner.ScanComments)
	for {
		pos, tok, lit := s.Scan()
		if tok == token.EOF {
			break
		}
		start := file.Offset(pos)
		if tok == token.SEMICOLON && lit == "\n" {
			continue // implied; may stand at the end of the text too
		}
		if lit == "" || tok == token.SEMICOLON {
			lit = tok.String()
		}
		words = append(words, lexeme{start, min(start+len(lit), len(text)), tok})
	}
	return words, bad >= 0 && len(words) > 0 && bad == words[len(words)-1].offset
}

// prefix is what has been typed of the name or the text in quotes.
func (s spot) prefix() string { return s.code[s.from:s.at] }

// afterDot tells whether the name that is being typed is a member's.
func (s spot) afterDot() bool {
	return len(s.before) > 0 && s.before[len(s.before)-1].token == token.PERIOD
}

// called finds the function whose arguments the spot is among, by the last part
// of its name, and the number of the argument.
func (s spot) called() (name string, argument int) {
	depth := 0
	for i := len(s.before) - 1; i >= 0; i-- {
		switch w := s.before[i]; {
		case nesting(w.token) < 0:
			depth++
		case nesting(w.token) > 0 && depth > 0:
			depth--
		case w.token == token.LPAREN && i > 0 && s.before[i-1].token == token.IDENT:
			return s.code[s.before[i-1].offset:s.before[i-1].end], argument
		case nesting(w.token) > 0:
			return "", 0
		case w.token == token.COMMA && depth == 0:
			argument++
		}
	}
	return "", 0
}

// imported tells whether the text in quotes is the path of an import.
func (s spot) imported() bool {
	for i := len(s.before) - 1; i >= 0; i-- {
		switch t := s.before[i].token; t {
		case token.IMPORT:
			return true
		case token.LPAREN, token.STRING, token.SEMICOLON, token.IDENT, token.PERIOD:
		default:
			return false
		}
	}
	return false
}

// closers are the brackets that the text before the spot leaves open, shut.
func (s spot) closers() string {
	var open []token.Token
	for _, w := range s.before {
		switch nesting(w.token) {
		case 1:
			open = append(open, w.token)
		case -1:
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
		}
	}
	var b strings.Builder
	for i := len(open) - 1; i >= 0; i-- {
		if open[i] == token.LBRACE {
			b.WriteByte('\n')
		}
		b.WriteString(closes[open[i]].String())
	}
	return b.String()
}
