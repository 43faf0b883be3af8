package engine

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strconv"
)

// Go takes a number without a unit for any type that carries one, turns one
// unit into another when told to, and cuts 25/2 to 12. Each would be a quietly
// wrong answer here, so a second look at each run refuses them.

// checkUnits looks at every expression together with the ones around it.
func (e *Engine) checkUnits(r *run) error {
	for _, it := range r.items {
		var around []ast.Node
		var found *Error
		ast.Inspect(it.node, func(n ast.Node) bool {
			if n == nil {
				around = around[:len(around)-1]
				return true
			}
			if x, ok := n.(ast.Expr); ok && found == nil {
				found = e.unitFault(r.info, x, around)
			}
			around = append(around, n)
			return true
		})
		if found != nil {
			return found
		}
	}
	return nil
}

func (e *Engine) unitFault(info *types.Info, x ast.Expr, around []ast.Node) *Error {
	if text := e.bareNumber(info, x, around); text != "" {
		return e.errorFor(x, Mistyped, text)
	}
	switch x := x.(type) {
	case *ast.CallExpr:
		if text := e.turned(info, x); text != "" {
			return e.errorFor(x, Mistyped, text)
		}
	case *ast.BinaryExpr:
		if text := power(x); text != "" {
			return e.errorFor(x, Mistyped, text)
		}
		if text := cutDivision(info, x); text != "" {
			return e.errorFor(x, Mistyped, text)
		}
		if text := e.product(info, x); text != "" {
			return e.errorFor(x, Mistyped, text)
		}
	}
	return nil
}

// quantity gives the wording of a type that carries a unit.
func (e *Engine) quantity(t types.Type) (Quantity, bool) {
	if t == nil {
		return Quantity{}, false
	}
	q, ok := e.quantities[types.Unalias(t)]
	return q, ok
}

// bareNumber finds a number that would silently become so many pascals or
// newtons. Zero needs no unit, and beside * or / a number is a factor.
func (e *Engine) bareNumber(info *types.Info, x ast.Expr, around []ast.Node) string {
	tv := info.Types[x]
	q, ok := e.quantity(tv.Type)
	if !ok || q.Bare || tv.Value == nil || !bare(x) || constant.Sign(tv.Value) == 0 {
		return ""
	}
	outer := len(around) - 1
	if call, ok := around[outer].(*ast.CallExpr); ok && info.Types[call.Fun].IsType() {
		outer-- // Force(3): a factor too, if something follows
		for outer > 0 && isParen(around[outer]) {
			outer--
		}
	}
	if parent, ok := around[outer].(ast.Expr); ok {
		if b, ok := parent.(*ast.BinaryExpr); bare(parent) || ok && (b.Op == token.MUL || b.Op == token.QUO) {
			return ""
		}
	}
	text := e.source(x)
	if call, ok := around[len(around)-1].(*ast.CallExpr); ok && !info.Types[call.Fun].IsType() {
		return fmt.Sprintf("%s wants %s such as %s; %s has no unit", e.source(call.Fun), q.Noun, q.Example, text)
	}
	return fmt.Sprintf("%s has no unit; %s is written like %s", text, q.Noun, q.Example)
}

func isParen(n ast.Node) bool {
	_, ok := n.(*ast.ParenExpr)
	return ok
}

// bare tells whether an expression is put together from plain numbers alone.
func bare(x ast.Expr) bool {
	switch x := x.(type) {
	case *ast.BasicLit:
		return true
	case *ast.ParenExpr:
		return bare(x.X)
	case *ast.UnaryExpr:
		return bare(x.X)
	case *ast.BinaryExpr:
		return bare(x.X) && bare(x.Y)
	}
	return false
}

// turned finds a conversion from one unit to another.
func (e *Engine) turned(info *types.Info, call *ast.CallExpr) string {
	if !info.Types[call.Fun].IsType() || len(call.Args) != 1 {
		return ""
	}
	to, ok := e.quantity(info.TypeOf(call.Fun))
	from, ok2 := e.quantity(info.TypeOf(call.Args[0]))
	if !ok || !ok2 || to == from {
		return ""
	}
	return fmt.Sprintf("%s cannot be turned into %s", from.Noun, to.Noun)
}

// product finds a product or ratio of two values with a unit: Go would give it
// the unit of one of them.
func (e *Engine) product(info *types.Info, x *ast.BinaryExpr) string {
	if x.Op != token.MUL && x.Op != token.QUO {
		return ""
	}
	q, ok := e.quantity(info.TypeOf(x))
	if !ok || q.Bare || q.Whole || factor(info, x.Y) || x.Op == token.MUL && factor(info, x.X) {
		return ""
	}
	a, b := e.source(x.X), e.source(x.Y)
	if x.Op == token.MUL {
		return fmt.Sprintf("%s times %s is not %s", q.Noun, q.Noun, q.Noun)
	}
	if factor(info, x.X) {
		return fmt.Sprintf("a number divided by %s is not %s", q.Noun, q.Noun)
	}
	return fmt.Sprintf("a ratio has no unit: write float64(%s)/float64(%s)", a, b)
}

// factor tells whether an operand is a plain number that Go made to match:
// a literal, a constant without a type, or a conversion such as Force(i).
func factor(info *types.Info, x ast.Expr) bool {
	switch x := ast.Unparen(x).(type) {
	case *ast.CallExpr:
		if !info.Types[x.Fun].IsType() || len(x.Args) != 1 {
			return false
		}
		_, named := types.Unalias(info.TypeOf(x.Args[0])).(*types.Named)
		return !named || bare(x.Args[0])
	case *ast.Ident:
		return untypedConst(info.Uses[x])
	case *ast.SelectorExpr:
		return untypedConst(info.Uses[x.Sel])
	case *ast.UnaryExpr:
		return factor(info, x.X)
	case *ast.BinaryExpr:
		return factor(info, x.X) && factor(info, x.Y)
	case *ast.BasicLit:
		return true
	}
	return false
}

func untypedConst(obj types.Object) bool {
	c, ok := obj.(*types.Const)
	if !ok {
		return false
	}
	b, ok := c.Type().(*types.Basic)
	return ok && b.Info()&types.IsUntyped != 0
}

// cutDivision finds 25/2 where a number with decimals is wanted.
func cutDivision(info *types.Info, x *ast.BinaryExpr) string {
	b, ok := types.Default(info.TypeOf(x)).Underlying().(*types.Basic)
	if x.Op != token.QUO || !ok || b.Info()&types.IsFloat == 0 {
		return ""
	}
	n, ok1 := wholeNumber(x.X)
	d, ok2 := wholeNumber(x.Y)
	if !ok1 || !ok2 || d == 0 || n%d == 0 {
		return ""
	}
	return fmt.Sprintf("Go divides whole numbers to whole numbers: %d/%d is %d; write %d.0/%d", n, d, n/d, n, d)
}

func wholeNumber(x ast.Expr) (int64, bool) {
	lit, ok := ast.Unparen(x).(*ast.BasicLit)
	if !ok || lit.Kind != token.INT {
		return 0, false
	}
	n, err := strconv.ParseInt(lit.Value, 0, 64)
	return n, err == nil
}
