package engine

import (
	"fmt"
	"go/ast"
	"go/token"
	"slices"
	"strconv"
	"strings"

	"tautline/kernel/engine/library"
)

// refuse looks for what a cell may not do, before anything is compiled: things
// that could not be stopped again, and Go that the interpreter does not know.
func (e *Engine) refuse(items []item) error {
	for _, it := range items {
		if text := refusedOutside(it.node); text != "" {
			return e.errorFor(it.node, Refused, text)
		}
		var found error
		ast.Inspect(it.node, func(n ast.Node) bool {
			if n == nil || found != nil {
				return false
			}
			if text := e.refusedNode(n); text != "" {
				found = e.errorFor(n, Refused, text)
			}
			return found == nil
		})
		if found != nil {
			return found
		}
	}
	return nil
}

// errorFor makes an error that points at a node.
func (e *Engine) errorFor(n ast.Node, kind Kind, text string) *Error {
	return e.errorPos(n.Pos(), kind, text)
}

func (e *Engine) errorPos(pos token.Pos, kind Kind, text string) *Error {
	c, offset, ok := e.locate(pos)
	if !ok {
		return &Error{Kind: kind, Text: text}
	}
	return c.errorAt(offset, kind, text)
}

// refusedOutside names the statements that make sense only inside a function;
// the checker would let them pass, since it sees the cell as a function.
func refusedOutside(n ast.Node) string {
	switch n.(type) {
	case *ast.ReturnStmt:
		return "return belongs inside a function"
	case *ast.DeferStmt:
		return "defer belongs inside a function"
	}
	return ""
}

const noChannels = "cells run one thing after another: there are no goroutines and no channels here"

func (e *Engine) refusedNode(n ast.Node) string {
	switch n := n.(type) {
	case *ast.GoStmt, *ast.SelectStmt, *ast.SendStmt, *ast.ChanType:
		return noChannels
	case *ast.UnaryExpr:
		if n.Op == token.ARROW {
			return noChannels
		}
	case *ast.BranchStmt:
		if n.Tok == token.GOTO {
			return "goto is not available in cells; use a loop"
		}
	case *ast.FuncType:
		if n.TypeParams != nil {
			return "generic functions are not available in cells; write the types out"
		}
	case *ast.TypeSpec:
		if n.TypeParams != nil {
			return "generic types are not available in cells; write the types out"
		}
	case *ast.FuncDecl:
		if n.Body == nil {
			return "this function has no body"
		}
		if n.Recv == nil && n.Name.Name == "main" {
			return "a cell needs no main; write its lines straight into the cell"
		}
		if n.Recv == nil && n.Name.Name == "init" {
			return "init is not called in cells; write its lines straight into the cell"
		}
	case *ast.InterfaceType:
		return hiddenMethod(n)
	case *ast.ImportSpec:
		return e.refusedImport(n)
	}
	return ""
}

// hiddenMethod keeps cells from asking a value, by an interface, for a method
// that is left out because of what it does.
func hiddenMethod(n *ast.InterfaceType) string {
	for _, m := range n.Methods.List {
		for _, id := range m.Names {
			if why, ok := library.HiddenMethod(id.Name); ok {
				return id.Name + " " + why
			}
		}
	}
	return ""
}

func (e *Engine) refusedImport(spec *ast.ImportSpec) string {
	path, err := strconv.Unquote(spec.Path.Value)
	if all := importable(); !slices.Contains(all, path) || err != nil {
		return importSentence(path, all)
	}
	if spec.Name != nil && spec.Name.Name == "." {
		return fmt.Sprintf("import %q without the dot, and write its name before each use", path)
	}
	return ""
}

// importSentence offers the package that was meant, or all of them.
func importSentence(path string, all []string) string {
	text := fmt.Sprintf("package %q cannot be imported in cells", path)
	for _, have := range all {
		if path != "" && (strings.HasSuffix(have, "/"+path) || have == path+"/"+path) {
			return fmt.Sprintf("%s; did you mean %q?", text, have)
		}
	}
	if near := Nearest(path, all); near != "" && path != "os" {
		return fmt.Sprintf("%s; did you mean %q?", text, near)
	}
	return text + "; these can: " + shortPaths(all)
}

// shortPaths lists import paths without those that lie deeper; completion knows
// them all.
func shortPaths(all []string) string {
	const gonum = "gonum.org/v1/"
	var plain, ours []string
	for _, path := range all {
		rest, isOurs := strings.CutPrefix(path, gonum)
		switch {
		case isOurs && strings.Count(rest, "/") < 2 && strings.HasPrefix(rest, "gonum/"):
			ours = append(ours, strings.TrimPrefix(rest, "gonum/"))
		case !isOurs && !strings.Contains(path, "/"):
			plain = append(plain, path)
		}
	}
	return strings.Join(plain, ", ") + "; " + gonum + "gonum/ with " + strings.Join(ours, ", ") + "; and " + gonum + "plot"
}
