package airway

import (
	"errors"

	"gonum.org/v1/gonum/stat/distuv"

	"tautline/model/mask"
	"tautline/model/unit"
)

// The records of the mouth.
var (
	LipsRecord = unit.Parameter{Name: "lip closing pressure", Symbol: "Pl", Unit: "cmH2O",
		Value: 6.25, Low: 0, High: 30, SD: 2.35, Origin: unit.Read,
		Source:  "Hellsing and L'Estrange, 1987: upper lip 3.9, lower 8.6; their middle, half their distance taken as one standard deviation (assumed)",
		Meaning: "pressure behind the resting lips above which they part"}
	ChinStrapRecord = unit.Parameter{Name: "chin strap's hold", Symbol: "Ps", Unit: "cmH2O",
		Value: 1.25, Low: 0, High: 20, SD: 0.6, Origin: unit.Calibrated,
		Source:  "chosen to meet the check airway-chin-strap (Bachour et al., Sleep Med 2004;5:261-7: 42.9 to 23.8 % of sleep); spread assumed",
		Meaning: "what a chin strap adds to the lips' closing pressure"}
	PartedRecord = unit.Parameter{Name: "resistance of parted lips", Symbol: "Rm", Unit: "cmH2O s/L",
		Value: 8, Low: 0.5, High: 60, SD: 3, Origin: unit.Assumed,
		Source:  "no published figure found; puts a mouth leak at 12 cmH2O near 33 L/min",
		Meaning: "pressure beyond closing per flow through mouth and lips"}
	JawDropRecord = unit.Parameter{Name: "drop of the jaw", Unit: "mm",
		Value: 4, Low: 0, High: 20, SD: 2, Origin: unit.Assumed, Source: "no published figure found",
		Meaning: "how far the chin recedes from the rim when the mouth opens inside an oronasal mask"}
	JawHeldRecord = unit.Parameter{Name: "share of the jaw's drop that a chin strap holds", Unit: "%",
		Value: 45, Low: 0, High: 100, SD: 20, Origin: unit.Assumed, Source: "taken to be as for mouth-leak time",
		Meaning: "by how much a chin strap lessens the drop of the jaw"}
)

var mouthRecords = []unit.Parameter{LipsRecord, ChinStrapRecord, PartedRecord, JawDropRecord, JawHeldRecord}

// A Mouth is what lies between the palate and the air outside. The zero value
// is not a mouth; take ClosedMouth or OpenMouth and change what differs.
type Mouth struct {
	// Palate says that the palate lets air into the mouth. While it is shut
	// nothing leaves there, whatever the lips do.
	Palate bool
	// Open says that the jaw has dropped and the lips rest apart: nothing but
	// a chin strap closes them.
	Open bool
	// Inside says that the mask encloses the mouth too (oronasal): what leaves
	// the mouth stays in the mask.
	Inside bool

	Lips      unit.Pressure   // holds resting lips shut
	ChinStrap unit.Pressure   // what a chin strap adds; zero without one
	Parted    unit.Resistance // of mouth and lips once they part
	JawDrop   unit.Length     // of the chin when the mouth is open
	JawHeld   unit.Fraction   // of that drop, held by a chin strap
}

// ClosedMouth has the lips resting together and the palate open to the mouth,
// so that enough pressure parts them.
func ClosedMouth() Mouth {
	return Mouth{Palate: true, Lips: unit.Pressure(LipsRecord.SI()), Parted: unit.Resistance(PartedRecord.SI()),
		JawDrop: unit.Length(JawDropRecord.SI()), JawHeld: unit.Fraction(JawHeldRecord.SI())}
}

// OpenMouth is a mouth breather's: the jaw has dropped.
func OpenMouth() Mouth {
	m := ClosedMouth()
	m.Open = true
	return m
}

// WithChinStrap gives the same mouth under an ordinary chin strap.
func (m Mouth) WithChinStrap() Mouth {
	m.ChinStrap = unit.Pressure(ChinStrapRecord.SI())
	return m
}

// Behind gives the same mouth behind a mask of a type.
func (m Mouth) Behind(t mask.Type) Mouth {
	m.Inside = t == mask.Oronasal
	return m
}

