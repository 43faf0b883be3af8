package scenario

import (
	"strings"
	"testing"

	"tautline/model/airway"
)

// A night takes the mouth from where breaths take it; what older files say in
// [night] is read as before, and both together are refused.
func TestTheMouthStandsInOnePlace(t *testing.T) {
	lips, open := airway.ClosedMouth(), airway.OpenMouth().WithChinStrap()
	night := "[night]\nstatistic = \"mean\"\n"
	for text, want := range map[string]*airway.Mouth{
		night:                                  nil,
		"[mouth]\npalate = \"open\"\n" + night: &lips,
		"[mouth]\npalate = \"shut\"\n" + night: nil,
		"[mouth]\nopen = true\nchin_strap = true\n" + night: &open,
		night + "mouth = \"lips resting\"\n":                &lips,
		night + "mouth = \"open\"\nchin_strap = true\n":     &open,
	} {
		s, err := Parse("n.toml", []byte(minimal+text), nil)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		got := s.Night.Mouth
		if (got == nil) != (want == nil) || got != nil && *got != *want {
			t.Errorf("%q: %+v, want %+v", text, got, want)
		}
	}
	_, err := Parse("n.toml", []byte(minimal+"[mouth]\nopen = true\n"+night+"mouth = \"open\"\n"), nil)
	if err == nil || !strings.Contains(err.Error(), "stated in [mouth] as well") {
		t.Errorf("both together: %v", err)
	}
}
