package engine

import (
	"fmt"
	"go/token"
	"regexp"
	"strings"
	"unicode/utf8"
)

// What people type who know masks better than Go, and how to say it in Go. The
// parser's own message is kept where nothing plainer is known.

// syntaxSentence words what is wrong at a place of a cell.
func syntaxSentence(c *cell, offset int, msg string) string {
	s := sight{c: c, at: offset, msg: tidy(msg)}
	for _, try := range []func(sight) string{
		sight.otherLanguage, sight.quotes, sight.oddSign, sight.unitWithoutTimes, sight.list, sight.early,
		sight.imported, sight.loop, sight.condition, sight.fields, sight.comma, sight.values} {
		if text := try(s); text != "" {
			return text
		}
	}
	return "this is not Go: " + strings.TrimPrefix(s.msg, "expected declaration, found ")
}

// A sight is a complaint of the parser together with the text around it.
type sight struct {
	c   *cell
	at  int
	msg string
}

// line is the line that the complaint is about.
func (s sight) line() string {
	from := strings.LastIndexByte(s.c.text[:min(s.at, len(s.c.text))], '\n') + 1
	line, _, _ := strings.Cut(s.c.text[from:], "\n")
	return strings.TrimSpace(line)
}

// before gives the token before the place, after the one there.
func (s sight) before() (before, after string, kind, next token.Token) {
	words, _ := lexAll(s.c.text)
	for i, w := range words {
		if w.offset >= s.at || i == len(words)-1 {
			if w.offset >= s.at {
				after, next = s.c.text[w.offset:w.end], w.token
			}
			if i > 0 {
				before, kind = s.c.text[words[i-1].offset:words[i-1].end], words[i-1].token
			}
			return before, after, kind, next
		}
	}
	return "", "", token.ILLEGAL, token.ILLEGAL
}

var languages = []struct {
	begins *regexp.Regexp
	says   string
}{
	{regexp.MustCompile(`^[%!]`), "cells are Go and give no commands to other programs; a plot shows itself when it is the last line of a cell"},
	{regexp.MustCompile(`^def\b`), "a function is written like func double(f Force) Force { return 2*f }"},
	{regexp.MustCompile(`^(let|set|dim)\s+(\w+)\s*=`), "a name gets its first value with :=, as in x := 3*N"},
	{regexp.MustCompile(`^print\s+\S`), "what is printed stands in brackets: println(\"hello\")"},
	{regexp.MustCompile(`^from\s+\w+\s+import\b`), "a package is imported by its name in quotes: import \"math\""},
	{regexp.MustCompile(`^(while|elif|lambda|class)\b`), "cells are Go: a loop is written for condition { ... }, a choice if condition { ... } else { ... }"},
	{regexp.MustCompile(`^\w+\s*<-\s*\w`), "a name gets its first value with :=, as in x := 3*N"},
	{regexp.MustCompile(`^(const|var)\s+\w+\s+[\d.]+$`), "a value comes after =, as in var x = 3*N"},
}

func (s sight) otherLanguage() string {
	line := s.line()
	for _, l := range languages {
		if l.begins.MatchString(line) {
			return l.says
		}
	}
	return ""
}

func (s sight) quotes() string {
	switch {
	case strings.Contains(s.msg, "comment not terminated"):
		return "this remark has no end; close it with */"
	case strings.Contains(s.msg, "string literal not terminated"):
		return "this text has no closing quotation mark"
	case strings.Contains(s.msg, "curly quotation mark"):
		return `a text stands in straight quotation marks: "nasal"`
	case strings.Contains(s.msg, "in octal literal"):
		return "a whole number does not begin with 0"
	case strings.Contains(s.msg, "rune literal"):
		return `a text stands in double quotation marks: "nasal"`
	}
	return ""
}

// oddSign names a sign that no Go text holds, such as the quotation marks of a
// word processor.
func (s sight) oddSign() string {
	if !strings.HasPrefix(s.msg, "illegal character") && !strings.HasPrefix(s.msg, "invalid character") {
		return ""
	}
	r, size := utf8.DecodeRuneInString(s.c.text[min(s.at, len(s.c.text)):])
	switch {
	case size == 0 || r == '\n':
		return ""
	case strings.ContainsRune("“”„«»", r):
		return `a text stands in straight quotation marks: "nasal"`
	case strings.ContainsRune("‘’‚", r):
		return `a text stands in straight double quotation marks: "nasal"`
	case strings.ContainsRune("×·", r):
		return "times is written *: 3*N"
	case strings.ContainsRune("−–—", r):
		return "minus is written -"
	case r == '÷':
		return "divided by is written /"
	case r == '°':
		return "an angle is written like 2*Degree"
	case r == '?':
		return "help on a word is asked in a cell of its own: ?Straps"
	}
	return fmt.Sprintf("the sign %c has no meaning here", r)
}

