package command

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

// A file that cannot be used is a failure; a command typed wrongly is misuse.
// Either way there is one line on standard error and nothing on standard output.
func TestExitCodes(t *testing.T) {
	curve := filepath.Join("..", "..", "testdata", "curves", "nasal.csv")
	for _, c := range []struct {
		code int
		args []string
	}{
		{done, []string{"vent", curve}},
		{failed, []string{"vent", "none.csv"}},
		{failed, []string{"vent", "."}},
		{misuse, []string{"vent"}},
		{misuse, []string{"vent", curve, curve}},
		{misuse, []string{"vent", curve, "--at", "12"}},
		{misuse, []string{"vent", curve, "--gas", "30"}},
		{misuse, []string{"vent", curve, "--altitude", "30"}},
		{misuse, []string{"vent", curve, "--blocked", "NaN"}},
		{misuse, []string{"vent", curve, "--json", "--csv"}},
		{misuse, []string{"vent", curve, "--nothing"}},
		{failed, []string{"vent", curve, "--svg", filepath.Join("none", "v.svg")}},
		{misuse, []string{"checks", "now"}},
	} {
		var out, messages bytes.Buffer
		code := Main(c.args, strings.NewReader(""), &out, &messages)
		if code != c.code || (code != done) != (messages.Len() > 0) || (code != done) == (out.Len() > 0) ||
			strings.Count(messages.String(), "\n") > 1 {
			t.Errorf("%v: exit code %d, want %d: %q", c.args, code, c.code, &messages)
		}
	}
}
