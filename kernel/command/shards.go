package command

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tautline/kernel/report"
	"tautline/model/population"
	"tautline/model/unit"
)

// fingerprint tells questions apart: parts of different ones do not add up. It
// holds what the counts depend on: the scenario as written, the vent that it
// may have from another file, how many faces and from which seed.
func (q *asked) fingerprint(data []byte) string {
	h := sha256.New()
	fmt.Fprintf(h, "%d %d %d\x00", q.Faces, q.Question.Seed, len(data))
	h.Write(data)
	for p := unit.Pressure(0); p <= 40*unit.CmH2O; p += unit.CmH2O {
		flow, _ := q.Scenario.Question.Case.Mask.Vent.Flow(p)
		fmt.Fprintf(h, " %.9g", float64(flow))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// A part is the k-th of m, counted from 1.
type part struct{ k, m int }

func parsePart(s string) (part, error) {
	a, b, found := strings.Cut(s, "/")
	k, errK := strconv.Atoi(a)
	m, errM := strconv.Atoi(b)
	if !found || errK != nil || errM != nil || k < 1 || m < k || m > mostParts {
		return part{}, misused("--shard %q: write it like 3/16, the third of 16 parts (at most %d)", s, mostParts)
	}
	return part{k, m}, nil
}

// faces gives the places in the row that belong to the part.
func (p part) faces(all int) (from, to int) { return all * (p.k - 1) / p.m, all * p.k / p.m }

func (p part) file(folder string) string {
	return filepath.Join(folder, fmt.Sprintf("part-%04d-of-%04d.json", p.k, p.m))
}

// one counts one part, unless it is there already.
func (f *populationFlags) one(cmd *cobra.Command, q asked, say func(string)) error {
	p, err := parsePart(f.shard)
	if err != nil {
		return err
	}
	if _, err := f.part(cmd, q, p, say); err != nil {
		return err
	}
	from, to := p.faces(q.Faces)
	_, err = fmt.Fprintf(cmd.OutOrStdout(), "Part %d of %d, %d faces, is in %s.\nOnce all are there: tautline population %s --merge %s\n",
		p.k, p.m, to-from, p.file(f.out), q.name, filepath.Join(f.out, "*.json"))
	return err
}

// all counts the parts that are not there yet and adds all up.
func (f *populationFlags) all(cmd *cobra.Command, q asked, say func(string)) (population.Tally, error) {
	var parts []population.Tally
	for k := range f.parts {
		t, err := f.part(cmd, q, part{k + 1, f.parts}, say)
		if err != nil {
			return t, err
		}
		parts = append(parts, t)
	}
	return population.Merge(parts...), nil
}

// part takes a finished part from its file, or counts it and writes the file,
// whole or not at all.
func (f *populationFlags) part(cmd *cobra.Command, q asked, p part, say func(string)) (t population.Tally, err error) {
	path := p.file(f.out)
	if s, err := readPart(path, q); err == nil {
		return s.Tally(), nil
	} else if !errors.Is(err, fs.ErrNotExist) {
		return t, err
	}
	if err := os.MkdirAll(f.out, 0o755); err != nil {
		return t, fmt.Errorf("%s cannot be made a folder for parts: %w", f.out, plain(err))
	}
	from, to := p.faces(q.Faces)
	t, err = population.CountFaces(cmd.Context(), q.Question, from, to, func(done int) { say(bar(from+done, q.Faces) + " faces") })
	if err != nil {
		return t, err
	}
	data, err := marshalShort(report.ShardJSON(q.id, p.k, p.m, t))
	if err != nil {
		return t, err
	}
	return t, (&output{}).save(path, data)
}

func marshalShort(v any) ([]byte, error) {
	b, err := json.Marshal(v)
	return append(b, '\n'), err
}

// readPart reads a part and holds it to the question and to itself.
func readPart(path string, q asked) (s report.ShardFile, err error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return s, fmt.Errorf("%s cannot be read: %w", path, err)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return s, fmt.Errorf("%s is no part that can be read (%v): take it out of the folder and count it again", path, err)
	}
	switch {
	case s.Format != report.ShardFormat || s.Version != 1:
		return s, fmt.Errorf("%s has the format %q, version %d: %q, version 1, is read here", path, s.Format, s.Version, report.ShardFormat)
	case s.Question != q.id:
		return s, fmt.Errorf("%s answers another question: scenario, --n and --seed must be those that it was counted with; name another folder or count it again", path)
	case s.Shard < 1 || s.Shard > s.Of || s.Of > mostParts:
		return s, fmt.Errorf("%s calls itself part %d of %d, which is none", path, s.Shard, s.Of)
	}
	from, to := part{s.Shard, s.Of}.faces(q.Faces)
	if err := s.Check(); err != nil || s.Faces != to-from {
		return s, fmt.Errorf("%s is damaged: its counts do not come to %d faces; count it again", path, to-from)
	}
	return s, nil
}

// mergeParts adds up the parts of one row of faces, each once, in any order.
func mergeParts(q asked, files []string) (population.Tally, error) {
	var parts []population.Tally
	have := map[int]string{}
	of := 0
	for _, path := range files {
		s, err := readPart(path, q)
		if err != nil {
			return population.Tally{}, err
		}
		if of != 0 && s.Of != of {
			return population.Tally{}, fmt.Errorf("%s is one of %d parts, the files before it of %d: merge parts of one division", path, s.Of, of)
		}
		if other, twice := have[s.Shard]; twice {
			return population.Tally{}, fmt.Errorf("%s and %s are the same part %d of %d: name each once", other, path, s.Shard, s.Of)
		}
		of, have[s.Shard] = s.Of, path
		parts = append(parts, s.Tally())
	}
	for k := 1; k <= of; k++ {
		if have[k] == "" {
			return population.Tally{}, fmt.Errorf("part %d of %d is missing: count it with --shard %d/%d", k, of, k, of)
		}
	}
	return population.Merge(parts...), nil
}
