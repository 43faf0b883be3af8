package engine

import (
	"fmt"
	"go/ast"
	"go/types"
	"strings"
)

// nodeAt finds the innermost node of a run that fits.
func nodeAt[N ast.Node](r *run, fits func(N) bool) (N, bool) {
	var found N
	var ok bool
	for _, it := range r.items {
		ast.Inspect(it.node, func(n ast.Node) bool {
			if x, is := n.(N); is && fits(x) {
				found, ok = x, true
			}
			return true
		})
	}
	return found, ok
}

// describe names an expression together with what it is: "fit, a Case,".
func (e *Engine) describe(info *types.Info, x ast.Expr) string {
	text := e.source(x)
	if t := info.TypeOf(x); t != nil {
		return fmt.Sprintf("%s (%s)", text, e.noun(t))
	}
	return text
}

// noun says what a value of a type is, with its article.
func (e *Engine) noun(t types.Type) string {
	if q, ok := e.quantity(t); ok {
		return q.Noun
	}
	if b, ok := types.Unalias(t).(*types.Basic); ok {
		return basicNoun(b)
	}
	text := e.typeText(t)
	if strings.ContainsRune("AEIO", rune(text[0])) {
		return "an " + text
	}
	return "a " + text
}

func basicNoun(b *types.Basic) string {
	switch info := b.Info(); {
	case b.Kind() == types.UntypedNil:
		return "nil"
	case info&types.IsString != 0:
		return "a text"
	case info&types.IsBoolean != 0:
		return "true or false"
	case info&types.IsInteger != 0 && info&types.IsUntyped == 0:
		return "a whole number (" + b.Name() + ")"
	case info&types.IsNumeric != 0 && info&types.IsUntyped == 0:
		return "a number (" + b.Name() + ")"
	case info&types.IsNumeric != 0:
		return "a number without a unit"
	}
	return "a " + b.Name()
}

// wanted says what a parameter is for, with an example where one is known.
func (e *Engine) wanted(t types.Type) string {
	if q, ok := e.quantity(t); ok {
		return q.Noun + " such as " + q.Example
	}
	if n := namedOf(t); n != nil {
		if example, ok := e.table.Examples[e.mirror.origin[n]]; ok {
			return e.noun(t) + " such as " + example
		}
	}
	return e.noun(t)
}

// typeText writes a type as a cell would: the words' types and the cells' own
// without a package, others with their package's name.
func (e *Engine) typeText(t types.Type) string {
	return tidy(types.TypeString(t, func(p *types.Package) string {
		if p.Path() == cellsPath {
			return ""
		}
		return p.Name()
	}))
}

// did adds the nearest known name to a sentence, if one is near.
func did(text, name string, known []string) string {
	if near := Nearest(name, known); near != "" {
		return text + "; did you mean " + near + "?"
	}
	return text
}

// Nearest finds the known name that differs least, capitals counting little.
func Nearest(name string, known []string) string {
	if len(name) > 100 {
		return "" // nobody's typing error, and long to compare
	}
	best, least := "", max(1, (len(name)+1)/3)
	if len(name) < 3 {
		least = 0 // only capitals may differ
	}
	for _, have := range known {
		d := distance(strings.ToLower(name), strings.ToLower(have))
		if d < least || d == least && (best == "" || have < best) {
			best, least = have, d
		}
	}
	return best
}

// distance counts the letters to change, add or drop, and the neighbours to
// swap: "Msak" is one step from "Mask" (optimal string alignment).
func distance(a, b string) int {
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			step := last[j-1]
			if a[i-1] != b[j-1] {
				step++
			}
			row[j] = min(step, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
