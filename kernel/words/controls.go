package words

import (
	"html"
	"strings"

	"tautline/kernel/report"
	"tautline/kernel/widget"
)

// build makes the models of all that is drawn beside the picture: the controls
// below each other, then a button and room for a note.
func (l *live) build() {
	add := func(m *widget.Model) *widget.Model {
		m.ID = l.desk.id()
		l.models = append(l.models, m)
		return m
	}
	wide := add(widget.Layout(map[string]string{"width": "min(100%, 34em)"}))
	free := add(widget.Layout(map[string]string{"width": "auto"}))
	styles := map[string]*widget.Model{}
	look := func(kind string, layout *widget.Model) widget.Look {
		if styles[kind] == nil {
			styles[kind] = add(widget.Style(kind))
		}
		return widget.Look{Layout: layout, Style: styles[kind]}
	}
	for _, c := range l.controls {
		l.knobs = append(l.knobs, add(c.knob.model(c.name, look(styleOf(c.knob), wide))))
	}
	l.reset = add(widget.Button("Back to the start", "puts every control back to where it stood at first", look("Button", free)))
	l.note = add(widget.HTML("", look("HTML", free)))
	foot := add(widget.Row(free, l.reset, l.note))
	l.whole = add(widget.Column(free, append(append([]*widget.Model{}, l.knobs...), foot)...))
}

// styleOf is the kind of style that a control's model refers to.
func styleOf(k knob) string {
	switch k.(type) {
	case menu:
		return "Description"
	case toggle:
		return "Checkbox"
	}
	return "Slider"
}

func (l *live) open() error {
	for _, m := range l.models {
		if err := m.Open(l.desk.front); err != nil {
			return err
		}
	}
	return nil
}

// view shows the controls, or says which there would be.
func (l *live) view() map[string]any {
	if l.form {
		return l.formView()
	}
	var spans []string
	for _, c := range l.controls {
		spans = append(spans, c.name+" ("+c.knob.span()+")")
	}
	text := "Controls: " + strings.Join(spans, "; ") + ". Where they cannot be moved, the picture shows where they start."
	return map[string]any{widget.ViewType: l.whole.View(), "text/plain": report.Wrap(text, ""),
		"text/html": "<p>" + html.EscapeString(text) + "</p>\n"}
}

// formView shows a form's controls; where they cannot be moved, what they stand
// at is on the sheet below.
func (l *live) formView() map[string]any {
	text := "A form of choices and sliders. Where they cannot be moved, the sheet below answers the invented patient that they start with."
	return map[string]any{widget.ViewType: l.whole.View(), "text/plain": report.Wrap(text, ""),
		"text/html": paragraph(text)}
}

// say puts a note beside the button; an empty one takes it away.
func (l *live) say(text string) {
	value := ""
	if text != "" {
		value = `<span role="status">` + html.EscapeString(text) + "</span>"
	}
	if l.note.Get("value") != value {
		l.desk.send(l.note.Set(l.desk.front, "value", value))
	}
}
