package words

import (
	"html"
	"strings"

	"tautline/kernel/picture"
	"tautline/model/vent"
)

// ventBundle shows a mask vent: the sentences as they are said on the command
// line, and the curve.
func ventBundle(v MaskVent) map[string]any {
	text := v.String()
	p := picture.Vent(v.Vent, compared, picture.Named(v.name), picture.WashoutFloor(vent.Floor()))
	page := "<figure>\n" + string(p.SVG()) + "</figure>\n"
	for _, part := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if strings.HasPrefix(part, "  ") {
			page += "<pre>" + html.EscapeString(part) + "</pre>\n"
		} else {
			page += "<p>" + html.EscapeString(strings.Join(strings.Fields(part), " ")) + "</p>\n"
		}
	}
	return map[string]any{"text/plain": text, "text/html": page, "image/svg+xml": string(p.SVG())}
}
