package words

import (
	"slices"

	"tautline/kernel/minute"
	"tautline/kernel/picture"
	"tautline/kernel/report"
	"tautline/kernel/scenario"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// unknownChoice is offered first in every choice of the form.
const unknownChoice = "don't know"

// bedsideForm shows a form for the first minute at a bedside, and its answer:
// one line, one picture, one next step, and a sheet to print. Nothing has to be
// known; "don't know" is always an answer.
//
// Range: pressures from 4 to 25 cmH2O, leaks from 0 to 100 L/min
// Source: what is tapped; faces and masks are invented
// Example: Bedside()
func (d *desk) bedsideForm() {
	l := &live{desk: d, controls: formControls(), shown: d.id(), form: true}
	l.f = func(values []any) any {
		a, err := minute.Ask(d.front.Context(), formOf(values))
		check(err)
		return BedsideAnswer{a}
	}
	l.start()
}

// unplacedForm is the word Bedside where there is no front.
func unplacedForm() { panic(errNoFront) }

// asks is a choice that begins with not knowing.
func asks(name string, options ...string) Control {
	return choice(name, append([]string{unknownChoice}, options...)...)
}

// highest, ownLimit and ownLine are the sliders that both forms have.
func highest(name string) Control {
	return slider(name, 4*unit.CmH2O, 25*unit.CmH2O).Start(20 * unit.CmH2O).Step(0.5 * unit.CmH2O)
}

func ownLimit() Control {
	return slider("your limit for the leak", 5*unit.LPerMin, 60*unit.LPerMin).Start(12 * unit.LPerMin).Step(1 * unit.LPerMin)
}

func ownLine() Control {
	return slider("your line for the skin", 30*unit.MmHg, 150*unit.MmHg).Start(70 * unit.MmHg).Step(5 * unit.MmHg)
}

// formControls are the taps in the order in which one asks.
func formControls() []Control {
	var faces []string
	for _, f := range face.Catalogue() {
		faces = append(faces, f.Name)
	}
	return []Control{
		asks("any sign to stop for", "no", "yes").Start("no"),
		asks("mask", maskKinds()...).Start(report.TypeWords(mask.Nasal)),
		asks("size", mask.Sizes()...).Start("medium"),
		asks("vent of its own", "yes", "no").Start("yes"),
		asks("magnets in it", "yes", "no").Start("no"),
		asks("implants, patient or bed partner", "yes", "no").Start("no"),
		asks("face", faces...).Start("narrow bridge"),
		asks("posture of sleep", positions()...).Start("on the back"),
		highest("highest pressure that is met"),
		slider("leak on the machine now", 0*unit.LPerMin, 100*unit.LPerMin).Start(18 * unit.LPerMin).Step(1 * unit.LPerMin),
		asks("that figure is", places(report.FigureWords, 2)...).Start("unintentional leak"),
		asks("oxygen added", "no", "yes").Start("no"),
		asks("straps feel", "loose", "snug", "tight").Start("snug"),
		asks("air is felt", places(report.PlaceWords, 8)...).Start("at the nose sides"),
		asks("skin", places(report.SkinWords, 4)...).Start("no mark"),
		asks("mouth open", "no", "yes"),
		ownLimit(), ownLine(),
	}
}

// places lists the words of an answer but the first, which is not knowing.
func places[T ~int](words func(T) string, n int) []string {
	var all []string
	for i := 1; i <= n; i++ {
		all = append(all, words(T(i)))
	}
	return all
}

// formOf reads the taps back, in the order of formControls.
func formOf(values []any) minute.Form {
	text := func(i int) string {
		if s, ok := values[i].(string); ok && s != unknownChoice {
			return s
		}
		return ""
	}
	answer := func(i int) scenario.Answer {
		return map[string]scenario.Answer{"yes": scenario.Yes, "no": scenario.No}[text(i)]
	}
	f := minute.Form{Danger: answer(0), Size: text(2), Vented: answer(3), Magnets: answer(4), Implants: answer(5),
		Face: text(6), Position: text(7), Highest: values[8].(unit.Pressure), Leak: values[9].(unit.Flow),
		LeakIs: minute.Figure(index(report.FigureWords, 2, text(10))), Oxygen: answer(11), Straps: text(12),
		Air: minute.Place(index(report.PlaceWords, 8, text(13))), Skin: minute.Skin(index(report.SkinWords, 4, text(14))),
		Mouth: answer(15), Limit: values[16].(unit.Flow), Line: values[17].(unit.Pressure)}
	f.Type = kindOf(text(1))
	return f
}

func index[T ~int](words func(T) string, n int, said string) int {
	return 1 + slices.Index(places(words, n), said)
}

// A BedsideAnswer is the answer of the first minute: one line, one picture, one
// next step.
type BedsideAnswer struct{ minute.Answer }

// String is the answer as text.
func (a BedsideAnswer) String() string { return a.sheet().text() }

// Mimebundle shows the line, the picture, the step and what was tapped.
func (a BedsideAnswer) Mimebundle() map[string]any { return a.sheet().bundle() }

func (a BedsideAnswer) sheet() sheet {
	b := a.Answer
	s := sheet{caution: true, sentences: []string{report.BedsideLine(b), "Next: " + report.BedsideStep(b)}}
	s.sentences = append(s.sentences, report.BedsideWhy(b)...)
	s.after = append(report.BedsideNotes(b), report.BedsideAfterwards(b))
	if b.HasFit {
		q := b.Fit.Question
		s.pictures = []*picture.Picture{picture.TradeOff(b.Fit.Rows, b.Fit.Windows, q.Limit,
			picture.Line{Name: report.LineName(q), Pressure: q.Line.Level(q.Worn)}, picture.Named(report.CaseName(q)))}
	}
	if later := report.BedsideLater(b); len(later) > 0 {
		s.lists = []list{{"If that does not help, in this order", later}}
	}
	if b.Form.Highest > 0 {
		s.tables = []table{{caption: tappedCaption, rows: report.BedsideRows(b.Form)}}
	}
	s.after = append(s.after, report.Limits+" "+report.Disclaimer)
	return s
}
