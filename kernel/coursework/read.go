package coursework

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"tautline/kernel/scenario"
	"tautline/model/face"
	"tautline/model/unit"
)

//go:embed tasks.toml
var lessons []byte

// Lessons gives the tasks of the lessons.
func Lessons() (Set, error) { return Read("tasks.toml", lessons) }

// The file as it is written.
type (
	taskFile struct {
		Format string      `toml:"format"`
		Task   []taskEntry `toml:"task"`
	}
	taskEntry struct {
		Name   string                `toml:"name"`
		Kind   string                `toml:"kind"`
		About  string                `toml:"about"`
		Text   string                `toml:"text"`
		Hints  []string              `toml:"hints"`
		Own    map[string]givenEntry `toml:"own"`
		Scene  *scene                `toml:"scene"`
		Number *numberEntry          `toml:"number"`
		Choice *choiceEntry          `toml:"choice"`
	}
	givenEntry struct {
		Low    string   `toml:"low"`
		High   string   `toml:"high"`
		Step   string   `toml:"step"`
		Values []string `toml:"values"`
	}
	numberEntry struct {
		Wants string   `toml:"wants"`
		Site  string   `toml:"site"`
		Range []string `toml:"range"`
	}
	choiceEntry struct {
		Wants  string        `toml:"wants"`
		Option []optionEntry `toml:"option"`
	}
	optionEntry struct {
		Name  string   `toml:"name"`
		Sites []string `toml:"sites"`
	}
)

// decode reads a TOML file strictly: an unknown key is refused with its line.
func decode(name string, data []byte, into any) error {
	text, err := scenario.Text(name, data)
	if err != nil {
		return err
	}
	d := toml.NewDecoder(bytes.NewReader([]byte(text))).DisallowUnknownFields()
	err = d.Decode(into)
	var strict *toml.StrictMissingError
	var wrong *toml.DecodeError
	switch {
	case errors.As(err, &strict) && len(strict.Errors) > 0:
		line, _ := strict.Errors[0].Position()
		return wrongFile(name, line, "%s is not a key that belongs here: FORMAT.md lists them", strings.Join(strict.Errors[0].Key(), "."))
	case errors.As(err, &wrong):
		line, _ := wrong.Position()
		return wrongFile(name, line, "is not written as TOML has it (%s)", strings.TrimPrefix(wrong.Error(), "toml: "))
	}
	return err
}

func wrongFile(name string, line int, format string, a ...any) error {
	return &scenario.Problem{File: name, Line: line, What: fmt.Sprintf(format, a...)}
}

// Read reads a file of tasks.
func Read(name string, data []byte) (Set, error) {
	var f taskFile
	if err := decode(name, data, &f); err != nil {
		return nil, err
	}
	if f.Format != "tautline tasks 1" {
		return nil, wrongFile(name, 0, `begins with format = "tautline tasks 1"; this one says %q`, f.Format)
	}
	var s Set
	for i, e := range f.Task {
		t, err := e.task()
		if err != nil {
			return nil, wrongFile(name, 0, "task %d, %q: %v", i+1, e.Name, err)
		}
		if _, twice := s.Find(t.Name); twice {
			return nil, wrongFile(name, 0, "two tasks are named %q: each needs a name of its own", t.Name)
		}
		s = append(s, t)
	}
	if len(s) == 0 {
		return nil, wrongFile(name, 0, "holds no [[task]]")
	}
	return s, nil
}

func (e *taskEntry) task() (Task, error) {
	t := Task{Name: e.Name, Kind: Kind(e.Kind), About: e.About, Text: e.Text, Hints: e.Hints, scene: e.Scene}
	var err error
	switch {
	case e.Name == "" || e.Text == "":
		return t, errors.New("name and text are needed")
	case t.Kind != Practice && t.Kind != Graded:
		return t, fmt.Errorf("kind is practice or graded, not %q", e.Kind)
	case e.Number == nil && e.Choice == nil:
		return t, errors.New("[task.number] or [task.choice] says how it is answered; one of them is needed")
	case (e.Scene != nil) != (t.Kind == Practice):
		return t, errors.New("[task.scene] belongs to practice, which is computed, and to nothing else")
	}
	if t.Given, err = given(e.Own); err != nil {
		return t, err
	}
	if e.Number != nil {
		if t.Number, err = e.Number.number(t.Kind); err != nil {
			return t, err
		}
	}
	if e.Choice != nil {
		if t.Choice, err = e.Choice.choice(t.Kind); err != nil {
			return t, err
		}
	}
	return t, t.filled()
}

