package words

import (
	"encoding/json"
	"slices"
	"testing"
	"time"
)

// The time from a control's message to the new picture, as the kernel sees it:
// what a hand on a slider waits for. The median is what counts:
//
//	go test -run xxx -bench Live -benchtime 200x ./kernel/words
func benchmarkLive(b *testing.B, body string) {
	s := newStand(b)
	s.run(`mask, face := Mask("nasal", "medium"), Face("narrow bridge")`,
		`Live(Slider("straps", 2*N, 8*N).Start(3*N), func(f Force) any { return PutOn(mask, face, Straps(f), Position("on the back")).`+body+` })`)
	slider := s.model("FloatSliderModel", 0)
	var took []time.Duration
	for i := range b.N {
		data, _ := json.Marshal(moved("value", 2+0.05*float64(i*37%120)))
		s.sent, s.shown = nil, nil
		begin := time.Now()
		s.heard[slider](Message{ID: slider, Kind: "msg", Data: data})
		took = append(took, time.Since(begin))
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
	b.ReportMetric(float64(len(s.shown[0].data["text/html"].(string)))/1024, "kB")
}

func BenchmarkLiveFit(b *testing.B)       { benchmarkLive(b, "At(12*CmH2O)") }
func BenchmarkLiveBreath(b *testing.B)    { benchmarkLive(b, "Breath(12*CmH2O)") }
func BenchmarkLivePressures(b *testing.B) { benchmarkLive(b, "AcrossPressures(4*CmH2O, 20*CmH2O)") }
func BenchmarkLiveStraps(b *testing.B)    { benchmarkLive(b, "AcrossStraps(2*N, 8*N, 12*CmH2O)") }
func BenchmarkLiveWindow(b *testing.B) {
	benchmarkLive(b, "AcrossStraps(2*N, 8*N, 12*CmH2O, Limit(24*LPerMin), Line(70*MmHg))")
}

// BenchmarkLiveNight redraws ten nights.
func BenchmarkLiveNight(b *testing.B) {
	benchmarkLive(b, `Night(12*CmH2O, Limit(24*LPerMin), Line(70*MmHg), Statistic("median"), Nights(10))`)
}
