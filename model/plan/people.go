package plan

import (
	"math"
	"math/rand/v2"

	"tautline/model/airway"
	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/population"
	"tautline/model/unit"
)

// A person is one simulated person: what a fitting depends on and nobody sees.
type person struct {
	face    face.Face
	soreAt  [regions]float64 // log of Pa, contact from which a night leaves it sore
	habit   float64          // log of the pull that is set over what was meant
	hose    fit.Hose         // pulling now and then in the night
	lets    bool             // the palate lets air into the mouth asleep
	lips    float64          // Pa, closing pressure of the lips
	refuses [typeCount]bool
	// What a gauge reads of the face, with its own error.
	nose, length float64 // m
}

const typeCount = 3

// The regions of the skin that get sore by themselves.
const (
	onBridge = iota // and nose sides
	onNostrils
	onRest
	regions
)

func region(s face.Site) int {
	switch s {
	case face.Bridge, face.NoseSideLeft, face.NoseSideRight:
		return onBridge
	case face.NostrilLeft, face.NostrilRight:
		return onNostrils
	}
	return onRest
}

// typeIndex numbers the types in the catalogue's order.
func typeIndex(t mask.Type) int {
	for i, u := range mask.Types() {
		if t == u {
			return i
		}
	}
	return -1
}

// drawFace draws a face with its departures from the average multiplied.
func drawFace(r *rand.Rand, times float64) face.Face {
	f := population.Draw(r)
	k := unit.Length(times)
	for s := range f.Deviation {
		f.Deviation[s] *= k * unit.Length(FaceTimes.SI())
		if s := face.Site(s); s == face.NostrilLeft || s == face.NostrilRight {
			f.Deviation[s] *= unit.Length(NostrilTimes.SI() / FaceTimes.SI())
		}
	}
	soft := math.Exp(times * TissueSpread.SI() * r.NormFloat64())
	for s := range f.Tissue {
		f.Tissue[s].Modulus *= unit.Pressure(soft)
	}
	for _, s := range []face.Site{face.NoseSideLeft, face.CheekLeft} {
		depth := k * unit.Length(GrooveDepth.SI()*r.ExpFloat64())
		f.Features = append(f.Features, face.Feature{Site: s, Width: 3 * unit.Mm, Depth: depth},
			face.Feature{Site: s.Mirror(), Width: 3 * unit.Mm, Depth: depth})
	}
	f.Length = face.AverageLength + (f.Length-face.AverageLength)*k
	f.Width = face.AverageWidth + (f.Width-face.AverageWidth)*k
	f.NoseWidth = face.AverageNose + (f.NoseWidth-face.AverageNose)*k
	return f
}

// drawPerson draws one person; told is what was said of the mouth.
func drawPerson(r *rand.Rand, s Spreads, told Told) person {
	p := person{face: drawFace(r, s.Face)}
	p.soreAt = drawSoreAt(r, s)
	hosePull := HosePull.SI()
	p.hose = fit.Hose{Pull: unit.Force(hosePull * r.ExpFloat64()), Toward: unit.Angle(2 * math.Pi * r.Float64())}
	p.habit = s.Habit * r.NormFloat64()
	p.lets = r.Float64() < mouthShare(told)
	p.lips = drawLips(r)
	for i, t := range mask.Types() {
		record := Refusal[t]
		p.refuses[i] = r.Float64() < record.SI()
	}
	gauge := GaugeError.SI()
	p.nose = float64(p.face.NoseWidth) + gauge*r.NormFloat64()
	p.length = float64(p.face.Length) + gauge*r.NormFloat64()
	return p
}

// drawSoreAt draws the contact that each region of one person's skin gets sore
// from, log of Pa.
func drawSoreAt(r *rand.Rand, s Spreads) (at [regions]float64) {
	own := math.Log(SoreMiddle.SI()) + s.Sore*r.NormFloat64()
	for i := range at {
		at[i] = own + s.Apart*r.NormFloat64()
	}
	return at
}

// drawLips draws the closing pressure of a person's lips, Pa.
func drawLips(r *rand.Rand) float64 {
	lips := airway.LipsRecord
	return max(0, lips.SI()*(1+lips.SD/lips.Value*r.NormFloat64()))
}

func mouthShare(told Told) float64 {
	switch told {
	case Yes:
		return MouthToldYes.SI()
	case No:
		return MouthToldNo.SI()
	}
	return MouthShare.SI()
}

// mouth is the person's mouth behind a type.
func (p *person) mouth(t mask.Type) airway.Mouth {
	m := airway.ClosedMouth()
	m.Palate, m.Lips = p.lets, unit.Pressure(p.lips)
	return m.Behind(t)
}

// jawBack is how far the chin recedes from an oronasal rim: in who lets air into
// the mouth, the jaw drops.
func (p *person) jawBack(t mask.Type) unit.Length {
	if !p.lets {
		return 0
	}
	return airway.OpenMouth().Behind(t).JawBack()
}
