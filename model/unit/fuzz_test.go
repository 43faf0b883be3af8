package unit

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"
)

// FuzzParse: whatever a file holds, reading never panics, gives a finite number
// or an error, and the error repeats what was written.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"12 cmH2O", "1,5 mm", "-3e-4 Pa/m", "1e999 N", "", " ", "%", "60 %", "20°", "+", ".",
		"1e", "1e+", "NaN N", "12 cmH₂O", "3 µm", "\xff\xfe 2 N", "1,2,3", "5 \x00", "9 K", "1\u00a0N", "−5 N"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, k := range kinds {
			v, err := k.Parse(s)
			if err == nil {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Errorf("%q reads as %v", s, v)
				}
				continue
			}
			var p *ParseError
			if !errors.As(err, &p) || p.Want != k || p.Input != s {
				t.Errorf("%q fails with %#v", s, err)
			}
			if text := err.Error(); !strings.Contains(text, strconv.Quote(s)) || strings.ContainsAny(text, "\n\r") {
				t.Errorf("%q: the error is %q", s, text)
			}
		}
	})
}
