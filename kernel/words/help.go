package words

import (
	_ "embed"
	"encoding/json"
	"maps"
	"slices"

	"tautline/kernel/coursework"
	"tautline/kernel/engine"
	"tautline/kernel/scenario"
	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
)

//go:generate go test . -run TestDocsAreFresh -write-docs

// docs are the source's own comments on the words.
//
//go:embed docs.json
var docs []byte

// Help is what the words tell about themselves while a cell is typed.
func Help() engine.Help {
	h := engine.Help{Docs: map[string]engine.Doc{}}
	// A test holds the file to being what was generated; it can be read.
	_ = json.Unmarshal(docs, &h.Docs)
	var kinds, names, lying, sites []string
	for _, t := range mask.Types() {
		kinds = append(kinds, string(t))
	}
	for _, f := range face.Catalogue() {
		names = append(names, f.Name)
	}
	for _, p := range fit.Positions() {
		lying = append(lying, p.Name)
	}
	for s := range face.SiteCount {
		sites = append(sites, s.ID())
	}
	h.Strings = map[string][][]string{"Outcome": {scenario.OutcomeWords()}, "After": {scenario.OutcomeWords()},
		"Ticks": {scenario.FaceTicks()}, "CoversAtMost": {{"nostrils", "nose", "nose and mouth"}},
		"Told": {slices.Sorted(maps.Keys(asked)), {"yes", "no", unknownChoice}},
		"Mask": {kinds, mask.Sizes()}, "Face": {names},
		"Position": {lying}, "Site": {sites},
		"Task":     {taskNames()},
		"TestLeak": {nil, {"throughout", "inspiration", "expiration"}},
		"Estimate": {{"whole breath", "vent at the mean pressure", "one conductance", "end of expiration"}}}
	for word, key := range seenKeys {
		t, _ := scenario.FindTelling(key)
		h.Strings[word] = [][]string{append(t.Answers, "don't know")}
	}
	h.Strings["AirFeltAt"], h.Strings["SoreAt"], h.Strings["Lying"] = [][]string{sites}, [][]string{sites}, [][]string{lying}
	h.Strings["Cause"] = [][]string{causeIDs()}
	return h
}

func causeIDs() (all []string) {
	for _, c := range explain.Causes() {
		all = append(all, c.ID())
	}
	return all
}

// taskNames lists the tasks of the lessons; a test holds their file to be good.
func taskNames() []string {
	tasks, _ := coursework.Lessons()
	return tasks.Names()
}
