package night

import (
	"context"
	"testing"

	"tautline/model/mask"
	"tautline/model/unit"
)

func benchmarkNights(b *testing.B, nights int) {
	q := question(b, mask.Oronasal, 4)
	q.Nights = nights
	for b.Loop() {
		if _, err := Ask(context.Background(), q); err != nil {
			b.Fatal(err)
		}
	}
}

// Two hundred nights, and as many as a slider can redraw.
func BenchmarkNights200(b *testing.B) { benchmarkNights(b, 200) }
func BenchmarkNights10(b *testing.B)  { benchmarkNights(b, 10) }

// BenchmarkCare is nine habits over six months.
func BenchmarkCare(b *testing.B) {
	q := question(b, mask.Oronasal, 4)
	for b.Loop() {
		if _, err := Care(context.Background(), CareQuestion{Case: q.Case, Pressure: q.Pressure, Limit: 10 * unit.LPerMin,
			Days: SixMonths, Plans: UsualPlans()}); err != nil {
			b.Fatal(err)
		}
	}
}
