package coursework

import (
	"fmt"
	"math"
	"slices"

	"tautline/model/airway"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A Cause is what a number of the model is the number of.
type Cause string

// The causes: what practice can ask for, and what is likely taken for it.
const (
	VentFlow    Cause = "vent flow"
	Leak        Cause = "leak"
	SiteLeak    Cause = "leak at one site"
	TotalFlow   Cause = "total flow"
	MouthLeak   Cause = "mouth leak"
	MouthAndRim Cause = "mouth and seal leak"
	StrapsSet   Cause = "strap pull as set"
	StrapsNow   Cause = "strap pull at pressure"
	PerStrap    Cause = "pull of one strap"
	Push        Cause = "push on the face"
	SetPressure Cause = "set pressure"
	MaskPress   Cause = "mask pressure"
	Contact     Cause = "contact"
	MeanContact Cause = "mean contact"
	Margin      Cause = "net margin"
)

var causes = []Cause{VentFlow, Leak, SiteLeak, TotalFlow, MouthLeak, MouthAndRim, StrapsSet, StrapsNow, PerStrap, Push,
	SetPressure, MaskPress, Contact, MeanContact, Margin}

// A fact is one number of the model in a scene.
type fact struct {
	cause    Cause
	quantity *unit.Kind
	si       float64
	site     face.Site
	sited    bool
}

// A scene is what practice is computed from; each entry is a value or {name} of
// what the student is given.
type scene struct {
	Mask     string `toml:"mask"`
	Size     string `toml:"size"`
	Face     string `toml:"face"`
	Position string `toml:"position"`
	Straps   string `toml:"straps"`
	Pressure string `toml:"pressure"`
	Mouth    string `toml:"mouth"`
}

// fill puts a given in the place of {name}.
func fill(text string, own []Own) Own {
	for _, o := range own {
		if text == "{"+o.Name+"}" {
			return o
		}
	}
	return Own{Value: Value{Text: text}}
}

// si reads a number that is written or given. A given one counts by its value,
// which may have been moved to see what its rounding does.
func si(text string, own []Own, kind *unit.Kind) (float64, error) {
	o := fill(text, own)
	if o.Quantity != nil {
		return o.SI, nil
	}
	return kind.Parse(o.Text)
}

// A stage is a scene put on.
type stage struct {
	on       *fit.Fitting
	pressure unit.Pressure
	mouth    bool
}

func (s *scene) put(own []Own) (*stage, error) {
	m, err := mask.Find(mask.Type(fill(s.Mask, own).Text), fill(s.Size, own).Text)
	if err != nil {
		return nil, err
	}
	f, okFace := face.Find(fill(s.Face, own).Text)
	p, okPosition := fit.FindPosition(fill(s.Position, own).Text)
	if !okFace || !okPosition {
		return nil, fmt.Errorf("no face or position of a task's scene: %s, %s", s.Face, s.Position)
	}
	pull, err := si(s.Straps, own, unit.ForceKind)
	if err != nil {
		return nil, err
	}
	pressure, err := si(s.Pressure, own, unit.PressureKind)
	if err != nil {
		return nil, err
	}
	on, err := fit.PutOn(fit.NewCase(m, f, unit.Force(pull), p))
	return &stage{on, unit.Pressure(pressure), s.Mouth == "open"}, err
}

// facts lists the numbers that stand in a scene's tables.
func (s *stage) facts() ([]fact, error) {
	p, err := s.on.Balanced(s.pressure, nil)
	if err != nil {
		return nil, err
	}
	flow, force, pressure := unit.FlowKind, unit.ForceKind, unit.PressureKind
	straps := float64(len(s.on.Problem().Straps))
	all := []fact{
		{cause: VentFlow, quantity: flow, si: float64(p.Vent)},
		{cause: Leak, quantity: flow, si: float64(p.Leak)},
		{cause: TotalFlow, quantity: flow, si: float64(p.Vent + p.Leak)},
		{cause: StrapsSet, quantity: force, si: float64(p.StrapSet)},
		{cause: StrapsNow, quantity: force, si: float64(p.StrapAtPressure)},
		{cause: PerStrap, quantity: force, si: float64(p.StrapAtPressure) / straps},
		{cause: Push, quantity: force, si: float64(p.Push)},
		{cause: SetPressure, quantity: pressure, si: float64(p.Set)},
		{cause: MaskPress, quantity: pressure, si: float64(p.Mask)},
	}
	for _, q := range p.Sites {
		all = append(all, fact{Contact, pressure, float64(q.Contact), q.Site, true}, fact{MeanContact, pressure, float64(q.ContactMean), q.Site, true},
			fact{Margin, pressure, float64(q.Margin), q.Site, true}, fact{SiteLeak, flow, float64(q.Leak), q.Site, true})
	}
	if s.mouth {
		return s.breathe()
	}
	return all, nil
}

// breathe lists the flows of whole breaths with the mouth open.
func (s *stage) breathe() ([]fact, error) {
	set := airway.NewSetup(airway.Constant(s.pressure))
	set.Mouth = set.Mouth.Behind(s.on.Case.Mask.Type)
	set.Mouth.Open = true
	r, err := airway.Run(s.on, set)
	var all []fact
	for c, q := range map[Cause]unit.Flow{MouthLeak: r.Mouth, Leak: r.Leak, MouthAndRim: r.Unintentional, VentFlow: r.Vent, TotalFlow: r.Total} {
		all = append(all, fact{cause: c, quantity: unit.FlowKind, si: float64(q)})
	}
	slices.SortFunc(all, func(a, b fact) int { return slices.Index(causes, a.cause) - slices.Index(causes, b.cause) })
	return all, err
}

// is tells whether a fact is what a number wants.
func (n *Number) is(f fact) bool { return f.cause == n.wants && (!n.sited || f.site == n.site) }

// expected computes what a practice task wants, with all that stands beside it.
func (t *Task) expected(own []Own) (float64, []fact, error) {
	s, err := t.scene.put(own)
	if err != nil {
		return 0, nil, err
	}
	all, err := s.facts()
	if err != nil {
		return 0, nil, err
	}
	i := slices.IndexFunc(all, t.Number.is)
	if i < 0 {
		return 0, nil, fmt.Errorf("the scene of %q has no %s", t.Name, t.Number.wants)
	}
	return all[i].si, all, nil
}

// asPrinted is half a unit of a number's second digit: how far it may be off
// when it is read from a table, which print two.
func asPrinted(x float64) float64 {
	if x == 0 {
		return 0
	}
	return math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-1) / 2
}

