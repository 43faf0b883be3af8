package generic

import (
	"reflect"
	"slices"
)

// Func makes a function of the given type that does what the named one of the
// package does. ok is false when there is none.
func Func(path, name string, t reflect.Type) (f reflect.Value, ok bool) {
	do, ok := functions[path+"."+name]
	if !ok {
		return reflect.Value{}, false
	}
	return reflect.MakeFunc(t, func(in []reflect.Value) []reflect.Value { return do(t, in) }), true
}

// A function takes its arguments as reflection has them; t is its full type.
type function func(t reflect.Type, in []reflect.Value) []reflect.Value

var functions = map[string]function{
	"cmp.Compare": func(_ reflect.Type, in []reflect.Value) []reflect.Value { return one(Compare(in[0], in[1])) },
	"cmp.Less":    func(_ reflect.Type, in []reflect.Value) []reflect.Value { return one(Compare(in[0], in[1]) < 0) },
	"cmp.Or":      or,

	"slices.BinarySearch": func(_ reflect.Type, in []reflect.Value) []reflect.Value {
		i := search(in[0], in[1])
		return []reflect.Value{reflect.ValueOf(i), reflect.ValueOf(i < in[0].Len() && Compare(in[0].Index(i), in[1]) == 0)}
	},
	"slices.Clone":        func(_ reflect.Type, in []reflect.Value) []reflect.Value { return value(clone(in[0])) },
	"slices.Collect":      func(t reflect.Type, in []reflect.Value) []reflect.Value { return value(collect(t.Out(0), in[0])) },
	"slices.Compact":      compact,
	"slices.Concat":       concat,
	"slices.Contains":     func(_ reflect.Type, in []reflect.Value) []reflect.Value { return one(index(in[0], equal(in[1])) >= 0) },
	"slices.ContainsFunc": func(_ reflect.Type, in []reflect.Value) []reflect.Value { return one(index(in[0], calls(in[1])) >= 0) },
	"slices.Delete":       func(_ reflect.Type, in []reflect.Value) []reflect.Value { return value(remove(in[0], in[1], in[2])) },
	"slices.DeleteFunc":   func(_ reflect.Type, in []reflect.Value) []reflect.Value { return value(removeIf(in[0], calls(in[1]))) },
	"slices.Equal":        sameSlices,
	"slices.Index":        func(_ reflect.Type, in []reflect.Value) []reflect.Value { return one(index(in[0], equal(in[1]))) },
	"slices.IndexFunc":    func(_ reflect.Type, in []reflect.Value) []reflect.Value { return one(index(in[0], calls(in[1]))) },
	"slices.Insert":       func(_ reflect.Type, in []reflect.Value) []reflect.Value { return value(insert(in[0], in[1], in[2])) },
	"slices.IsSorted":     isSorted,
	"slices.Max": func(_ reflect.Type, in []reflect.Value) []reflect.Value {
		return value(extreme("Max", in[0], Compare, 1))
	},
	"slices.MaxFunc": func(_ reflect.Type, in []reflect.Value) []reflect.Value {
		return value(extreme("MaxFunc", in[0], orderBy(in[1]), 1))
	},
	"slices.Min": func(_ reflect.Type, in []reflect.Value) []reflect.Value {
		return value(extreme("Min", in[0], Compare, -1))
	},
	"slices.MinFunc": func(_ reflect.Type, in []reflect.Value) []reflect.Value {
		return value(extreme("MinFunc", in[0], orderBy(in[1]), -1))
	},
	"slices.Repeat":   repeat,
	"slices.Reverse":  reverse,
	"slices.Sort":     func(_ reflect.Type, in []reflect.Value) []reflect.Value { return sorted(in[0], Compare) },
	"slices.SortFunc": func(_ reflect.Type, in []reflect.Value) []reflect.Value { return sorted(in[0], orderBy(in[1])) },
	"slices.SortStableFunc": func(_ reflect.Type, in []reflect.Value) []reflect.Value {
		return sorted(in[0], orderBy(in[1]))
	},
	"slices.Sorted": func(t reflect.Type, in []reflect.Value) []reflect.Value {
		all := collect(t.Out(0), in[0])
		sorted(all, Compare)
		return value(all)
	},
	"slices.Values": func(t reflect.Type, in []reflect.Value) []reflect.Value {
		return value(sequence(t.Out(0), func(yield func(reflect.Value) bool) {
			for i := 0; i < in[0].Len() && yield(in[0].Index(i)); i++ {
			}
		}))
	},

	"maps.Clone":      func(_ reflect.Type, in []reflect.Value) []reflect.Value { return value(cloneMap(in[0])) },
	"maps.Copy":       func(_ reflect.Type, in []reflect.Value) []reflect.Value { copyMap(in[0], in[1]); return nil },
	"maps.DeleteFunc": removeKeys,
	"maps.Equal":      sameMaps,
	"maps.Keys": func(t reflect.Type, in []reflect.Value) []reflect.Value {
		return value(sequence(t.Out(0), func(yield func(reflect.Value) bool) {
			for r := in[0].MapRange(); r.Next() && yield(r.Key()); {
			}
		}))
	},
	"maps.Values": func(t reflect.Type, in []reflect.Value) []reflect.Value {
		return value(sequence(t.Out(0), func(yield func(reflect.Value) bool) {
			for r := in[0].MapRange(); r.Next() && yield(r.Value()); {
			}
		}))
	},
}

func one(x any) []reflect.Value             { return []reflect.Value{reflect.ValueOf(x)} }
func value(v reflect.Value) []reflect.Value { return []reflect.Value{v} }

// sequence makes a function that hands out values one by one.
func sequence(t reflect.Type, each func(yield func(reflect.Value) bool)) reflect.Value {
	return reflect.MakeFunc(t, func(in []reflect.Value) []reflect.Value {
		each(func(v reflect.Value) bool { return in[0].Call([]reflect.Value{v})[0].Bool() })
		return nil
	})
}

// collect calls a sequence and keeps what it hands out.
func collect(t reflect.Type, seq reflect.Value) reflect.Value {
	all := reflect.Zero(t)
	yield := reflect.MakeFunc(seq.Type().In(0), func(in []reflect.Value) []reflect.Value {
		all = reflect.Append(all, in[0])
		return one(true)
	})
	seq.Call(value(yield))
	return all
}

func equal(to reflect.Value) func(reflect.Value) bool {
	want := to.Interface()
	return func(v reflect.Value) bool { return v.Interface() == want }
}

func calls(f reflect.Value) func(reflect.Value) bool {
	return func(v reflect.Value) bool { return f.Call(value(v))[0].Bool() }
}

func orderBy(f reflect.Value) func(a, b reflect.Value) int {
	return func(a, b reflect.Value) int { return int(f.Call([]reflect.Value{a, b})[0].Int()) }
}

func index(s reflect.Value, is func(reflect.Value) bool) int {
	for i := range s.Len() {
		if is(s.Index(i)) {
			return i
		}
	}
	return -1
}

func or(t reflect.Type, in []reflect.Value) []reflect.Value {
	for i := range in[0].Len() {
		if v := in[0].Index(i); !v.IsZero() {
			return value(v)
		}
	}
	return value(reflect.Zero(t.Out(0)))
}

func search(s, target reflect.Value) int {
	i, _ := slices.BinarySearchFunc(indexes(s.Len()), target, func(i int, t reflect.Value) int { return Compare(s.Index(i), t) })
	return i
}

func indexes(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}
