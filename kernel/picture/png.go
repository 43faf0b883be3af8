package picture

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"

	"gonum.org/v1/plot/vg/vgimg"
)

// pngDPI gives two pixels for each of vg's points (72 to the inch), which are
// the SVG's pixels.
const pngDPI = 144

// PNG renders the picture at twice its size, sharp enough for a projector and
// for print. Title and text alternative travel inside the file.
func (p *Picture) PNG() []byte {
	c := vgimg.NewWith(vgimg.UseWH(p.width, p.height), vgimg.UseDPI(pngDPI))
	p.render(c)
	var b bytes.Buffer
	if err := png.Encode(&b, c.Image()); err != nil {
		return nil // a buffer does not fail, and the size is always positive
	}
	return withText(b.Bytes(), "Title", p.Title, "Description", p.Alt)
}

// pngStart is the length of the signature and of the header chunk, which must
// come first: 8 bytes, then 4+4+13+4 (PNG specification, ISO/IEC 15948:2004,
// 5.2 and 11.2.2).
const pngStart = 8 + 25

// withText puts keyword and text pairs behind the header of a PNG.
func withText(file []byte, pairs ...string) []byte {
	if len(file) < pngStart {
		return file
	}
	out := append([]byte{}, file[:pngStart]...)
	for i := 0; i+1 < len(pairs); i += 2 {
		out = append(out, textChunk(pairs[i], pairs[i+1])...)
	}
	return append(out, file[pngStart:]...)
}

// textChunk is an iTXt chunk: UTF-8, not compressed, of no stated language (ISO/IEC
// 15948:2004, 11.3.4.5).
func textChunk(keyword, text string) []byte {
	body := []byte("iTXt" + keyword + "\x00" + "\x00\x00" + "\x00" + "\x00" + text)
	out := binary.BigEndian.AppendUint32(nil, uint32(len(body)-4))
	out = append(out, body...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(body))
}
