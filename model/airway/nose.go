package airway

import (
	"errors"
	"math"

	"tautline/model/unit"
)

func sqrt(x float64) float64 { return math.Sqrt(x) }

// NoseFlow is the flow at which a nose's resistance is told.
const NoseFlow = 0.5 * unit.LPerSec

const richards = "G. N. Richards et al., Am J Respir Crit Care Med 1996;154:182-6"

// The records of the nose.
var (
	NoseRecord = unit.Parameter{Name: "nasal resistance", Symbol: "Rn", Unit: "cmH2O s/L",
		Value: 2.2, Low: 0.5, High: 30, Likely: [2]float64{1.2, 4}, Origin: unit.Read, Source: richards + ", before mouth leak",
		Meaning: "pressure per flow through the nose at 0.5 L/s"}
	SwollenRecord = unit.Parameter{Name: "nasal resistance after mouth leak", Symbol: "Rn10", Unit: "cmH2O s/L",
		Value: 7.5, Low: 0.5, High: 60, Likely: [2]float64{4, 12}, Origin: unit.Read, Source: richards + ", after ten minutes of mouth leak",
		Meaning: "the same after ten minutes of air leaking from the mouth"}
	CurvedRecord = unit.Parameter{Name: "curved share of nasal resistance", Symbol: "K2 Q/R", Unit: "%",
		Value: 50, Low: 0, High: 100, Likely: [2]float64{20, 80}, Origin: unit.Assumed, Source: "no published figure found",
		Meaning: "share of the resistance at 0.5 L/s that grows with the flow"}
	RiseRecord = unit.Parameter{Name: "rise time of nasal resistance", Symbol: "tau", Unit: "min",
		Value: 10.0 / 3, Low: 0.5, High: 60, Likely: [2]float64{1.5, 7}, Origin: unit.Assumed,
		Source:  "only the ends of ten minutes are published; a third of them",
		Meaning: "time constant of the rise with mouth leak and of the fall without"}
	LeakedRecord = unit.Parameter{Name: "mouth leak so far", Unit: "min",
		Value: 0, Low: 0, High: 1000, Fixed: "none unless stated", Origin: unit.Assumed, Source: "none unless stated",
		Meaning: "time for which the mouth has leaked already"}
)

var noseRecords = []unit.Parameter{NoseRecord, SwollenRecord, CurvedRecord, RiseRecord, LeakedRecord}

// A Nose is a resistance by Rohrer's law that rises while air leaks from the
// mouth. The zero value is not a nose; take RestedNose and change what differs.
type Nose struct {
	Rested  unit.Resistance // at 0.5 L/s, before any mouth leak
	Swollen unit.Resistance // at 0.5 L/s, after ten minutes of it
	Curved  unit.Fraction   // share of either that grows with the flow
	Rise    unit.Time       // time constant of rise and fall
	Risen   unit.Fraction   // where it stands: 0 rested, 1 after ten minutes of mouth leak
}

// RestedNose is an ordinary nose before any mouth leak.
func RestedNose() Nose {
	return Nose{Rested: unit.Resistance(NoseRecord.SI()), Swollen: unit.Resistance(SwollenRecord.SI()),
		Curved: unit.Fraction(CurvedRecord.SI()), Rise: unit.Time(RiseRecord.SI())}
}

// Check refuses a nose outside the range that the model holds for.
func (n Nose) Check() error {
	var risen error
	if !(n.Risen >= 0 && n.Risen <= 1.2) {
		risen = errors.New("the share by which a nose has risen lies between 0 and 120 %")
	}
	return errors.Join(NoseRecord.Check(float64(n.Rested)), SwollenRecord.Check(float64(n.Swollen)),
		CurvedRecord.Check(float64(n.Curved)), RiseRecord.Check(float64(n.Rise)), risen)
}

// Resistance gives the pressure per flow at 0.5 L/s as the nose stands now.
func (n Nose) Resistance() unit.Resistance {
	return n.Rested + (n.Swollen-n.Rested)*unit.Resistance(n.Risen)
}

// Drop gives the pressure that the nose takes at a flow; it has the flow's sign.
//
// Formula: dP = K1 Q + K2 Q|Q|, K1 + K2 0.5 L/s = Resistance, K2's share of it
// Curved. Input: flow [m3/s]; result [Pa]. Valid up to 2 L/s or so. Source:
// Rohrer, Pflugers Arch 1915;162:225-299 (from memory). Example: 0.5 L/s and a
// rested nose: 1.1 cmH2O.
func (n Nose) Drop(q unit.Flow) unit.Pressure {
	k1, k2 := n.rohrer()
	return unit.Pressure(rohrerDrop(k1, k2, float64(q)))
}

func (n Nose) rohrer() (k1, k2 float64) {
	r := float64(n.Resistance())
	return r * float64(1-n.Curved), r * float64(n.Curved) / float64(NoseFlow)
}

func rohrerDrop(k1, k2, q float64) float64 { return (k1 + k2*math.Abs(q)) * q }

// After gives the nose some time later, when the mouth has leaked for a share
// of that time.
//
// Formula: dr/dt = (share r10 - r)/tau, r10 such that r reaches 1 after ten
// minutes of mouth leak from rest. Inputs: time [s], share [1]. Source: the two
// ends by Richards et al. 1996; the course between them is assumed. Example: ten
// minutes of mouth leak take 2.2 to 7.5 cmH2O s/L, ten more without it back to
// 2.5.
func (n Nose) After(t unit.Time, leaking unit.Fraction) Nose {
	tau := float64(n.Rise)
	end := float64(leaking) / -math.Expm1(-600/tau)
	n.Risen = unit.Fraction(end + (float64(n.Risen)-end)*math.Exp(-float64(t)/tau))
	return n
}
