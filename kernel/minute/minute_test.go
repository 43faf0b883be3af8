package minute_test

import (
	"context"
	"testing"

	"pgregory.net/rapid"

	"tautline/kernel/minute"
	"tautline/kernel/scenario"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// usual is a form with everything tapped.
func usual() minute.Form {
	return minute.Form{Danger: scenario.No, Type: mask.Nasal, Size: "medium", Face: "narrow bridge", Vented: scenario.Yes,
		Magnets: scenario.No, Implants: scenario.No, Position: "on the back", Highest: 20 * unit.CmH2O,
		Leak: 18 * unit.LPerMin, LeakIs: minute.Unintentional, Straps: "snug", Air: minute.AtNoseSide, Skin: minute.NoMark,
		Mouth: scenario.No, Limit: 12 * unit.LPerMin, Line: 70 * unit.MmHg}
}

func ask(t testing.TB, change func(*minute.Form)) minute.Answer {
	t.Helper()
	f := usual()
	change(&f)
	a, err := minute.Ask(context.Background(), f)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// What must not wait is answered first, whatever else was tapped.
func TestTheOrderOfUrgency(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*minute.Form)
		want   minute.Kind
	}{
		{"as it is", func(*minute.Form) {}, minute.Reseat},
		{"danger over skin", func(f *minute.Form) { f.Danger, f.Skin = scenario.Yes, minute.Broken }, minute.Stop},
		{"broken skin", func(f *minute.Form) { f.Skin = minute.Broken }, minute.LoadOff},
		{"a mark after 30 minutes", func(f *minute.Form) { f.Skin = minute.Stays }, minute.LoadOff},
		{"no vent", func(f *minute.Form) { f.Vented = scenario.No }, minute.NotVented},
		{"less than the vent", func(f *minute.Form) { f.LeakIs = minute.Total }, minute.BelowVent},
		{"magnets near an implant", func(f *minute.Form) { f.Magnets, f.Implants = scenario.Yes, scenario.Yes }, minute.Magnetic},
		{"magnets not known", func(f *minute.Form) { f.Magnets, f.Implants = scenario.DontKnow, scenario.Yes }, minute.Magnetic},
		{"no type", func(f *minute.Form) { f.Type = "" }, minute.NoMask},
		{"no type, skin", func(f *minute.Form) { f.Type, f.Skin = "", minute.Broken }, minute.LoadOff},
		{"at the elbow", func(f *minute.Form) { f.Air = minute.AtAssembly }, minute.Assembly},
		{"at the mouth", func(f *minute.Form) { f.Air = minute.AtMouth }, minute.MouthFirst},
		{"tight and leaking", func(f *minute.Form) { f.Straps = "tight" }, minute.Loosen},
		{"tight, no leak", func(f *minute.Form) { f.Straps, f.Leak = "tight", 0 }, minute.LetOut},
		{"no leak", func(f *minute.Form) { f.Leak = 0 }, minute.LeaveIt},
		{"nobody knows where", func(f *minute.Form) { f.Air = minute.PlaceUnknown }, minute.LookRound},
		{"total, above the vent", func(f *minute.Form) { f.LeakIs, f.Leak = minute.Total, 90*unit.LPerMin }, minute.Reseat},
	} {
		a := ask(t, c.change)
		if a.Kind != c.want {
			t.Errorf("%s: kind %d, want %d", c.name, a.Kind, c.want)
		}
		if a.HasFit != (a.Kind >= minute.Assembly) {
			t.Errorf("%s: forces are there: %t", c.name, a.HasFit)
		}
	}
}

// The forces are those of the same case asked whole.
func TestTheForcesAreThoseOfTheCase(t *testing.T) {
	a := ask(t, func(*minute.Form) {})
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	look, _ := face.Find("narrow bridge")
	back, _ := fit.FindPosition("on the back")
	on, err := fit.PutOn(fit.NewCase(m, look, unit.Force(fit.Feels()[1].Usual.SI()), back))
	if err != nil {
		t.Fatal(err)
	}
	p, err := on.At(20 * unit.CmH2O)
	if err != nil {
		t.Fatal(err)
	}
	if a.Fit.Top.Leak != p.Leak || a.Fit.Top.Vent != p.Vent {
		t.Errorf("leak %v, vent %v; want %v, %v", a.Fit.Top.Leak, a.Fit.Top.Vent, p.Leak, p.Vent)
	}
}

// A posture that nobody knows is answered for the worst of all.
func TestAnUnknownPostureIsTheWorst(t *testing.T) {
	unknown := ask(t, func(f *minute.Form) { f.Position = "" })
	if !unknown.PositionTaken {
		t.Error("it is not said that the posture was taken")
	}
	for _, p := range fit.Positions() {
		if known := ask(t, func(f *minute.Form) { f.Position = p.Name }); known.Fit.Top.Leak > unknown.Fit.Top.Leak {
			t.Errorf("%s leaks more: %v over %v", p.Name, known.Fit.Top.Leak, unknown.Fit.Top.Leak)
		}
	}
}

// Any taps get an answer, and with broken skin there is never anything to trade.
func TestAnyTaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		known := rapid.SampledFrom([]scenario.Answer{scenario.DontKnow, scenario.Yes, scenario.No})
		f := minute.Form{Danger: known.Draw(t, "danger"), Type: rapid.SampledFrom(append(mask.Types(), "")).Draw(t, "type"),
			Size: rapid.SampledFrom(append(mask.Sizes(), "")).Draw(t, "size"), Vented: known.Draw(t, "vented"),
			Magnets: known.Draw(t, "magnets"), Implants: known.Draw(t, "implants"), Position: "on the back",
			Highest: unit.Pressure(rapid.Float64Range(392, 2450).Draw(t, "highest")),
			Leak:    unit.Flow(rapid.Float64Range(0, 1.6e-3).Draw(t, "leak")), LeakIs: minute.Figure(rapid.IntRange(0, 2).Draw(t, "is")),
			Straps: rapid.SampledFrom([]string{"", "loose", "snug", "tight"}).Draw(t, "straps"),
			Air:    minute.Place(rapid.IntRange(0, 8).Draw(t, "air")), Skin: minute.Skin(rapid.IntRange(0, 4).Draw(t, "skin")),
			Mouth: known.Draw(t, "mouth"), Limit: 24 * unit.LPerMin, Line: 70 * unit.MmHg}
		a, err := minute.Ask(context.Background(), f)
		if err != nil {
			t.Fatal(err)
		}
		if (f.Skin >= minute.Stays || f.Danger == scenario.Yes) && a.HasFit {
			t.Fatalf("forces are shown with %+v", f)
		}
	})
}

func TestFormsThatCannotBe(t *testing.T) {
	for _, change := range []func(*minute.Form){
		func(f *minute.Form) { f.Highest = 0 },
		func(f *minute.Form) { f.Highest = 600 * unit.CmH2O },
		func(f *minute.Form) { f.Leak = -1 },
		func(f *minute.Form) { f.Limit = 0 },
		func(f *minute.Form) { f.Line = 0 },
		func(f *minute.Form) { f.Size = "huge" },
	} {
		f := usual()
		change(&f)
		if _, err := minute.Ask(context.Background(), f); err == nil {
			t.Errorf("%+v is answered", f)
		}
	}
}
