package command

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A shelf of example files without the word that they are invented would be
// taken for data.
func TestExampleReadingsSayThatTheyAreInvented(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join("..", "..", "testdata", "readings", "*.csv"))
	for _, f := range files {
		if data, err := os.ReadFile(f); err != nil || !strings.Contains(string(data), "invented") {
			t.Errorf("%s does not say that its patient is invented (%v)", f, err)
		}
	}
}
