// Package generic gives cells the functions with type parameters of Go's
// packages cmp, maps and slices. No table can hold such a function, so each
// call in a cell gets one made by reflection for the types at hand; Go's
// checker reads their declarations from the text below.
package generic

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"maps"
	"regexp"
	"slices"
)

// sources are the declarations, as Go's own packages have them. What is not
// here is not available; a sequence is a plain function.
var sources = map[string]string{
	"cmp": `package cmp
type Ordered interface { ~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~uintptr | ~float32 | ~float64 | ~string }
func Compare[T Ordered](x, y T) int
func Less[T Ordered](x, y T) bool
func Or[T comparable](vals ...T) T
`,
	"slices": `package slices
import "cmp"
func BinarySearch[S ~[]E, E cmp.Ordered](x S, target E) (int, bool)
func Clone[S ~[]E, E any](s S) S
func Collect[E any](seq func(yield func(E) bool)) []E
func Compact[S ~[]E, E comparable](s S) S
func Concat[S ~[]E, E any](slices ...S) S
func Contains[S ~[]E, E comparable](s S, v E) bool
func ContainsFunc[S ~[]E, E any](s S, f func(E) bool) bool
func Delete[S ~[]E, E any](s S, i, j int) S
func DeleteFunc[S ~[]E, E any](s S, del func(E) bool) S
func Equal[S ~[]E, E comparable](s1, s2 S) bool
func Index[S ~[]E, E comparable](s S, v E) int
func IndexFunc[S ~[]E, E any](s S, f func(E) bool) int
func Insert[S ~[]E, E any](s S, i int, v ...E) S
func IsSorted[S ~[]E, E cmp.Ordered](x S) bool
func Max[S ~[]E, E cmp.Ordered](x S) E
func MaxFunc[S ~[]E, E any](x S, cmp func(a, b E) int) E
func Min[S ~[]E, E cmp.Ordered](x S) E
func MinFunc[S ~[]E, E any](x S, cmp func(a, b E) int) E
func Repeat[S ~[]E, E any](x S, count int) S
func Reverse[S ~[]E, E any](s S)
func Sort[S ~[]E, E cmp.Ordered](x S)
func SortFunc[S ~[]E, E any](x S, cmp func(a, b E) int)
func SortStableFunc[S ~[]E, E any](x S, cmp func(a, b E) int)
func Sorted[E cmp.Ordered](seq func(yield func(E) bool)) []E
func Values[S ~[]E, E any](s S) func(yield func(E) bool)
`,
	"maps": `package maps
func Clone[M ~map[K]V, K comparable, V any](m M) M
func Copy[M1 ~map[K]V, M2 ~map[K]V, K comparable, V any](dst M1, src M2)
func DeleteFunc[M ~map[K]V, K comparable, V any](m M, del func(K, V) bool)
func Equal[M1, M2 ~map[K]V, K, V comparable](m1 M1, m2 M2) bool
func Keys[M ~map[K]V, K comparable, V any](m M) func(yield func(K) bool)
func Values[M ~map[K]V, K comparable, V any](m M) func(yield func(V) bool)
`,
}

var bodies = regexp.MustCompile(`(?m)^func .*$`)

// Paths lists the import paths, sorted.
func Paths() []string { return slices.Sorted(maps.Keys(sources)) }

// Has tells whether a path is one of them.
func Has(path string) bool { return sources[path] != "" }

// Packages reads the declarations into packages for Go's checker.
func Packages() (map[string]*types.Package, error) {
	all := map[string]*types.Package{}
	files := token.NewFileSet()
	for _, path := range []string{"cmp", "maps", "slices"} {
		text := bodies.ReplaceAllString(sources[path], "$0 { panic(0) }") // never run, but Go wants one
		file, err := parser.ParseFile(files, path+".go", text, 0)
		if err != nil {
			return nil, err
		}
		conf := types.Config{Importer: importer(all), IgnoreFuncBodies: true}
		if all[path], err = conf.Check(path, files, []*ast.File{file}, nil); err != nil {
			return nil, err
		}
	}
	return all, nil
}

type importer map[string]*types.Package

func (m importer) Import(path string) (*types.Package, error) {
	if p := m[path]; p != nil {
		return p, nil
	}
	return nil, fmt.Errorf("no package %q", path)
}
