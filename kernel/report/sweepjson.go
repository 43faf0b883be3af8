package report

import (
	"math"
	"strings"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/unit"
)

// The words that programs read.
var (
	verdictIDs = map[fit.Verdict]string{fit.Holds: "holds", fit.Opens: "opens", fit.TooTight: "too tight",
		fit.EmptyByShape: "no window by shape", fit.EmptyByLine: "no window by line"}
	warningIDs = map[fit.Warning]string{fit.Crushed: "crushed", fit.StrapSlack: "strap slack",
		fit.VentExtrapolated: "vent extrapolated", fit.SourceLimit: "source limit", fit.BelowWashout: "below washout"}
	optionIDs = map[fit.OptionKind]string{fit.LookAtVent: "look at vent", fit.Clean: "clean", fit.Reseat: "re-seat",
		fit.SupportHose: "support hose", fit.CloseLips: "close lips", fit.EvenStraps: "share straps",
		fit.StepStraps: "step straps", fit.NewCushion: "new cushion", fit.OtherSize: "other size", fit.OtherType: "other type"}
)

// SweepJSON gives the answer that programs read.
func SweepJSON(name, about string, a fit.Answer) SweepResult {
	r := SweepResult{Format: "tautline sweep result", Version: 1, Name: name, About: about,
		Asked: asked(a.Question), Verdict: verdictIDs[a.Verdict], Doubt: []string{},
		Now: pointItem(a.Now), Top: pointItem(a.Top),
		Split: SplitItem{num(a.Split.Total.Mm()), num(a.Split.Straps.Mm()), num(a.Split.Shape.Mm()), a.Split.Worst.ID()},
		Rows:  []RowItem{}, Tipped: []SettingItems{}, Windows: []WindowItem{}, Options: []OptionItem{},
		Window:    windowItem(a, a.Window),
		Sentences: append([]string{CaseSentence(a.Question), VerdictSentence(a)}, Why(a)...),
		Try:       Options(a), Cautions: cautionLines()}
	for _, v := range a.Doubt {
		r.Doubt = append(r.Doubt, verdictIDs[v])
	}
	for _, row := range a.Rows {
		r.Rows = append(r.Rows, RowItem{settingItems(a, row.Settings), pointNumbers(row.Point)})
	}
	for _, at := range a.Tipped {
		r.Tipped = append(r.Tipped, settingItems(a, at))
	}
	for _, w := range a.Windows {
		r.Windows = append(r.Windows, windowItem(a, w))
	}
	for _, o := range a.Options {
		r.Options = append(r.Options, optionItem(a, o))
	}
	return r
}

func cautionLines() []string {
	lines := []string{ShortCaution}
	for _, g := range Cautions() {
		for _, p := range g.Points {
			lines = append(lines, strings.TrimSuffix(g.Heading, ":")+": "+p)
		}
	}
	return append(lines, Limits, Disclaimer)
}

func asked(q fit.Question) AskedItem {
	c := q.Case
	item := AskedItem{Type: string(c.Mask.Type), Size: c.Mask.Size, Face: c.Face.Name, Position: c.Position.Name,
		Strap: num(c.Total().N()), Balance: balance(q, c.Straps.Upper), Cushion: num(c.Cushion.Days.Days()),
		Pressure: num(q.Pressure.CmH2O()), Range: [2]*float64{num(q.Range[0].CmH2O()), num(q.Range[1].CmH2O())},
		Limit:   num(q.Limit.LPerMin()),
		Line:    LineItem{Name: q.Line.Name, Source: q.Line.Source, Level: num(q.Line.Level(q.Worn).MmHg())},
		Between: [2]*float64{num(q.Between[0].N()), num(q.Between[1].N())}, Swept: []string{}}
	if q.Guess[1] > q.Guess[0] {
		item.Guess = []*float64{num(q.Guess[0].N()), num(q.Guess[1].N())}
	}
	if q.Line.TakesTime() {
		item.Line.Worn = num(q.Worn.Hours())
	}
	for _, x := range q.Axes {
		item.Swept = append(item.Swept, string(x.Variable))
	}
	return item
}

