package words

import (
	"strings"
	"testing"

	"tautline/kernel/report"
	"tautline/model/unit"
)

// What lies between rim and face shows itself in a sentence and a table with
// units, with the cautions before it and what to look at after it.
func TestSplitIsSaid(t *testing.T) {
	s := putOn(findMask("oronasal", "medium"), findFace("deep folds"), straps(7*unit.N)).Split()
	b := s.Mimebundle()
	for form, want := range map[string][]string{
		"text/plain": {"First look", "Straps can remove", report.Depth(s.Shape), "left as shape", "both cheeks", "Look where air comes out"},
		"text/html":  {"First look", "<table>", "<td>" + report.Depth(s.Straps) + "</td>", "Look where air comes out"},
	} {
		for _, w := range want {
			if !strings.Contains(strings.Join(strings.Fields(b[form].(string)), " "), w) {
				t.Errorf("%s lacks %q:\n%s", form, w, b[form])
			}
		}
	}
}
