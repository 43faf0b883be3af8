package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
)

// An element is one tag of a picture as a browser would read it.
type element struct {
	name string
	attr map[string]string
	text string
}

// elements parses a picture strictly.
func elements(svg []byte) ([]element, error) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	var all []element
	var open []int
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return all, nil
		}
		if err != nil {
			return nil, err
		}
		switch k := tok.(type) {
		case xml.StartElement:
			e := element{name: k.Name.Local, attr: map[string]string{}}
			for _, a := range k.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			open = append(open, len(all))
			all = append(all, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				all[open[len(open)-1]].text += string(k)
			}
		}
	}
}

func parsed(t testing.TB, p *Picture) []element {
	t.Helper()
	all, err := elements(p.SVG())
	if err != nil {
		t.Fatalf("%s is not XML: %v", p.Title, err)
	}
	return all
}

func (e element) number(name string) float64 {
	v, err := strconv.ParseFloat(e.attr[name], 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// TestSVGIsPlain holds every picture to what a page with a strict security
// policy shows: presentation attributes only, nothing active, nothing broken.
func TestSVGIsPlain(t *testing.T) {
	allowed := map[string]bool{"svg": true, "title": true, "desc": true, "path": true, "text": true}
	for name, p := range gallery() {
		for _, e := range parsed(t, p) {
			if !allowed[e.name] {
				t.Errorf("%s has a <%s>", name, e.name)
			}
			for a, v := range e.attr {
				if a == "style" || a == "class" || strings.HasPrefix(a, "on") {
					t.Errorf("%s: <%s> has the attribute %s", name, e.name, a)
				}
				if strings.Contains(v, "NaN") || strings.Contains(v, "Inf") {
					t.Errorf("%s: <%s %s=%q>", name, e.name, a, v)
				}
			}
		}
	}
}

// TestTextAlternative wants the title and the description that the root points
// to, and different ids in different pictures.
func TestTextAlternative(t *testing.T) {
	seen := map[string]string{}
	for name, p := range gallery() {
		all := parsed(t, p)
		root, title, desc := all[0], all[1], all[2]
		if root.attr["role"] != "img" || root.attr["aria-labelledby"] != title.attr["id"]+" "+desc.attr["id"] {
			t.Errorf("%s: the root does not point to its text", name)
		}
		if title.text != p.Title || desc.text != p.Alt || len(p.Title) < 5 || len(p.Alt) < 20 {
			t.Errorf("%s: title %q, description %q", name, title.text, desc.text)
		}
		if other, twice := seen[title.attr["id"]]; twice {
			t.Errorf("%s and %s share an id", name, other)
		}
		seen[title.attr["id"]] = name
	}
}

// A label is the place of a text on the sheet.
type label struct {
	text           string
	x0, y0, x1, y1 float64
}

func labels(all []element) []label {
	var out []label
	for _, e := range all {
		if e.name != "text" || e.attr["transform"] != "" {
			continue
		}
		x, w, size := e.number("x"), e.number("textLength"), e.number("font-size")
		switch e.attr["text-anchor"] {
		case "middle":
			x -= w / 2
		case "end":
			x -= w
		}
		y := e.number("y")
		out = append(out, label{e.text, x, y - 0.72*size, x + w, y + 0.02*size})
	}
	return out
}

// TestLettering keeps all text readable: large enough for a projector, on the
// sheet, and no two texts over each other.
func TestLettering(t *testing.T) {
	for name, p := range gallery() {
		all := parsed(t, p)
		for _, e := range all {
			if e.name == "text" && !(e.number("font-size") >= 14) {
				t.Errorf("%s: %q is %s px", name, e.text, e.attr["font-size"])
			}
		}
		width, height := all[0].number("width"), all[0].number("height")
		ls := labels(all)
		for i, a := range ls {
			if a.x0 < 0 || a.y0 < 0 || a.x1 > width || a.y1 > height {
				t.Errorf("%s: %q runs off the sheet", name, a.text)
			}
			for _, b := range ls[:i] {
				if a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1 {
					t.Errorf("%s: %q lies over %q", name, a.text, b.text)
				}
			}
		}
	}
}

// TestSameInputSameBytes draws twice.
func TestSameInputSameBytes(t *testing.T) {
	a, b := rimCases(), rimCases()
	for name := range a {
		if !bytes.Equal(a[name].SVG(), b[name].SVG()) || !bytes.Equal(a[name].SVG(), a[name].SVG()) {
			t.Errorf("%s: two drawings differ", name)
		}
	}
	if one := a["rim-nasal"]; !bytes.Equal(one.PNG(), b["rim-nasal"].PNG()) {
		t.Error("two PNGs differ")
	}
}

// TestEscape puts into a name what XML cannot hold as it is.
func TestEscape(t *testing.T) {
	p := Rim(nasal().point(), Named("a<b>&\"c\" \x00\x1b \xff ]]>"))
	all := parsed(t, p)
	if !strings.Contains(all[1].text, `a<b>&"c"`) {
		t.Errorf("the title reads %q", all[1].text)
	}
	if n := fmt.Sprint(p.Size()); n == "" {
		t.Error("no size")
	}
}
