package words

import (
	"fmt"
	"html"
	"strings"

	"tautline/kernel/picture"
	"tautline/kernel/report"
)

// A sheet is how a result shows itself: sentences first, then pictures, lists,
// tables, and what to look at afterwards; as text without the pictures.
type sheet struct {
	caution   bool // whether the cautions stand above it
	sentences []string
	pictures  []*picture.Picture
	lists     []list
	tables    []table
	after     []string // sentences at the end
}

// A list is a heading with points in their order.
type list struct {
	heading string
	points  []string
}

// A table has its heading in the first rows and names in the first column.
type table struct {
	caption string
	head    int
	rows    [][]string
}

func (s sheet) text() string {
	var parts []string
	if s.caution {
		parts = append(parts, report.Wrap(report.ShortCaution, "")+"\n")
	}
	for _, text := range s.sentences {
		parts = append(parts, report.Wrap(text, "")+"\n")
	}
	for _, l := range s.lists {
		part := l.heading + "\n"
		for i, p := range l.points {
			part += report.Wrap(fmt.Sprintf("%d. %s", i+1, p), "   ") + "\n"
		}
		parts = append(parts, part)
	}
	for _, t := range s.tables {
		parts = append(parts, t.caption+"\n"+report.Columns("  ", t.rows))
	}
	for _, text := range s.after {
		parts = append(parts, report.Wrap(text, "")+"\n")
	}
	return strings.TrimSuffix(strings.Join(parts, "\n"), "\n")
}

// bundle gives the sheet in every form. The picture also comes alone, for
// programs that show pictures but no HTML.
func (s sheet) bundle() map[string]any {
	var drawings []string
	for _, p := range s.pictures {
		drawings = append(drawings, string(p.SVG()))
	}
	b := map[string]any{"text/plain": s.text(), "text/html": s.html(drawings)}
	if len(drawings) == 1 {
		b["image/svg+xml"] = drawings[0]
	}
	return b
}

func (s sheet) html(drawings []string) string {
	var b strings.Builder
	if s.caution {
		b.WriteString(`<p class="short">` + html.EscapeString(report.ShortCaution) + "</p>\n")
	}
	for _, text := range s.sentences {
		b.WriteString("<p>" + html.EscapeString(text) + "</p>\n")
	}
	for _, svg := range drawings {
		b.WriteString("<figure>\n" + svg + "</figure>\n")
	}
	for _, l := range s.lists {
		b.WriteString("<p>" + html.EscapeString(l.heading) + "</p>\n<ol>\n")
		for _, p := range l.points {
			b.WriteString("<li>" + html.EscapeString(p) + "</li>\n")
		}
		b.WriteString("</ol>\n")
	}
	for _, t := range s.tables {
		t.html(&b)
	}
	for _, text := range s.after {
		b.WriteString("<p>" + html.EscapeString(text) + "</p>\n")
	}
	return b.String()
}

func (t table) html(b *strings.Builder) {
	b.WriteString("<table>\n<caption>" + html.EscapeString(t.caption) + "</caption>\n")
	for i, row := range t.rows {
		switch {
		case i == 0 && t.head > 0:
			b.WriteString("<thead>\n")
		case i == t.head:
			b.WriteString("<tbody>\n")
		}
		b.WriteString("<tr>")
		for j, cell := range row {
			tag, scope := "td", ""
			if i < t.head {
				tag, scope = "th", ` scope="col"`
			} else if j == 0 {
				tag, scope = "th", ` scope="row"`
			}
			b.WriteString("<" + tag + scope + ">" + html.EscapeString(cell) + "</" + tag + ">")
		}
		b.WriteString("</tr>\n")
		if i == t.head-1 {
			b.WriteString("</thead>\n")
		}
	}
	b.WriteString("</tbody>\n</table>\n")
}