// Check refuses a mouth outside the range that the model holds for.
func (m Mouth) Check() error {
	return errors.Join(LipsRecord.Check(float64(m.Lips)), ChinStrapRecord.Check(float64(m.ChinStrap)),
		PartedRecord.Check(float64(m.Parted)), JawDropRecord.Check(float64(m.JawDrop)),
		JawHeldRecord.Check(float64(m.JawHeld)))
}

// Closing gives the pressure behind the lips above which they part.
func (m Mouth) Closing() unit.Pressure {
	if m.Open {
		return m.ChinStrap
	}
	return m.Lips + m.ChinStrap
}

// JawBack gives how far the chin recedes from an oronasal mask's rim: to be
// added to the position's own. Behind other masks it is zero, as they do not
// rest on the chin.
func (m Mouth) JawBack() unit.Length {
	switch {
	case !m.Open || !m.Inside:
		return 0
	case m.ChinStrap > 0:
		return m.JawDrop * unit.Length(1-m.JawHeld)
	}
	return m.JawDrop
}

// lips gives the flow out of the mouth at a pressure behind the lips, when the
// mouth is not inside the mask.
//
// Formula: Q = (P - closing)/Rm above closing, else 0. It never flows inwards:
// the pressure that draws air in shuts the lips.
func (m *Mouth) lips(p float64) float64 {
	if over := p - float64(m.Closing()); over > 0 && m.Palate {
		return over / float64(m.Parted)
	}
	return 0
}

// MouthLeak gives the mean flow out of the mouth while the mask holds a
// pressure: what a machine counts as unintentional leak on top of the seal's.
//
// Formula: P - closing = K1 q + K2 q|q| + Rm Q, q = Q + lung flow, the nose
// (Rohrer) and the parted lips in series, and Q the mean over three steady
// pieces of a quiet breath: in, out early, out late. Inputs: mask pressure [Pa],
// mouth, nose; result [m3/s] at the mask's gas. Near closing it is rough, by a
// litre a minute or so: Run follows the breath itself. Behind an oronasal mask
// the mouth's leak stays inside and the result is zero: see JawBack. Source:
// lips and nose as in their records; arithmetic; the pieces are assumed.
// Example: 12 cmH2O, resting lips, rested nose: 33 L/min.
func MouthLeak(p unit.Pressure, m Mouth, n Nose) unit.Flow {
	if m.Inside || !m.Palate {
		return 0
	}
	over, rm := float64(p-m.Closing()), float64(m.Parted)
	k1, k2 := n.rohrer()
	sum := 0.0
	for _, piece := range quietBreath {
		sum += piece.share * steadyLeak(over, piece.flow, k1, k2, rm)
	}
	return unit.Flow(sum)
}

// quietBreath is a breath of 7.2 L/min in three pieces of steady flow into the
// lung [m3/s]; the volumes in and out are the same. Assumed, after Run's.
var quietBreath = [...]struct{ share, flow float64 }{{0.4, 0.3e-3}, {0.25, -0.38e-3}, {0.35, -0.025e-3 / 0.35}}

// steadyLeak gives the flow out of the mouth while a steady flow enters the lung.
func steadyLeak(over, lung, k1, k2, rm float64) float64 {
	return max(0, signed(k1+rm, k2, over+rm*lung)-lung)
}

// MouthLeakTime gives the share of sleep in which the mouth leaks at a steady
// mask pressure, when the lips' tone drifts about its mean through the night.
//
// Formula: share = Phi((P - closing)/sd), sd that of the lips' record. Source:
// as LipsRecord; that people's spread also serves for one night is assumed.
// Example: at 5.83 cmH2O 43 % without a chin strap and 24 % with one.
func MouthLeakTime(p unit.Pressure, m Mouth) unit.Fraction {
	if m.Inside || !m.Palate {
		return 0
	}
	tone := distuv.Normal{Mu: float64(m.Closing()), Sigma: LipsRecord.SD * float64(unit.CmH2O)}
	return unit.Fraction(tone.CDF(float64(p)))
}
