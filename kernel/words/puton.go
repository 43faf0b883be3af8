package words

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"tautline/kernel/engine"
	"tautline/kernel/report"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A word that cannot do what it is asked panics with an error; the engine
// turns that into the sentence under the cell's line.

// check panics with an error, if there is one.
func check(err error) {
	if err != nil {
		panic(err)
	}
}

// unknown makes the error for a name that is not in a catalogue.
func unknown(what, name string, known []string) error {
	list := strings.Join(known, ", ")
	near := engine.Nearest(name, known)
	if near == "" {
		near = elsewhere[strings.ToLower(name)]
	}
	for _, have := range known {
		if near == "" && len(name) > 2 && strings.Contains(strings.ToLower(have), strings.ToLower(name)) {
			near = have
		}
	}
	if near != "" && slices.Contains(known, near) {
		return fmt.Errorf("there is no %s %q; did you mean %q? There is %s", what, name, near, list)
	}
	return fmt.Errorf("there is no %s %q; there is %s", what, name, list)
}

// A Mask is a mask of the catalogue, one type in one size.
type Mask struct{ mask.Mask }

// findMask finds a mask of the catalogue by its type and size. The masks of
// the catalogue are invented.
//
// Example: Mask("nasal", "medium")
func findMask(kind, size string) Mask {
	var kinds []string
	for _, t := range mask.Types() {
		kinds = append(kinds, string(t))
	}
	m, err := mask.Find(mask.Type(kind), size)
	if e := (*mask.UnknownError)(nil); errors.As(err, &e) {
		if e.What == "size" {
			panic(unknown("size", size, mask.Sizes()))
		}
		panic(unknown("mask type", kind, kinds))
	}
	check(err)
	return Mask{m}
}

// masks lists the types and sizes of the catalogue of masks.
//
// Example: Masks()
func masks() string {
	var all []string
	for _, t := range mask.Types() {
		all = append(all, fmt.Sprintf("%s: %s", t, strings.Join(mask.Sizes(), ", ")))
	}
	return strings.Join(all, "\n")
}

// String names the mask.
func (m Mask) String() string { return m.Name }

// A Face is a face of the catalogue.
type Face struct{ face.Face }

// findFace finds a face of the catalogue by its name. The faces of the
// catalogue are invented.
//
// Example: Face("narrow bridge")
func findFace(name string) Face {
	f, ok := face.Find(name)
	if !ok {
		var known []string
		for _, f := range face.Catalogue() {
			known = append(known, f.Name)
		}
		panic(unknown("face", name, known))
	}
	return Face{f}
}

// faces lists the catalogue of faces, each with what is special about it.
//
// Example: Faces()
func faces() string {
	var all []string
	for _, f := range face.Catalogue() {
		all = append(all, f.Name+": "+f.About)
	}
	return strings.Join(all, "\n")
}

// String describes the face.
func (f Face) String() string { return f.Name + " (invented): " + f.About }

// A Setting is one thing that is set when a mask is put on.
type Setting struct {
	name string
	set  func(*fit.Case)
}

// String names the setting.
func (s Setting) String() string { return s.name }

// straps sets the sum of the strap pulls, on the face, at zero pressure.
//
// Equation: the pull on the face is the sum over all straps, each of which is stretched by the pressure once it comes
// Unit: newtons (N) or grams on a hanging scale (Grams)
// Example: Straps(3*N)
func straps(pull unit.Force) Setting {
	return Setting{"straps " + report.Pull(pull), func(c *fit.Case) { c.Straps.Pull = pull }}
}

// upperShare sets how much of the pull the upper pair carries.
//
// Unit: a share, such as 0.6 or 60*Percent
// Example: UpperShare(60*Percent)
func upperShare(share unit.Fraction) Setting {
	return Setting{"upper pair " + share.String(), func(c *fit.Case) { c.Straps.Upper = share }}
}

// position sets how the person lies or sits.
//
// Example: Position("on the back")
func position(name string) Setting {
	p, ok := fit.FindPosition(name)
	if !ok {
		var known []string
		for _, p := range fit.Positions() {
			known = append(known, p.Name)
		}
		panic(unknown("position", name, known))
	}
	return Setting{name, func(c *fit.Case) { c.Position = p }}
}

// cushionAge sets how long the cushion has been in use.
//
// Unit: a time, such as 90*Day
// Example: CushionAge(90*Day)
func cushionAge(days unit.Time) Setting {
	check(mask.WearLimit.Check(float64(days)))
	return Setting{"cushion in use " + days.String(), func(c *fit.Case) { c.Cushion.Days = days }}
}

// A Fitting is a mask on a face with its straps set, before any pressure.
type Fitting struct {
	on *fit.Fitting
	at *place
}

var errNoStraps = errors.New("PutOn wants the strap force too, such as Straps(3*N): there is no usual one")

// putOn puts a mask on a face with its straps set, before any pressure. The
// strap force must be given: there is no usual one.
//
// Example: PutOn(Mask("nasal", "medium"), Face("narrow bridge"), Straps(3*N))
func putOn(m Mask, f Face, settings ...Setting) Fitting {
	c := fit.NewCase(m.Mask, f.Face, 0, fit.Position{})
	for _, s := range settings {
		if s.set != nil {
			s.set(&c)
		}
	}
	if c.Straps.Pull == 0 {
		panic(errNoStraps)
	}
	on, err := fit.PutOn(c)
	check(err)
	return Fitting{on: on}
}

// With puts the same mask on the same face again, with something set
// otherwise.
//
// Example: fit.With(Straps(5*N))
func (f Fitting) With(settings ...Setting) Fitting {
	c := f.model().Case
	for _, s := range settings {
		if s.set != nil {
			s.set(&c)
		}
	}
	on, err := fit.PutOn(c)
	check(err)
	return Fitting{on, f.at}
}

// model gives what the model put on.
func (f Fitting) model() *fit.Fitting {
	if f.on == nil {
		panic(errors.New("this fitting is empty; make one with PutOn(mask, face, Straps(3*N))"))
	}
	return f.on
}

// name says in a few words what is on what.
func (f Fitting) name() string {
	return strings.TrimSuffix(report.CaseName(fit.Question{Case: f.model().Case}), ", ")
}

// noPosition reminds of what changes a seal and has no usual value.
const noPosition = " No position was given, such as Position(\"on the back\"); a seal that holds in one may open in another."

// String says what is on what, how, and what of the mismatch straps can cure.
func (f Fitting) String() string {
	split, err := f.model().Split()
	check(err)
	p, err := f.on.At(compared[0])
	check(err)
	s := fmt.Sprintf("%s (all invented). Straps %s in all, set on the face at zero pressure. %s",
		f.name(), report.Pull(f.on.Case.Total()), report.SplitSentence(split, p))
	if f.on.Case.Position.Name == "" {
		s += noPosition
	}
	return s
}

// Mimebundle shows the fitting as a paragraph.
func (f Fitting) Mimebundle() map[string]any { return sheet{sentences: []string{f.String()}}.bundle() }

// cautions gives the whole list of what to look at first and when to stop.
func cautions() Notice { return Notice{} }

// A Notice is the list of cautions.
type Notice struct{}

// String is the list as text.
func (Notice) String() string { return report.CautionsText(report.Ink{}) }