// unitWithoutTimes finds 3 N and 12 cmH2O.
func (s sight) unitWithoutTimes() string {
	before, after, kind, next := s.before()
	if (kind == token.INT || kind == token.FLOAT) && next == token.IDENT && !strings.Contains(s.line(), after+"(") {
		return fmt.Sprintf("a number and its unit have * between them: %s*%s", before, after)
	}
	return ""
}

var bareList = regexp.MustCompile(`(:=|=|range|\(|,|return)\s*([\[{])\s*[^\]}]`)

// list finds [1*N, 2*N] and {1, 2} without a type.
func (s sight) list() string {
	if strings.Contains(s.msg, "unexpected comma; expecting ]") || strings.Contains(s.msg, "expected operand, found '{'") ||
		strings.Contains(s.msg, "expected operand, found '['") {
		if bareList.MatchString(s.line()) {
			return "a list is written with the type of what is in it: []Force{1*N, 2*N} or []float64{1, 2}"
		}
	}
	return ""
}

// early finds a cell that ends in the midst of something.
func (s sight) early() string {
	rest := strings.TrimSpace(s.c.text[min(s.at, len(s.c.text)):])
	if rest != "" || !strings.Contains(s.msg, "found '}'") && !strings.Contains(s.msg, "found 'EOF'") {
		return ""
	}
	words, _ := lexAll(s.c.text)
	if len(words) == 0 {
		return ""
	}
	last := words[len(words)-1]
	return "something is missing after " + s.c.text[last.offset:last.end]
}

func (s sight) imported() string {
	if strings.Contains(s.msg, "import path") {
		return `a package is imported by its path in quotes: import "math"`
	}
	return ""
}

func (s sight) loop() string {
	line := s.line()
	switch {
	case regexp.MustCompile(`^for\s+\w+\s+in\b`).MatchString(line):
		return "a loop is written for i := range 5 { ... }, or for _, p := range []Pressure{4*CmH2O, 8*CmH2O} { ... }"
	case strings.Contains(s.msg, "expected '{'") && strings.HasPrefix(line, "for"):
		return "what a loop repeats stands in braces: for i := range 5 { ... }"
	}
	return ""
}

func (s sight) condition() string {
	switch {
	case strings.Contains(s.msg, "expected boolean expression, found assignment"), strings.Contains(s.msg, "cannot use assignment"):
		return "two values are compared with ==; = sets a value"
	case strings.Contains(s.msg, "unexpected newline, expecting { after"), strings.Contains(s.msg, "expected '{', found newline"):
		return "the { belongs at the end of this line"
	case strings.Contains(s.msg, "else must be"), strings.HasPrefix(s.line(), "else"):
		return "else stands on the line of the } before it: } else { ... }"
	case strings.Contains(s.msg, "expected '{'") && strings.HasPrefix(s.line(), "if"):
		return "what an if does stands in braces: if x > 3 { ... }"
	}
	return ""
}

func (s sight) fields() string {
	if s.msg == "expected ';', found ','" && strings.Contains(s.line(), "struct") {
		return "the fields of a struct are parted by ; or stand on lines of their own"
	}
	return ""
}

// comma finds what stands side by side without one.
func (s sight) comma() string {
	if !strings.Contains(s.msg, "missing ',' in") {
		return ""
	}
	before, after, kind, next := s.before()
	if kind == token.IDENT && next == token.IDENT {
		return fmt.Sprintf(`a text stands in quotation marks: "%s %s"`, before, after)
	}
	return "a comma is missing before " + orElse(after, "the end of the line")
}

// values finds two values on a line, or two lines in one.
func (s sight) values() string {
	switch {
	case strings.Contains(s.msg, "expected 1 expression"):
		return "one value to a line: write them one below the other"
	case strings.HasPrefix(s.msg, "expected ';', found"):
		_, after, _, _ := s.before()
		return "this line is complete before " + after + "; is a sign missing, or a new line?"
	case strings.HasPrefix(s.msg, "expected operand, found"):
		_, after, _, _ := s.before()
		return "a value is missing before " + after
	}
	return ""
}
