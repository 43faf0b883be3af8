package notebooks_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tautline/kernel/notebook"
	"tautline/notebooks"
)

// texts gives what each lesson says outside of code, by file name.
func texts(t *testing.T) map[string]string {
	t.Helper()
	names, err := fs.Glob(notebooks.Files, "*.ipynb")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, name := range names {
		for _, c := range read(t, name, lesson(t, name)).Cells {
			if c.Kind != notebook.Code {
				out[name] += c.Source + "\n\n"
			}
		}
	}
	return out
}

// misconceptions are the beliefs that lessons make a moment for, each with the
// lesson and the phrase that takes it up.
var misconceptions = []struct{ belief, lesson, phrase string }{
	{"tighter always seals better", "04-too-tight", "tighter always seals better"},
	{"leak grows in proportion to pressure", "01-vent", "in proportion to pressure"},
	{"the device's leak number is the mask's leak", "01-vent", "ask which of the two it is"},
	{"one pressure number is a limit for skin", "04-too-tight", "no one pressure that is a limit for skin"},
	{"a larger size always leaks more", "05-shape", "a larger size does not always leak more"},
	{"mouth leak is cured by tightening", "06-mouth", "Mouth leak is not cured by tightening"},
	{"zero leak is the goal", "03-balance", "Zero leak is not the goal"},
	{"the vent's hiss is a fault", "01-vent", "the hiss is not a fault"},
	{"leak on the left: pull the left strap", "04-too-tight", "pull the left strap"},
	{"bridge leak: pull the top straps", "05-shape", "pull the top straps"},
	{"new mask before new cushion", "05-shape", "a new cushion, another size, another type"},
	{"a bigger mask is gentler", "05-shape", "A bigger mask is not gentler"},
	{"sealed sitting is sealed asleep", "03-balance", "sealed sitting is not sealed asleep"},
	{"sealed at the ramp is sealed at the peak", "03-balance", "sealed at the ramp is not yet sealed at the peak"},
	{"leak rose with pressure, so pressure caused it", "03-balance", "does not show which came first"},
	{"two machines' leak figures compare", "01-vent", "Two machines' numbers do not compare"},
}

func TestMisconceptionsGetTheirMoment(t *testing.T) {
	said := texts(t)
	for _, m := range misconceptions {
		text := strings.ReplaceAll(said[m.lesson+".ipynb"], "*", "")
		if !strings.Contains(strings.ToLower(text), strings.ToLower(m.phrase)) {
			t.Errorf("%s does not take up %q (%q)", m.lesson, m.belief, m.phrase)
		}
	}
}

// published is how a source is cited: a journal's year, volume and page, the number
// of a research paper, or a DOI.
var published = regexp.MustCompile(`\d{4};\d+:[A-Z]?\d+|doi 10\.\d{4}|Forschungsheft \d+`)

// Where hands would act stand the usual cautions, where a lesson shows the
// trade stands a published figure, and every lesson ends with the skin.
func TestEachLessonHasItsParts(t *testing.T) {
	for name, text := range texts(t) {
		for _, part := range []string{"Stop and call someone", "the nurse or the prescriber", "licensed clinician decide"} {
			if !strings.Contains(text, part) {
				t.Errorf("%s does not say %q", name, part)
			}
		}
		if !strings.Contains(text, "not fade") && !strings.Contains(text, "non-blanching") {
			t.Errorf("%s does not say which marks matter", name)
		}
		if name != "quick-sheet.ipynb" && !published.MatchString(text) {
			t.Errorf("%s puts no published figure beside the model's", name)
		}
	}
}

var (
	aside    = regexp.MustCompile("`[^`]*`|https?://\\S+|\\]\\([^)]*\\)|10\\.\\d+/\\S+")
	sentence = regexp.MustCompile(`[.?!:;](\s|$)|\n\n|\n[-0-9|]`)
	word     = regexp.MustCompile(`\p{L}+(['’]\p{L}+)?`)
)

// Short sentences and few long words: the bounds are ours, near those of texts
// for the last years of school (assumed, no source).
func TestLessonsReadEasily(t *testing.T) {
	for name, text := range texts(t) {
		var lengths []int
		long, all := 0, 0
		for _, s := range sentence.Split(aside.ReplaceAllString(text, ""), -1) {
			words := word.FindAllString(s, -1)
			if len(words) < 2 {
				continue
			}
			lengths = append(lengths, len(words))
			for _, w := range words {
				all++
				if len(w) > 9 {
					long++
				}
			}
		}
		slices.Sort(lengths)
		if middle := lengths[len(lengths)/2]; middle > 14 {
			t.Errorf("%s: a middle sentence has %d words; at most 14 are wanted", name, middle)
		}
		if share := float64(long) / float64(all); share > 0.08 {
			t.Errorf("%s: %.0f %% of the words are longer than nine letters; at most 8 %% are wanted", name, 100*share)
		}
	}
}

// wordList is Debian's list of American English, in the package wamerican.
const wordList = "/usr/share/dict/american-english"

func TestSpelling(t *testing.T) {
	list, err := os.ReadFile(wordList)
	if err != nil {
		if os.Getenv("TAUTLINE_CI") != "" {
			t.Fatalf("%v: on Debian, apt-get install wamerican", err)
		}
		t.Logf("not checked: %v", err)
		return
	}
	terms, err := os.ReadFile("testdata/terms.txt")
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{}
	for _, w := range strings.Fields(strings.ToLower(string(list) + "\n" + string(terms))) {
		known[w] = true
	}
	for name, text := range texts(t) {
		for _, w := range word.FindAllString(aside.ReplaceAllString(text, " "), -1) {
			w = strings.ToLower(strings.ReplaceAll(w, "’", "'"))
			if !known[w] && !known[strings.TrimSuffix(w, "'s")] {
				t.Errorf("%s: %q is in neither word list", name, w)
			}
		}
	}
}

var link = regexp.MustCompile(`\]\(([^)\s]+)\)`)

// Links lead to files that are there.
func TestLinksResolve(t *testing.T) {
	pages := map[string]string{}
	for name, text := range texts(t) {
		pages[name] = text
	}
	notes, err := filepath.Glob("notes/*.md")
	if err != nil || len(notes) == 0 {
		t.Fatalf("no notes: %v", err)
	}
	for _, name := range notes {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		pages[name] = string(data)
	}
	for name, text := range pages {
		for _, m := range link.FindAllStringSubmatch(text, -1) {
			target, _, _ := strings.Cut(m[1], "#")
			if strings.Contains(target, "://") || target == "" {
				continue
			}
			if _, err := os.Stat(filepath.Join(filepath.Dir(name), target)); err != nil {
				t.Errorf("%s links to %s, which is not there", name, m[1])
			}
		}
	}
}
