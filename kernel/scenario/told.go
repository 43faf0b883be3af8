package scenario

import (
	"fmt"
	"slices"
	"strings"

	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/unit"
)

// A Telling is one thing that a person can tell about a leak in words: by a key
// of a file, a flag of a command, or a word of a cell. "Don't know" is always
// an answer, and the same as not telling it.
type Telling struct {
	Key     string   // "dry_mouth"
	Answers []string // what can be said, "don't know" left out
	Meaning string
	tell    func(q *explain.Question, answer int)
}

// Tellings lists all of them: what the readings are first, then what is known,
// then the tests of ten seconds.
func Tellings() []Telling {
	all := []Telling{
		{"flow", []string{"total", "unintentional"}, "which flow was read: everything that leaves, or what the machine has left after its own vent curve",
			func(q *explain.Question, a int) { q.Which = explain.Which(a) }},
		{"statistic", []string{"mean", "median", "95th percentile"}, "which figure of a stretch of time the flow is",
			func(q *explain.Question, a int) { q.Statistic = explain.Statistic(a) }},
		{"stepped_by", []string{"person", "machine"}, "who chose the pressures",
			func(q *explain.Question, a int) { q.Chooser = explain.Chooser(a) }},
	}
	for _, f := range explain.Findings() {
		all = append(all, finding(f))
	}
	return all
}

// meanings say each finding as one would ask for it.
var meanings = map[explain.Finding]string{
	explain.DryMouth: "a dry mouth in the morning", explain.WorseOnSide: "worse when lying on the side",
	explain.CushionAge: "how long the cushion has been in use", explain.CushionLooks: "how the cushion looks; greasy, torn or misshapen is worn",
	explain.StrapsFeel: "how the straps feel", explain.OxygenAdded: "oxygen led into mask or hose",
	explain.AirFelt: "where air is felt", explain.LipsClosed: "lips closed for three breaths",
	explain.FingerPressure: "light finger pressure where air is felt", explain.Reseat: "mask lifted off, filled and settled anew",
	explain.HeadTurned: "head turned to the side", explain.HoseHeldUp: "hose held up",
	explain.AgainstPalm: "mask sealed against the palm, off the patient, the vent never covered",
	explain.DampHand:    "the back of a damp hand led round the rim",
}

func finding(f explain.Finding) Telling {
	t := Telling{Key: f.ID(), Meaning: meanings[f],
		tell: func(q *explain.Question, a int) { q.Seen[f] = a }}
	for _, o := range f.Outcomes() {
		t.Answers = append(t.Answers, strings.ReplaceAll(o, "_", " "))
	}
	return t
}

// Choices is what can be said, for a sentence: `"yes", "no" or "don't know"`.
func (t Telling) Choices() string {
	return `"` + strings.Join(t.Answers, `", "`) + `" or "don't know"`
}

// FindTelling finds one by its key.
func FindTelling(key string) (Telling, bool) {
	all := Tellings()
	i := slices.IndexFunc(all, func(t Telling) bool { return t.Key == key })
	if i < 0 {
		return Telling{}, false
	}
	return all[i], true
}

// likewise are other words for the same answer.
var likewise = map[string]string{"average": "mean", "95 %": "95th percentile", "95%": "95th percentile", "p95": "95th percentile",
	"95th": "95th percentile", "therapist": "person", "by hand": "person", "self-adjusting": "machine", "auto": "machine", "automatic": "machine",
	"unintended": "unintentional", "all": "total", "better": "helps", "none": "nowhere", "at the rim": "at rim", "at the mouth": "at mouth",
	"at the assembly": "at assembly", "at the hose": "at assembly", "the leak stays": "leak stays", "the leak is gone": "leak gone",
	"unknown": noIdea, "dont know": noIdea, "not known": noIdea, "?": noIdea, "": noIdea}

// Tell notes an answer in a question. An answer that is not known is refused in
// one sentence with those there are.
func (t Telling) Tell(q *explain.Question, answer string) error {
	word := strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(answer, "_", " "))), " ")
	if w, ok := likewise[word]; ok && !slices.Contains(t.Answers, word) {
		word = w
	}
	if word == noIdea {
		t.tell(q, 0)
		return nil
	}
	if i := slices.Index(t.Answers, word); i >= 0 {
		t.tell(q, i+1)
		return nil
	}
	if age, err := unit.ParseTime(answer); err == nil && t.Key == explain.CushionAge.ID() && age >= 0 {
		t.tell(q, ageClass(age))
		return nil
	}
	return fmt.Errorf("%s %q is not known; say %s", t.Key, shortened(answer), t.Choices())
}

// ageClass is the outcome that a cushion's age falls into; a month has 30 days.
func ageClass(age unit.Time) int {
	const month = 30 * unit.Day
	switch {
	case age < month:
		return 1
	case age < 3*month:
		return 2
	case age < 6*month:
		return 3
	}
	return 4
}

// TellSites notes where air is felt or where skin is sore. Sites are named as in
// files; "cheek" alone stands for both sides.
func TellSites(q *explain.Question, key, names string) error {
	var sites []face.Site
	for name := range strings.SplitSeq(names, ",") {
		name = strings.ReplaceAll(strings.TrimSpace(strings.ToLower(name)), " ", "_")
		switch found := sitesOf(strings.TrimPrefix(name, "the_")); {
		case strings.ReplaceAll(name, "_", " ") == noIdea:
		case found == nil:
			return fmt.Errorf("%s %q is no site; say one of %s", key, shortened(name), strings.Join(siteKeys(allSites()), ", "))
		default:
			sites = append(sites, found...)
		}
	}
	if key == "sore_at" {
		q.Sore = sites
		return nil
	}
	if q.Felt = sites; len(sites) > 0 && q.Seen[explain.AirFelt] == explain.DontKnow {
		q.Seen[explain.AirFelt] = 1 // at the rim
	}
	return nil
}

func allSites() (all []face.Site) {
	for s := range face.SiteCount {
		all = append(all, s)
	}
	return all
}
