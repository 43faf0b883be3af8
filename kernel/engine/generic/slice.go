package generic

import (
	"cmp"
	"reflect"
	"slices"
)

// Compare orders two values of one type that can be ordered, as cmp.Compare
// does: a NaN comes before all numbers.
func Compare(a, b reflect.Value) int {
	switch {
	case a.CanInt():
		return cmp.Compare(a.Int(), b.Int())
	case a.CanUint():
		return cmp.Compare(a.Uint(), b.Uint())
	case a.CanFloat():
		return cmp.Compare(a.Float(), b.Float())
	}
	return cmp.Compare(a.String(), b.String())
}

func clone(s reflect.Value) reflect.Value {
	if s.IsNil() {
		return s
	}
	return reflect.AppendSlice(reflect.MakeSlice(s.Type(), 0, s.Len()), s)
}

// sorted sorts in place and stably, which is one of the orders that an
// unstable sort may give.
func sorted(s reflect.Value, order func(a, b reflect.Value) int) []reflect.Value {
	all := make([]reflect.Value, s.Len())
	from := clone(s)
	for i := range all {
		all[i] = from.Index(i)
	}
	slices.SortStableFunc(all, order)
	for i, v := range all {
		s.Index(i).Set(v)
	}
	return nil
}

func isSorted(_ reflect.Type, in []reflect.Value) []reflect.Value {
	for i := 1; i < in[0].Len(); i++ {
		if Compare(in[0].Index(i-1), in[0].Index(i)) > 0 {
			return one(false)
		}
	}
	return one(true)
}

// extreme finds the largest or smallest element; a NaN wins, as in Go.
func extreme(name string, s reflect.Value, order func(a, b reflect.Value) int, sign int) reflect.Value {
	if s.Len() == 0 {
		panic("slices." + name + ": empty list")
	}
	best := s.Index(0)
	for i := 1; i < s.Len(); i++ {
		v := s.Index(i)
		if best.CanFloat() && name[3:] == "" && best.Float() != best.Float() {
			return best
		}
		if order(v, best)*sign > 0 || v.CanFloat() && name[3:] == "" && v.Float() != v.Float() {
			best = v
		}
	}
	return best
}

func reverse(_ reflect.Type, in []reflect.Value) []reflect.Value {
	swap := reflect.Swapper(in[0].Interface())
	for i, j := 0, in[0].Len()-1; i < j; i, j = i+1, j-1 {
		swap(i, j)
	}
	return nil
}

// insert wants its elements as one list, as a variadic function gets them.
func insert(s, at, more reflect.Value) reflect.Value {
	i := int(at.Int())
	_ = s.Slice(i, s.Len()) // the bounds that Go checks
	out := reflect.MakeSlice(s.Type(), 0, s.Len()+more.Len())
	out = reflect.AppendSlice(out, s.Slice(0, i))
	for k := range more.Len() {
		out = reflect.Append(out, more.Index(k))
	}
	return reflect.AppendSlice(out, s.Slice(i, s.Len()))
}

// remove takes out elements in place and clears those left over, as Go does.
func remove(s, from, to reflect.Value) reflect.Value {
	i, j := int(from.Int()), int(to.Int())
	_ = s.Slice(i, j)
	out := reflect.AppendSlice(s.Slice(0, i), s.Slice(j, s.Len()))
	blank(s, out.Len())
	return out
}

func removeIf(s reflect.Value, is func(reflect.Value) bool) reflect.Value {
	n := 0
	for i := range s.Len() {
		if v := s.Index(i); !is(v) {
			s.Index(n).Set(v)
			n++
		}
	}
	blank(s, n)
	return s.Slice(0, n)
}

func blank(s reflect.Value, from int) {
	for i := from; i < s.Len(); i++ {
		s.Index(i).SetZero()
	}
}

func compact(_ reflect.Type, in []reflect.Value) []reflect.Value {
	s, n := in[0], 0
	for i := range s.Len() {
		if i == 0 || s.Index(i).Interface() != s.Index(n-1).Interface() {
			s.Index(n).Set(s.Index(i))
			n++
		}
	}
	blank(s, n)
	return value(s.Slice(0, n))
}

func concat(t reflect.Type, in []reflect.Value) []reflect.Value {
	out := reflect.Zero(t.Out(0))
	for i := range in[0].Len() {
		out = reflect.AppendSlice(out, in[0].Index(i))
	}
	return value(out)
}

func repeat(t reflect.Type, in []reflect.Value) []reflect.Value {
	n := int(in[1].Int())
	if n < 0 {
		panic("slices.Repeat: the count is below zero")
	}
	out := reflect.MakeSlice(t.Out(0), 0, in[0].Len()*n)
	for range n {
		out = reflect.AppendSlice(out, in[0])
	}
	return value(out)
}

func sameSlices(_ reflect.Type, in []reflect.Value) []reflect.Value {
	if in[0].Len() != in[1].Len() {
		return one(false)
	}
	for i := range in[0].Len() {
		if in[0].Index(i).Interface() != in[1].Index(i).Interface() {
			return one(false)
		}
	}
	return one(true)
}

func cloneMap(m reflect.Value) reflect.Value {
	if m.IsNil() {
		return m
	}
	out := reflect.MakeMap(m.Type())
	copyMap(out, m)
	return out
}

func copyMap(dst, src reflect.Value) {
	for r := src.MapRange(); r.Next(); {
		dst.SetMapIndex(r.Key(), r.Value())
	}
}

func removeKeys(_ reflect.Type, in []reflect.Value) []reflect.Value {
	for r := in[0].MapRange(); r.Next(); {
		if in[1].Call([]reflect.Value{r.Key(), r.Value()})[0].Bool() {
			in[0].SetMapIndex(r.Key(), reflect.Value{})
		}
	}
	return nil
}

func sameMaps(_ reflect.Type, in []reflect.Value) []reflect.Value {
	if in[0].Len() != in[1].Len() {
		return one(false)
	}
	for r := in[0].MapRange(); r.Next(); {
		if v := in[1].MapIndex(r.Key()); !v.IsValid() || v.Interface() != r.Value().Interface() {
			return one(false)
		}
	}
	return one(true)
}
