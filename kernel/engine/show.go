package engine

import (
	"fmt"
	"go/types"
	"html"
	"reflect"
	"strings"
	"unicode/utf8"
)

// A Shown is a value that the engine has made ready to be read: structs with
// the names of their fields, lists of structs as a table. It is made while the
// cell runs, since values may say themselves what they are.
type Shown struct {
	Value any // as the interpreter has it
	text  string
	table [][]string // its first row is a head; nil when the text is enough
}

// String is the text form.
func (s Shown) String() string { return s.text }

// Mimebundle gives the text and, for tables, HTML.
func (s Shown) Mimebundle() map[string]any {
	b := map[string]any{"text/plain": s.text}
	if s.table != nil {
		b["text/html"] = tableHTML(s.table)
	}
	return b
}

// A bundle is what the words make of a value of a type that is not theirs.
type bundle struct {
	value any
	data  map[string]any
}

func (b bundle) Mimebundle() map[string]any { return b.data }
func (b bundle) String() string             { return fmt.Sprint(b.data["text/plain"]) }

// Limits of what is shown; whoever wants all of it can print it.
const (
	lineWidth = 72
	mostRows  = 60
	mostDeep  = 8 // a value may contain itself
)

// Present makes a value that is shown in the midst of a cell ready to be seen,
// as Run does with that of the last line. It belongs where a cell or a Call
// runs.
func (e *Engine) Present(v any) any {
	if many, ok := v.(Values); ok {
		all := make(Values, len(many))
		for i := range many {
			all[i] = e.show(many[i], nil)
		}
		return all
	}
	return e.show(v, nil)
}

// show makes a cell's value ready to be seen. Values that say themselves what
// they are, and plain ones, stay as they are.
func (e *Engine) show(v any, t types.Type) any {
	if t != nil && !types.IsInterface(t) && madeInCells(t) {
		v = e.dress(v, t)
	} else if t != nil && emulated(t) {
		v = e.reveal(reflect.ValueOf(v))
	}
	if _, ok := v.(interface{ Mimebundle() map[string]any }); ok {
		return v
	}
	if e.table.Show != nil {
		if data, ok := e.table.Show(v); ok {
			return bundle{v, data}
		}
	}
	if v != nil && reflect.TypeOf(v).Kind() == reflect.Func {
		return Shown{Value: v, text: "a function, not called; what it wants stands in () behind it"}
	}
	if e.saysItself(v) || !deep(v) {
		if d, ok := dressOf(v); ok {
			return Shown{Value: d.value, text: fmt.Sprint(v)}
		}
		return v
	}
	w := viewOf(v)
	s := Shown{Value: w.v.Interface(), text: e.line(w, 0)}
	if rows := e.rows(w); rows != nil && (utf8.RuneCountInString(s.text) > lineWidth || w.kind() == reflect.Slice) {
		s.table, s.text = rows, columns(rows)
	}
	return s
}

// saysItself tells whether a value has a text of its own.
func (e *Engine) saysItself(v any) bool {
	switch v.(type) {
	case dressedText, dressedError, fmt.Stringer, error:
		return true
	}
	return false
}

// deep tells whether there is a struct to name the fields of.
func deep(v any) bool {
	if d, ok := dressOf(v); ok {
		v = d.value
	}
	return v != nil && holdsStruct(reflect.TypeOf(v), 0)
}

func holdsStruct(t reflect.Type, depth int) bool {
	switch t.Kind() {
	case reflect.Struct:
		return true
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
		return depth < 4 && holdsStruct(t.Elem(), depth+1)
	}
	return false
}

// A view is a value together with the checker's type, where a cell declared
// it.
type view struct {
	v reflect.Value
	t types.Type // nil for a compiled type
}

func viewOf(v any) view {
	if d, ok := dressOf(v); ok {
		return view{reflect.ValueOf(d.value), d.kind.typ}
	}
	return view{reflect.ValueOf(v), nil}
}

func (w view) kind() reflect.Kind { return w.v.Kind() }

// elem gives the type of what is inside a list, map or pointer.
func (w view) elem(v reflect.Value) view {
	if w.t != nil {
		if u, ok := w.t.Underlying().(interface{ Elem() types.Type }); ok {
			return view{v, u.Elem()}
		}
	}
	return view{v, nil}
}

// fields lists a struct's fields that can be read; what is embedded counts as
// the struct's own.
func (w view) fields() (names []string, all []view) {
	for i := range w.v.NumField() {
		f := w.v.Type().Field(i)
		in := view{w.v.Field(i), nil}
		name := f.Name
		if s, ok := structOf(w.t); ok {
			name, in.t = s.Field(i).Name(), s.Field(i).Type()
		} else if !f.IsExported() {
			continue
		}
		if f.Anonymous && f.Type.Kind() == reflect.Struct {
			inner, views := in.fields()
			names, all = append(names, inner...), append(all, views...)
			continue
		}
		names, all = append(names, name), append(all, in)
	}
	return names, all
}

func structOf(t types.Type) (*types.Struct, bool) {
	if t == nil {
		return nil, false
	}
	s, ok := t.Underlying().(*types.Struct)
	return s, ok
}

