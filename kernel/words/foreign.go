package words

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/png"

	"gonum.org/v1/plot"

	"tautline/kernel/picture"
)

// mostPixels bounds an image that is shown.
const mostPixels = 25_000_000

// showForeign gives the forms of values that no word made but a cell may well
// end with: a plot, an image.
func showForeign(v any) (map[string]any, bool) {
	switch v := v.(type) {
	case *plot.Plot:
		if v == nil {
			return nil, false
		}
		p := picture.Plot(v)
		return map[string]any{"text/plain": p.Title + ". " + p.Alt, "image/svg+xml": string(p.SVG())}, true
	case image.Image:
		return showImage(v), true
	}
	return nil, false
}

func showImage(v image.Image) map[string]any {
	size := v.Bounds().Size()
	text := fmt.Sprintf("an image of %d by %d pixels", size.X, size.Y)
	if size.X <= 0 || size.Y <= 0 || size.X > mostPixels/size.Y {
		return map[string]any{"text/plain": text + ", too large or too small to show"}
	}
	var b bytes.Buffer
	check(png.Encode(&b, v))
	return map[string]any{"text/plain": text, "image/png": base64.StdEncoding.EncodeToString(b.Bytes())}
}