// filled refuses {name} where nothing of that name is given.
func (t *Task) filled() error {
	texts := []string{t.Text}
	if t.scene != nil {
		texts = append(texts, t.scene.Mask, t.scene.Size, t.scene.Face, t.scene.Position, t.scene.Straps, t.scene.Pressure)
	}
	for _, m := range placeholder.FindAllStringSubmatch(strings.Join(texts, " "), -1) {
		if !slices.ContainsFunc(t.Given, func(g Given) bool { return g.Name == m[1] }) {
			return fmt.Errorf("{%s} is not in [task.own]", m[1])
		}
	}
	return nil
}

var placeholder = regexp.MustCompile(`\{(\w+)\}`)

// given reads what is drawn, by name, so that the order in a file is of no
// matter.
func given(from map[string]givenEntry) ([]Given, error) {
	var all []Given
	for _, name := range slices.Sorted(maps.Keys(from)) {
		e, g := from[name], Given{Name: name}
		var err error
		if len(e.Values) == 0 {
			g.Quantity, g.Values, err = steps(e.Low, e.High, e.Step)
		} else {
			g.Quantity, g.Values, err = listed(e.Values)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, g)
	}
	return all, nil
}

// listed reads values that are written out: numbers of one quantity, or words.
func listed(texts []string) (*unit.Kind, []Value, error) {
	_, name, _ := strings.Cut(texts[0], " ")
	kind, isNumber := unit.KindOf(name)
	var all []Value
	for _, text := range texts {
		v := Value{Text: text}
		if isNumber && name != "" {
			var err error
			if v, err = valueOf(kind, text); err != nil {
				return nil, nil, err
			}
		}
		all = append(all, v)
	}
	if !isNumber || name == "" {
		kind = nil
	}
	return kind, all, nil
}

func (e *numberEntry) number(k Kind) (*Number, error) {
	if len(e.Range) != 2 {
		return nil, errors.New(`range = ["0 L/min", "200 L/min"] says what is possible at all`)
	}
	_, name, _ := strings.Cut(e.Range[0], " ")
	kind, ok := unit.KindOf(name)
	if !ok {
		return nil, fmt.Errorf("%q is no number with a unit", e.Range[0])
	}
	low, err := kind.Parse(e.Range[0])
	high, err2 := kind.Parse(e.Range[1])
	if err = errors.Join(err, err2); err != nil {
		return nil, err
	}
	n := &Number{Quantity: kind, Unit: name, Low: low, High: high, wants: Cause(e.Wants)}
	if (e.Wants != "") != (k == Practice) || k == Practice && !slices.Contains(causes, n.wants) {
		return nil, fmt.Errorf("wants names the model's number of practice, and nothing in a graded task; %q does not", e.Wants)
	}
	if e.Site != "" {
		if n.site, n.sited = face.ParseSite(e.Site); !n.sited {
			return nil, fmt.Errorf("there is no site %q", e.Site)
		}
	}
	return n, nil
}

func (e *choiceEntry) choice(k Kind) (*Choice, error) {
	c := &Choice{fromRim: e.Wants == "site that opens first"}
	if c.fromRim != (k == Practice) || len(e.Option) < 2 {
		return nil, errors.New(`a choice has two options or more; of practice it has wants = "site that opens first"`)
	}
	for _, o := range e.Option {
		option := Option{Name: o.Name}
		for _, id := range o.Sites {
			s, ok := face.ParseSite(id)
			if !ok {
				return nil, fmt.Errorf("there is no site %q", id)
			}
			option.sites = append(option.sites, s)
		}
		c.Options = append(c.Options, option)
	}
	return c, nil
}
