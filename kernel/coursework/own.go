package coursework

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"regexp"
	"strings"

	"tautline/model/unit"
)

// seedVersion stands before the codes in what is hashed. It changes only when
// students are meant to get other numbers.
const seedVersion = "tautline coursework 1"

// A Given is one number, or word, of a question that every student has anew.
type Given struct {
	Name     string
	Quantity *unit.Kind // nil: a word
	Values   []Value    // what may be drawn
}

// A Value is one value as it is printed. Half is half a unit of its last printed
// digit, in SI: how much of the number the student cannot know.
type Value struct {
	Text string
	SI   float64
	Half float64
}

// An Own is a given as one student has it.
type Own struct {
	Name     string
	Quantity *unit.Kind
	Value
}

// Codes names a student without naming a person.
type Codes struct{ Class, Student string }

var (
	codeShape = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,31}$`)
	hasDigit  = regexp.MustCompile(`[0-9]`)
)

// NewCodes takes a class code and a student code. Letters count alike, small or
// capital. A digit is asked for so that nobody types a name by habit.
func NewCodes(class, student string) (Codes, error) {
	c := Codes{strings.ToLower(strings.TrimSpace(class)), strings.ToLower(strings.TrimSpace(student))}
	for _, part := range [][3]string{{"class", c.Class, "class-7"}, {"student", c.Student, "k42"}} {
		if !codeShape.MatchString(part[1]) || !hasDigit.MatchString(part[1]) {
			return Codes{}, fmt.Errorf("a %s code has up to 32 letters, digits and hyphens, and a digit among them, such as %q; a name of a person does not belong here",
				part[0], part[2])
		}
	}
	return c, nil
}

// Own draws what a student is given in a task: each value by itself, from the
// codes, the task's name and its own.
//
//	index = first 8 bytes, as a big-endian whole number, of SHA-256("tautline coursework 1\nCLASS\nSTUDENT\nTASK\nNAME"), modulo the number of values
//
// A hash and whole numbers are the same on every machine and in every version
// of Go; and a task that is added moves no other task's numbers.
func (t *Task) Own(c Codes) []Own {
	var all []Own
	for _, g := range t.Given {
		sum := sha256.Sum256([]byte(strings.Join([]string{seedVersion, c.Class, c.Student, t.Name, g.Name}, "\n")))
		i := binary.BigEndian.Uint64(sum[:8]) % uint64(len(g.Values))
		all = append(all, Own{g.Name, g.Quantity, g.Values[i]})
	}
	return all
}

// Question is the text with a student's own numbers in it.
func (t *Task) Question(own []Own) string {
	text := t.Text
	for _, o := range own {
		shown := o.Text
		if o.Quantity == nil {
			shown = `"` + shown + `"`
		}
		text = strings.ReplaceAll(text, "{"+o.Name+"}", shown)
	}
	return text
}

// steps lists the values from low to high. It counts in whole units of the last
// printed digit, so that no machine rounds otherwise.
func steps(low, high, step string) (*unit.Kind, []Value, error) {
	_, name, _ := strings.Cut(low, " ")
	kind, ok := unit.KindOf(name)
	if !ok {
		return nil, nil, fmt.Errorf("%q is no number with a unit: write 3.00 N", low)
	}
	digits := decimals(low)
	var at [3]int64
	for i, text := range []string{low, high, step} {
		if decimals(text) != digits || !strings.HasSuffix(text, " "+name) {
			return nil, nil, fmt.Errorf("%q and %q differ in unit or in digits after the point: write both alike", low, text)
		}
		var x float64
		if _, err := fmt.Sscanf(text, "%g", &x); err != nil {
			return nil, nil, fmt.Errorf("%q is no number with a unit: write 3.00 N", text)
		}
		at[i] = int64(math.Round(x * math.Pow10(digits)))
	}
	if at[2] <= 0 || at[1] < at[0] || (at[1]-at[0])/at[2] >= mostValues {
		return nil, nil, fmt.Errorf("from %s to %s in steps of %s is not a list of one to %d values", low, high, step, mostValues)
	}
	var all []Value
	for n := at[0]; n <= at[1]; n += at[2] {
		v, err := valueOf(kind, fmt.Sprintf("%.*f %s", digits, float64(n)/math.Pow10(digits), name))
		if err != nil {
			return nil, nil, err
		}
		all = append(all, v)
	}
	return kind, all, nil
}

// mostValues bounds a list; assumed to be more than any task can use.
const mostValues = 1000

func valueOf(kind *unit.Kind, text string) (Value, error) {
	si, err := kind.Parse(text)
	if err != nil {
		return Value{}, err
	}
	_, name, _ := strings.Cut(text, " ")
	one, _ := kind.Factor(name)
	return Value{Text: text, SI: si, Half: one * math.Pow10(-decimals(text)) / 2}, nil
}

// decimals counts the digits after the point.
func decimals(text string) int {
	number, _, _ := strings.Cut(text, " ")
	_, after, _ := strings.Cut(number, ".")
	return len(after)
}