// Tolerance gives how far an answer may be off: from how far the right value
// moves when the given numbers move by what their printing leaves open, and from
// how it is printed itself.
//
//	tolerance = sum over givens of |f(x+half) - f(x-half)|/2 + half a unit of the second digit of f(x) / unit
//
// inputs: f, the value at a student's own numbers [SI]; half, half a unit of the
// last printed digit of a given [SI]; unit, the one that is answered in [SI];
// result: [SI]. Valid where f is nearly straight within the rounding. Source:
// propagation of rounding, taken as the worst case. Example: 2.80 N leaves 0.005
// N open, which moves a leak of 15 L/min by 0.1 L/min, and 15 may stand for 14.5
// to 15.5: together 0.6 L/min.
func Tolerance(own []Own, unit float64, f func([]Own) (float64, error)) (at, tolerance float64, err error) {
	if at, err = f(own); err != nil {
		return 0, 0, err
	}
	for i, o := range own {
		if o.Quantity == nil {
			continue
		}
		var ends [2]float64
		for j, by := range []float64{-o.Half, o.Half} {
			moved := slices.Clone(own)
			moved[i].SI += by
			if ends[j], err = f(moved); err != nil {
				return 0, 0, err
			}
		}
		tolerance += math.Abs(ends[1]-ends[0]) / 2
	}
	return at, tolerance + asPrinted(at/unit)*unit, nil
}
