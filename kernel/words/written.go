package words

import (
	"fmt"
	"go/ast"
	"go/parser"
	"reflect"
	"strconv"
	"strings"

	"tautline/model/unit"
)

// spelledUnits gives the word for each unit as people write it, by the first of
// its spellings; units without a word of their own are turned into one that has.
var spelledUnits = map[*unit.Kind][]struct{ unit, word string }{
	unit.ForceKind:    {{"N", "N"}, {"g", "Grams"}},
	unit.PressureKind: {{"cmH2O", "CmH2O"}, {"hPa", "HPa"}, {"kPa", "KPa"}, {"mmHg", "MmHg"}},
	unit.FlowKind:     {{"L/min", "LPerMin"}, {"L/s", "LPerSec"}},
	unit.LengthKind:   {{"mm", "Mm"}, {"cm", "Cm"}},
	unit.TimeKind:     {{"min", "Minute"}, {"h", "Hour"}, {"days", "Day"}},
	unit.FractionKind: {{"%", "Percent"}},
	unit.AngleKind:    {{"deg", "Degree"}},
}

// Written turns a value as people write it, "5 N", "medium" or "3", into what a
// cell says in the place of another expression. That one tells what is wanted:
// a text, a number, or a value with a unit.
func Written(value, was string) (string, error) {
	value = strings.TrimSpace(value)
	if _, err := strconv.Unquote(was); err == nil {
		return strconv.Quote(strings.Trim(value, `"`)), nil
	}
	wanted, example := unitOf(was)
	expr, kind, ok := quantityWritten(value)
	switch {
	case value == "":
		return "", fmt.Errorf("no value is given; it is %s in the notebook", was)
	case ok && (wanted == nil || kind == wanted):
		return expr, nil
	case ok:
		return "", fmt.Errorf("%s is %s %s; %s %s such as %s is wanted", value, kind.Article, kind.Name, wanted.Article, wanted.Name, example)
	}
	if _, err := strconv.ParseFloat(value, 64); err == nil {
		if wanted != nil && wanted != unit.FractionKind {
			return "", fmt.Errorf("%s has no unit; %s %s is wanted, such as %q", value, wanted.Article, wanted.Name, wanted.Example)
		}
		return value, nil
	}
	if x, err := parser.ParseExpr(value); err == nil && (isCall(x) || isBool(value) || wanted != nil) {
		return value, nil
	}
	return "", fmt.Errorf("%q is not a value that could stand for %s; write a number with its unit such as \"5 N\", or Go such as 5*N", value, was)
}

func isCall(x ast.Expr) bool {
	_, ok := x.(*ast.CallExpr)
	return ok
}

func isBool(s string) bool { return s == "true" || s == "false" }

// unitOf finds the unit that an expression such as 3*N mentions.
func unitOf(expr string) (kind *unit.Kind, example string) {
	x, err := parser.ParseExpr(expr)
	if err != nil || isCall(x) {
		return nil, ""
	}
	ast.Inspect(x, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		if !ok {
			return true
		}
		for k, all := range spelledUnits {
			for _, u := range all {
				if u.word == id.Name {
					kind, example = k, expr
				}
			}
		}
		return true
	})
	return kind, example
}

// quantityWritten turns "350 g" into 350*Grams.
func quantityWritten(value string) (expr string, kind *unit.Kind, ok bool) {
	for k, all := range spelledUnits {
		si, err := k.Parse(value)
		if err != nil {
			continue
		}
		number, name := value, ""
		if i := strings.IndexFunc(value, func(r rune) bool { return !strings.ContainsRune("+-.0123456789eE", r) }); i > 0 {
			number, name = strings.TrimSpace(value[:i]), strings.TrimSpace(value[i:])
		}
		if name == "" {
			return "", nil, false // a plain number
		}
		for _, u := range all {
			if u.unit == name {
				return number + "*" + u.word, k, true
			}
		}
		per := reflect.ValueOf(units[all[0].word]).Float()
		return strconv.FormatFloat(si/per, 'g', 12, 64) + "*" + all[0].word, k, true
	}
	return "", nil, false
}
