package words

import (
	"strings"
	"testing"

	"tautline/model/circuit"
	"tautline/model/unit"
)

// A slim hose, a long one and a machine at its limit each cost pressure at the
// mask; the usual hose, said aloud, changes nothing.
func TestHoseAndMachineCostPressure(t *testing.T) {
	slack := putOn(findMask("nasal", "medium"), findFace("narrow bridge"), straps(2*unit.N), position("on the back"))
	usual := slack.At(16 * unit.CmH2O).Mask
	h := circuit.Default().Hose
	same := slack.With(hoseWidth(h.Diameter), hoseLength(h.Length), sourceLimit(circuit.Default().MaxFlow))
	if got := same.At(16 * unit.CmH2O).Mask; got != usual {
		t.Errorf("the usual hose gives %v, left out it gives %v", got, usual)
	}
	for _, s := range []Setting{hoseWidth(15 * unit.Mm), hoseLength(400 * unit.Cm), sourceLimit(70 * unit.LPerMin)} {
		if got := slack.With(s).At(16 * unit.CmH2O).Mask; got > usual-0.5*unit.CmH2O {
			t.Errorf("with %s %v arrive, without %v", s, got, usual)
		}
	}
}

func TestNoBedsideHasSuchAHose(t *testing.T) {
	defer func() {
		if err, ok := recover().(error); !ok || !strings.Contains(err.Error(), "hose diameter is 2 mm") {
			t.Errorf("a hose of 2 mm: %v", err)
		}
	}()
	hoseWidth(2 * unit.Mm)
}