// line writes a value on one line.
func (e *Engine) line(w view, depth int) string {
	w.v = outOf(w.v, w.t)
	if depth > mostDeep {
		return "..."
	}
	if text, ok := e.says(w, depth); ok {
		return text
	}
	switch w.kind() {
	case reflect.Pointer:
		if w.v.IsNil() {
			return "nil"
		}
		if depth < 3 {
			return "&" + e.line(w.elem(w.v.Elem()), depth+1)
		}
	case reflect.Struct:
		return e.structLine(w, depth)
	case reflect.Slice, reflect.Array:
		var all []string
		for i := range min(w.v.Len(), mostRows) {
			all = append(all, e.line(w.elem(w.v.Index(i)), depth+1))
		}
		if more := w.v.Len() - mostRows; more > 0 {
			all = append(all, fmt.Sprintf("... and %d more", more))
		}
		return "[" + strings.Join(all, " ") + "]"
	case reflect.Map:
		var all []string
		for _, key := range sortedKeys(w.v) {
			all = append(all, fmt.Sprintf("%v:%s", key, e.line(w.elem(w.v.MapIndex(key)), depth+1)))
		}
		return "map[" + strings.Join(all, " ") + "]"
	}
	return fmt.Sprint(w.v)
}

func (e *Engine) structLine(w view, depth int) string {
	if depth > 4 {
		return "{...}"
	}
	names, views := w.fields()
	for i := range views {
		names[i] += ": " + e.line(views[i], depth+1)
	}
	return e.typeName(w) + "{" + strings.Join(names, ", ") + "}"
}

func (e *Engine) typeName(w view) string {
	if n, ok := types.Unalias(w.t).(*types.Named); ok && w.t != nil {
		return n.Obj().Name()
	}
	if w.t == nil && w.v.IsValid() {
		return w.v.Type().Name()
	}
	return ""
}

// says gives what a value says of itself.
func (e *Engine) says(w view, depth int) (string, bool) {
	if !w.v.IsValid() {
		return "nil", true
	}
	if w.kind() == reflect.Interface {
		if w.v.IsNil() || !w.v.CanInterface() {
			return "nil", true
		}
		return e.line(viewOf(w.v.Elem().Interface()), depth+1), true
	}
	if w.t != nil && w.v.CanInterface() {
		if text, ok := e.ownText(w.v, w.t); ok {
			return text, true
		}
	}
	if hasText(w.v) {
		return fmt.Sprint(w.v.Interface()), true
	}
	if q, ok := e.quantityValue(w); ok {
		return q, true
	}
	return "", false
}

// quantityValue prints a value with a unit that stands in a field in small
// letters, where its String method cannot be called.
func (e *Engine) quantityValue(w view) (string, bool) {
	if w.v.CanInterface() || !w.v.CanFloat() {
		return "", false
	}
	if _, ok := e.table.Quantities[w.v.Type()]; !ok {
		return "", false
	}
	v := reflect.New(w.v.Type()).Elem()
	v.SetFloat(w.v.Float())
	return fmt.Sprint(v.Interface()), true
}

// rows lays a struct, or a list of structs, out as a table.
func (e *Engine) rows(w view) [][]string {
	for w.kind() == reflect.Pointer && !w.v.IsNil() {
		w = w.elem(w.v.Elem())
	}
	switch w.kind() {
	case reflect.Struct:
		names, views := w.fields()
		rows := [][]string{{e.typeName(w), ""}}
		for i, f := range views {
			rows = append(rows, []string{names[i], e.entry(f)})
		}
		return rows
	case reflect.Slice, reflect.Array:
		return e.listRows(w)
	}
	return nil
}

// entry writes a value for one place of a table, where long lists have no room.
func (e *Engine) entry(w view) string {
	text := e.line(w, 1)
	if utf8.RuneCountInString(text) <= lineWidth {
		return text
	}
	if w.kind() == reflect.Slice || w.kind() == reflect.Array || w.kind() == reflect.Map {
		return fmt.Sprintf("(%d of them)", w.v.Len())
	}
	return string([]rune(text)[:lineWidth]) + "…"
}

func (e *Engine) listRows(w view) [][]string {
	if w.v.Len() == 0 {
		return nil
	}
	var rows [][]string
	for i := range w.v.Len() {
		one := w.elem(w.v.Index(i))
		if _, ok := e.says(one, 1); ok || one.kind() != reflect.Struct {
			return nil
		}
		names, views := one.fields()
		if rows == nil {
			rows = append(rows, names)
		}
		if i == mostRows {
			row := make([]string, len(names))
			if len(row) > 0 {
				row[0] = fmt.Sprintf("... and %d more", w.v.Len()-mostRows)
			}
			return append(rows, row)
		}
		var row []string
		for _, f := range views {
			row = append(row, e.entry(f))
		}
		rows = append(rows, row)
	}
	return rows
}

// columns sets a table as text.
func columns(rows [][]string) string {
	widths := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	var lines []string
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			line += cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+2)
		}
		lines = append(lines, strings.TrimRight(line, " "))
	}
	return strings.Join(lines, "\n")
}

func tableHTML(rows [][]string) string {
	var b strings.Builder
	b.WriteString("<table>\n")
	for i, row := range rows {
		b.WriteString("<tr>")
		for j, cell := range row {
			tag := "td"
			switch {
			case i == 0:
				tag = `th scope="col"`
			case j == 0:
				tag = `th scope="row"`
			}
			b.WriteString("<" + tag + ">" + html.EscapeString(cell) + "</" + tag[:2] + ">")
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</table>\n")
	return b.String()
}