// balance is the upper pair's share, where there is an upper and a lower pair.
func balance(q fit.Question, share unit.Fraction) *float64 {
	if len(q.Case.Mask.Straps) <= 2 {
		return nil
	}
	return num(float64(share))
}

func settingItems(a fit.Answer, s fit.Settings) SettingItems {
	return SettingItems{Pressure: num(s.Pressure.CmH2O()), Strap: num(s.Straps.N()), Balance: balance(a.Question, s.Balance),
		Size: s.Size, Cushion: num(s.Cushion.Days()), Position: s.Position}
}

func pointItem(p fit.Point) PointItem {
	return PointItem{num(p.Set.CmH2O()), num(p.StrapSet.N()), pointNumbers(p)}
}

func pointNumbers(p fit.Point) PointNumbers {
	n := PointNumbers{Mask: num(p.Mask.CmH2O()), StrapAtPressure: num(p.StrapAtPressure.N()), Push: num(p.Push.N()),
		Vent: num(p.Vent.LPerMin()), Leak: num(p.Leak.LPerMin()),
		LiftOff: when(p.HasLiftOff, p.LiftOff.CmH2O()), Onset: when(p.HasOnset, p.Onset.CmH2O()),
		OpensFirst: p.OpensFirst.ID(), Sites: []SiteItem{}, Warnings: []string{}}
	for _, s := range p.Sites {
		n.Sites = append(n.Sites, SiteItem{Site: s.Site.ID(), Contact: num(s.Contact.MmHg()), ContactMean: num(s.ContactMean.MmHg()),
			Margin: num(s.Margin.CmH2O()), Gap: num(s.Gap.Um()), Leak: num(s.Leak.LPerMin()), Crushed: s.Crushed})
	}
	for _, w := range p.Warnings {
		n.Warnings = append(n.Warnings, warningIDs[w])
	}
	return n
}

func windowItem(a fit.Answer, w fit.Window) WindowItem {
	return WindowItem{Balance: balance(a.Question, w.Holds.Balance), Size: w.Holds.Size, Cushion: num(w.Holds.Cushion.Days()),
		Position: w.Holds.Position, Exists: w.Exists, Low: when(w.Exists, w.Low.N()), High: when(w.Exists, w.High.N()),
		OpenBelow: w.OpenBelow, OpenAbove: w.OpenAbove,
		SealsFrom: when(w.Seals, w.SealsFrom.N()), LineUntil: when(w.UnderLine, w.LineUntil.N()),
		LeastLeak: num(w.LeastLeak.LPerMin()), LeakSite: siteWhen(w.LeastLeak > 0, w.LeakSite),
		TopSite: siteWhen(w.Seals, w.TopSite), TopAtSeal: when(w.Seals, w.TopAtSeal.MmHg())}
}

func optionItem(a fit.Answer, o fit.Option) OptionItem {
	item := OptionItem{Kind: optionIDs[o.Kind], Predicted: o.Predicted}
	if !o.Predicted {
		return item
	}
	s := settingItems(a, o.Settings)
	item.Settings, item.Leak, item.Contact = &s, num(o.Leak.LPerMin()), num(o.Contact.MmHg())
	item.Site = siteWhen(true, o.Site)
	if o.Type != "" {
		kind, w := string(o.Type), windowItem(a, o.Window)
		item.Type, item.Window = &kind, &w
	}
	return item
}

// num is a number as JSON can hold it.
func num(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return finite(digits(x))
}

func when(exists bool, x float64) *float64 {
	if !exists {
		return nil
	}
	return num(x)
}

func siteWhen(exists bool, s face.Site) *string {
	if !exists {
		return nil
	}
	id := s.ID()
	return &id
}
