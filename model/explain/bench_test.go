package explain

import (
	"context"
	"testing"

	"tautline/model/mask"
	"tautline/model/unit"
)

// nine readings of a leak that opens at about 9 cmH2O.
func benchQuestion(b testing.TB, kind mask.Type) Question {
	b.Helper()
	m, err := mask.Find(kind, "medium")
	if err != nil {
		b.Fatal(err)
	}
	q := Question{Mask: m, Which: Unintentional, Statistic: Mean, Chooser: PersonStepped}
	for i, leak := range []float64{1, 0, 2, 1, 3, 7, 14, 22, 33} {
		q.Readings = append(q.Readings, Reading{Pressure: unit.Pressure(5+1.25*float64(i)) * unit.CmH2O, Flow: unit.Flow(leak) * unit.LPerMin})
	}
	return q
}

// BenchmarkExplain is one question from nothing: curves drawn, nine readings
// weighed, the whole answer.
func BenchmarkExplain(b *testing.B) {
	for _, kind := range mask.Types() {
		b.Run(string(kind), func(b *testing.B) {
			q := benchQuestion(b, kind)
			for b.Loop() {
				if _, err := Explain(context.Background(), q); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkInfer is the weighing alone, with curves drawn before.
func BenchmarkInfer(b *testing.B) {
	q := benchQuestion(b, mask.Nasal)
	bank, err := Prepare(context.Background(), q.Mask, q.highest(), q.Statistic, q.Priors, 1, 0)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := bank.infer(context.Background(), &q); err != nil {
			b.Fatal(err)
		}
	}
}
