package engine

import (
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"sort"
	"strings"
	"unicode/utf8"
)

// A cell is the text that one Run was given. Go knows files of declarations
// and functions of statements, but no mixture of the two, so a cell is cut into
// pieces that Go's own parser reads, and put together again as items.
type cell struct {
	text string
}

// A piece is a part of a cell that was parsed on its own, in a wrapping that
// makes it a Go file.
type piece struct {
	cell  *cell
	start int // byte offset in the cell where the piece's text begins
	wrap  int // bytes of the wrapping before it
	size  int // bytes of the piece's text
}

// An item is one thing at the top level of a cell: a statement or declaration.
type item struct {
	node ast.Node // *ast.FuncDecl, *ast.GenDecl (import or type) or ast.Stmt
}

// What stands round a piece of statements, and round one declaration.
const (
	stmtsBefore, stmtsAfter = "package p; func _() {", "\n}"
	declBefore              = "package p; "
)

// place turns a byte offset into the line and the column, in characters and
// from 1, that a reader counts.
func (c *cell) place(offset int) (line, column int) {
	before := c.text[:min(max(offset, 0), len(c.text))]
	line = 1 + strings.Count(before, "\n")
	column = 1 + utf8.RuneCountInString(before[strings.LastIndexByte(before, '\n')+1:])
	return line, column
}

// errorAt makes an error that points at a byte of the cell.
func (c *cell) errorAt(offset int, kind Kind, text string) *Error {
	line, column := c.place(offset)
	return &Error{Kind: kind, Line: line, Column: column, Text: text}
}

// parse reads a cell into its items, in the order in which they stand.
func (e *Engine) parse(c *cell) ([]item, error) {
	spans, err := split(c)
	if err != nil {
		return nil, err
	}
	var items []item
	for _, s := range spans {
		got, err := e.parsePiece(c, s)
		if err != nil {
			return nil, err
		}
		items = append(items, got...)
	}
	return items, nil
}

func (e *Engine) parsePiece(c *cell, s span) ([]item, error) {
	before, after := declBefore, ""
	if s.stmts {
		before, after = stmtsBefore, stmtsAfter
	}
	p := &piece{cell: c, start: s.start, wrap: len(before), size: s.end - s.start}
	src := before + c.text[s.start:s.end] + after
	file, err := parser.ParseFile(e.files, "", src, parser.SkipObjectResolution)
	if err != nil {
		return nil, p.syntaxError(err)
	}
	e.pieces[e.files.File(file.Package)] = p
	if !s.stmts {
		return declItems(file), nil
	}
	var items []item
	for _, stmt := range file.Decls[0].(*ast.FuncDecl).Body.List {
		if _, empty := stmt.(*ast.EmptyStmt); !empty {
			items = append(items, item{unwrapType(stmt)})
		}
	}
	return items, nil
}

func declItems(file *ast.File) []item {
	var items []item
	for _, d := range file.Decls {
		items = append(items, item{d})
	}
	return items
}

// unwrapType gives the declaration inside a statement that declares types;
// those are checked together with the methods that belong to them.
func unwrapType(stmt ast.Stmt) ast.Node {
	if d, ok := stmt.(*ast.DeclStmt); ok {
		if g, ok := d.Decl.(*ast.GenDecl); ok && g.Tok == token.TYPE {
			return g
		}
	}
	return stmt
}

func (p *piece) syntaxError(err error) error {
	list, ok := err.(scanner.ErrorList)
	if !ok || len(list) == 0 {
		return &Error{Kind: Syntax, Line: 1, Column: 1, Text: err.Error()}
	}
	sort.Sort(list)
	at := p.offset(list[0].Pos.Offset)
	return p.cell.errorAt(at, Syntax, syntaxSentence(p.cell, at, list[0].Msg))
}

// offset turns an offset in the wrapped text into one in the cell; places in
// the wrapping count as the piece's nearest end.
func (p *piece) offset(wrapped int) int {
	return p.start + min(max(wrapped-p.wrap, 0), p.size)
}

// locate finds the cell and the offset that a position belongs to.
func (e *Engine) locate(pos token.Pos) (*cell, int, bool) {
	if !pos.IsValid() {
		return nil, 0, false
	}
	file := e.files.File(pos)
	p, ok := e.pieces[file]
	if !ok {
		return nil, 0, false
	}
	return p.cell, p.offset(file.Offset(pos)), true
}

// source gives the text of a node as it was typed.
func (e *Engine) source(n ast.Node) string {
	c, from, ok := e.locate(n.Pos())
	_, to, ok2 := e.locate(n.End())
	if !ok || !ok2 || from > to {
		return ""
	}
	return c.text[from:to]
}
