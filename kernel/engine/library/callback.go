package library

import (
	"errors"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
)

// replaced lists the functions that stand in for others, by path and name.
var replaced = map[string]any{
	"gonum.org/v1/gonum/optimize.Minimize":    minimize,
	"gonum.org/v1/gonum/integrate/quad.Fixed": fixed,
	"gonum.org/v1/gonum/diff/fd.Derivative": func(f func(float64) float64, x float64, s *fd.Settings) float64 {
		return fd.Derivative(f, x, serial(s))
	},
	"gonum.org/v1/gonum/diff/fd.Gradient": func(dst []float64, f func([]float64) float64, x []float64, s *fd.Settings) []float64 {
		return fd.Gradient(dst, f, x, serial(s))
	},
	"gonum.org/v1/gonum/diff/fd.Hessian": func(dst *mat.SymDense, f func([]float64) float64, x []float64, s *fd.Settings) {
		fd.Hessian(dst, f, x, serial(s))
	},
	"gonum.org/v1/gonum/diff/fd.Jacobian": func(dst *mat.Dense, f func(y, x []float64), x []float64, s *fd.JacobianSettings) {
		if s != nil {
			alone := *s
			alone.Concurrent = false
			s = &alone
		}
		fd.Jacobian(dst, f, x, s)
	},
	"gonum.org/v1/gonum/diff/fd.Laplacian": func(f func([]float64) float64, x []float64, s *fd.Settings) float64 {
		return fd.Laplacian(f, x, serial(s))
	},
	"gonum.org/v1/gonum/diff/fd.CrossLaplacian": func(f func(x, y []float64) float64, x, y []float64, s *fd.Settings) float64 {
		return fd.CrossLaplacian(f, x, y, serial(s))
	},
}

// init sets plots in the letters of the other pictures.
func init() {
	plot.DefaultFont.Variant, plotter.DefaultFont.Variant = "Sans", "Sans"
}

// Some of gonum's functions call what they are given from goroutines of their
// own, where an interpreted function cannot be stopped and its panic ends the
// process. The ones below take their place and call on the caller's goroutine.

// minimize is optimize.Minimize.
func minimize(p optimize.Problem, init []float64, set *optimize.Settings, m optimize.Method) (*optimize.Result, error) {
	c := &caller{ask: make(chan func()), gone: make(chan struct{})}
	if p.Func != nil {
		f := p.Func
		p.Func = func(x []float64) (y float64) { c.call(func() { y = f(x) }); return y }
	}
	if p.Grad != nil {
		f := p.Grad
		p.Grad = func(grad, x []float64) { c.call(func() { f(grad, x) }) }
	}
	if f := p.Hess; f != nil {
		p.Hess = func(hess *mat.SymDense, x []float64) { c.call(func() { f(hess, x) }) }
	}
	status := p.Status
	p.Status = func() (s optimize.Status, err error) {
		select {
		case <-c.gone:
			return optimize.Failure, errGone
		default:
		}
		if status != nil {
			c.call(func() { s, err = status() })
		}
		return s, err
	}
	return run(c, func() (*optimize.Result, error) { return optimize.Minimize(p, init, set, m) })
}

var errGone = errors.New("the function that is minimized has failed")

// A caller hands calls over to the goroutine that may make them.
type caller struct {
	ask  chan func()
	gone chan struct{} // closed when nobody answers any more
}

// call has one call made, or gives up if it never will be.
func (c *caller) call(f func()) {
	done := make(chan struct{})
	select {
	case c.ask <- func() { defer close(done); f() }:
	case <-c.gone:
		return
	}
	select {
	case <-done:
	case <-c.gone:
	}
}

type outcome[T any] struct {
	value T
	err   error
	panic any
}

// run does some work on another goroutine and makes the calls that it asks for
// here. A panic in a call passes through; the work then runs out by itself.
func run[T any](c *caller, work func() (T, error)) (T, error) {
	result := make(chan outcome[T], 1)
	go func() {
		var o outcome[T]
		defer func() {
			o.panic = recover()
			result <- o
		}()
		o.value, o.err = work()
	}()
	defer close(c.gone)
	for {
		select {
		case f := <-c.ask:
			f()
		case o := <-result:
			if o.panic != nil {
				panic(o.panic)
			}
			return o.value, o.err
		}
	}
}

// fixed is quad.Fixed, one point after another.
func fixed(f func(float64) float64, min, max float64, n int, rule quad.FixedLocationer, _ int) float64 {
	return quad.Fixed(f, min, max, n, rule, 0)
}

// serial gives settings that do not call from goroutines.
func serial(s *fd.Settings) *fd.Settings {
	if s == nil {
		return nil
	}
	alone := *s
	alone.Concurrent = false
	return &alone
}
