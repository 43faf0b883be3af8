package library

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/optimize"
)

// What is refused is there to be refused, and gone from the tables.
func TestRefusedNamesAreGone(t *testing.T) {
	for key, why := range refused {
		i := strings.LastIndexByte(key, '/') + 1
		pkg, name, _ := strings.Cut(key[i:], ".")
		path := key[:i] + pkg
		load, ok := packages[path]
		if !ok || why == "" {
			t.Errorf("%s: no such package, or no reason", key)
			continue
		}
		raw := load()
		have, _ := Load(path)
		if typ, method, isMethod := strings.Cut(name, "."); isMethod {
			if raw.Types[typ] == nil {
				t.Errorf("%s: no type %s with a method %s", key, typ, method)
			}
			continue
		}
		if !raw.Binds[name].IsValid() && raw.Types[name] == nil {
			t.Errorf("%s is not in its package", key)
		}
		if have.Binds[name].IsValid() || have.Types[name] != nil {
			t.Errorf("%s is still there", key)
		}
	}
}

// Functions that call back do so on the caller's goroutine, where a panic is
// caught by whoever waits there.
func TestCallbacksStayWithTheCaller(t *testing.T) {
	square := func(x []float64) float64 { return (x[0] - 3) * (x[0] - 3) }
	r, err := minimize(optimize.Problem{Func: square}, []float64{0}, nil, &optimize.NelderMead{})
	if err != nil || math.Abs(r.X[0]-3) > 1e-3 {
		t.Errorf("the minimum is at %v, %v", r, err)
	}
	for n := range 3 {
		calls := 0
		caught := func() (p any) {
			defer func() { p = recover() }()
			_, _ = minimize(optimize.Problem{Func: func(x []float64) float64 {
				if calls++; calls > n {
					panic("no more")
				}
				return square(x)
			}}, []float64{0}, nil, nil)
			return nil
		}()
		if caught != "no more" {
			t.Errorf("after %d calls: %v", n, caught)
		}
	}
}
