package generic

import (
	"reflect"
	"testing"
)

// Every declaration has something that does it, and the other way round.
func TestDeclarationsAndFunctionsMatch(t *testing.T) {
	all, err := Packages()
	if err != nil {
		t.Fatal(err)
	}
	declared := map[string]bool{}
	for path, p := range all {
		for _, name := range p.Scope().Names() {
			if name != "Ordered" {
				declared[path+"."+name] = true
			}
		}
	}
	for name := range declared {
		if functions[name] == nil {
			t.Errorf("%s is declared, but nothing does it", name)
		}
	}
	for name := range functions {
		if !declared[name] {
			t.Errorf("%s is not declared", name)
		}
	}
}

func TestFunc(t *testing.T) {
	f, ok := Func("slices", "Max", reflect.TypeFor[func([]float64) float64]())
	if !ok {
		t.Fatal("no slices.Max")
	}
	if got := f.Interface().(func([]float64) float64)([]float64{1, 3, 2}); got != 3 {
		t.Errorf("the largest of 1, 3, 2 is %g", got)
	}
	if _, ok := Func("slices", "Chunk", reflect.TypeFor[func()]()); ok {
		t.Error("slices.Chunk is not there")
	}
}
