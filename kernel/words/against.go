package words

import "tautline/kernel/picture"

// against gives a value that shows what it was at the start in grey; false
// where it cannot.
func against(value, first any, name string) (any, bool) {
	switch v := value.(type) {
	case Point:
		if was, ok := first.(Point); ok {
			v.extra = append(v.extra[:len(v.extra):len(v.extra)], picture.BaselinePoint(was.Point, name))
			return v, true
		}
	case Sweep:
		if was, ok := first.(Sweep); ok {
			return v.with(picture.BaselineRows(was.Rows, name)), true
		}
	case Comparison:
		if was, ok := first.(Comparison); ok {
			return v.drawn(was.rows, name), true
		}
	}
	return value, false
}
