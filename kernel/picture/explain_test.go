package picture

import (
	"fmt"
	"strings"
	"testing"

	"tautline/model/explain"
	"tautline/model/unit"
)

// inventedWhy has readings that follow the first cause's band.
func inventedWhy(causes int) explain.Answer {
	var a explain.Answer
	for i := range 5 {
		p := unit.Pressure(5+2.5*float64(i)) * unit.CmH2O
		a.Views = append(a.Views, explain.View{Pressure: p, Vent: 30 * unit.LPerMin, Leak: unit.Flow(i*i) * unit.LPerMin, SD: 2 * unit.LPerMin})
	}
	for c := range explain.Cause(causes) {
		r := explain.Result{Cause: c, Probability: unit.Fraction(1) / unit.Fraction(causes)}
		for _, v := range a.Views {
			r.Band = append(r.Band, explain.BandPoint{Pressure: v.Pressure, Low: v.Leak - 3*unit.LPerMin, Middle: v.Leak, High: v.Leak + unit.Flow(c+3)*unit.LPerMin})
		}
		a.Causes = append(a.Causes, r)
	}
	return a
}

// Small multiples name their causes, share one axis with its unit, and say the
// same for somebody who cannot see them.
func TestExplain(t *testing.T) {
	for causes := 1; causes <= int(explain.CauseCount); causes++ {
		p := Explain(inventedWhy(causes), Named("Invented"))
		svg := string(p.SVG())
		for _, want := range []string{"Invented: readings against causes", "pressure at the mask, cmH2O", "unintentional leak, L/min", "8 of 10 between",
			"share " + share(1/float64(causes))} {
			if !strings.Contains(svg, want) {
				t.Errorf("%d causes: the picture lacks %q", causes, want)
			}
		}
		for c := range explain.Cause(min(causes, mostCauses)) {
			if !strings.Contains(p.Alt, "Under "+causeLabels[c]) || !strings.Contains(svg, ">"+causeLabels[c]+"<") {
				t.Errorf("%d causes: %q is not drawn or not said: %s", causes, causeLabels[c], p.Alt)
			}
		}
		if want := fmt.Sprintf("%d readings", 5); !strings.Contains(p.Alt, want) {
			t.Errorf("the text alternative lacks %q: %s", want, p.Alt)
		}
	}
	limited := inventedWhy(3)
	limited.Question.Limit = 12 * unit.LPerMin
	if p := Explain(limited); !strings.Contains(string(p.SVG()), "your limit 12 L/min") || !strings.Contains(p.Alt, "Your limit: 12 L/min") {
		t.Errorf("the stated limit is not drawn and said: %s", p.Alt)
	}
	if empty := string(Explain(explain.Answer{}).SVG()); !strings.Contains(empty, "There is nothing to draw.") {
		t.Error("an empty answer does not say so")
	}
}

// A share is never none and never all.
func TestShare(t *testing.T) {
	for p, want := range map[float64]string{0: "under 1 %", 0.004: "under 1 %", 0.5: "50 %", 0.999: "over 99 %", 1: "over 99 %"} {
		if got := share(p); got != want {
			t.Errorf("%g is %s, want %s", p, got, want)
		}
	}
}
