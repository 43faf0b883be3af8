package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"
	"strings"
	"testing"
)

// chunks reads a PNG by hand, checking every sum.
func chunks(t *testing.T, file []byte) map[string][]string {
	t.Helper()
	found := map[string][]string{}
	for rest := file[8:]; len(rest) >= 12; {
		n := int(binary.BigEndian.Uint32(rest))
		body := rest[4 : 8+n]
		if crc32.ChecksumIEEE(body) != binary.BigEndian.Uint32(rest[8+n:]) {
			t.Fatalf("a %s chunk has a wrong sum", body[:4])
		}
		found[string(body[:4])] = append(found[string(body[:4])], string(body[4:]))
		rest = rest[12+n:]
	}
	return found
}

// TestPNG wants twice the size of the SVG and the text alternative inside.
func TestPNG(t *testing.T) {
	p := Vent(inventedVent(4, 18.9, 8, 27.2, 20, 44.1), nil)
	file := p.PNG()
	img, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	w, h := p.Size()
	if b := img.Bounds(); b.Dx() != 2*w || b.Dy() != 2*h {
		t.Errorf("%d x %d pixels for a picture of %d x %d", b.Dx(), b.Dy(), w, h)
	}
	text := strings.Join(chunks(t, file)["iTXt"], "\n")
	if !strings.Contains(text, p.Alt) || !strings.Contains(text, p.Title) {
		t.Errorf("the file says %q", text)
	}
}
