package explain

import (
	"fmt"
	"math"

	"tautline/model/airway"
	"tautline/model/unit"
)

// Priors are what holds before any reading: how common each cause is, how large
// its leak, how it grows with pressure, what each finding is worth. Take
// UsualPriors and change it.
type Priors struct {
	Common byCause // how common each cause is among masks that leak; any scale
	Size   byCause // median leak at the highest pressure read, m3/s
	Spread byCause // standard deviation of the natural logarithm of that leak

	Shape Shape
	Noise Noise
	Table [FindingCount][]byCause // chance of each outcome of a finding under each cause
}

// Shape holds the numbers that say how leaks grow with pressure.
type Shape struct {
	FaceSpread unit.Length // departure of a face at a site, one SD

	LipsMean, LipsSD unit.Pressure // at which the lips part
	LipsDrift        unit.Pressure // of their tone while a reading lasts, one SD
	PartedSpread     float64       // SD of the logarithm of the parted lips' resistance

	GapHeight       unit.Length // median height of a constant gap
	GapHeightSpread float64     // SD of its logarithm

	SideShare [2]float64 // share of readings on the side when postures are not known
	SideRise  [2]float64 // exponent of that leak over pressure

	VentSpread float64 // SD of the logarithm of true over assumed vent flow
	VentLeast  float64 // a difference smaller than this is no wrong curve
	Blocked    [2]float64
}

// Noise is how far a reading lies from the leak that it reads.
type Noise struct {
	Floor     unit.Flow
	Share     float64   // of the unintentional leak
	Vent      float64   // tolerance of the vent, share
	Base      unit.Flow // what every seal lets through at 10 cmH2O
	BaseSD    unit.Flow
	BaseRise  float64 // exponent
	Following float64 // how likely, on a self-adjusting machine, the pressure followed the leak
}

func assumed(name, units string, value, low, high float64, meaning string) unit.Parameter {
	return unit.Parameter{Name: name, Unit: units, Value: value, Low: low, High: high, Meaning: meaning,
		Origin: unit.Assumed, Source: "assumed; no published figure found"}.Around(mayBeOff)
}

// mayBeOff is the factor by which a prior may well be off, either way (assumed as
// well); a plan is asked to stand the same.
const mayBeOff = 1.6

// The records of the priors that are single numbers.
var (
	FaceSpread  = assumed("spread of faces at a site", "mm", 2, 0.2, 8, "departure from the average face, one standard deviation")
	LipsDrift   = assumed("lips parting, drift", "cmH2O", 0.8, 0.05, 5, "drift of the lips' tone while a reading lasts, one standard deviation")
	MouthSpread = assumed("resistance of parted lips, spread", "", 0.4, 0.05, 1.5, "standard deviation of its logarithm between persons")
	GapHeight   = assumed("height of a constant gap", "um", 500, 50, 3000, "median")
	GapSpread   = assumed("height of a constant gap, spread", "", 0.5, 0.05, 1.5, "standard deviation of its logarithm")
	SideFew     = assumed("readings on the side, least", "%", 25, 0, 100, "share of the readings that fall on the side, when postures are not known")
	SideMany    = assumed("readings on the side, most", "%", 75, 0, 100, "share of the readings that fall on the side, when postures are not known")
	RiseLeast   = assumed("rise on the side, least", "", 0.5, 0.3, 3, "exponent of the leak over pressure, lying on the side")
	RiseMost    = assumed("rise on the side, most", "", 1.8, 0.3, 4, "exponent of the leak over pressure; the seal model gives about this with a bed pillow's push")
	VentSpread  = assumed("wrong curve, spread", "", 0.22, 0.05, 1, "standard deviation of the logarithm of true over assumed vent flow")
	VentLeast   = assumed("wrong curve, least difference", "%", 8, 1, 50, "a smaller one is called tolerance")
	BlockLeast  = assumed("blocked vent, least", "%", 15, 1, 90, "share of the vent's area")
	BlockMost   = assumed("blocked vent, most", "%", 80, 5, 100, "share of the vent's area")
	NoiseFloor  = assumed("reading noise, floor", "L/min", 1.5, 0.1, 20, "one standard deviation, whatever the leak")
	NoiseShare  = assumed("reading noise, share", "%", 8, 0, 50, "of the unintentional leak; added to the floor")
	VentTol     = assumed("vent tolerance", "%", 2, 0, 20, "of the vent flow, one standard deviation; one error for all readings")
	BaseLeak    = assumed("leak of every seal", "L/min", 1, 0, 10, "at 10 cmH2O, when nothing is unusual")
	BaseSpread  = assumed("leak of every seal, spread", "L/min", 1, 0.05, 10, "one standard deviation, with a machine's own offset")
	BaseRise    = assumed("leak of every seal, rise", "", 0.8, 0, 2, "exponent over pressure")
	Following   = assumed("pressure followed the leak", "%", 80, 0, 100, "how likely on a self-adjusting machine; then the rise tells nothing")
)

// a habit is what holds of one cause: how common, median leak in L/min at the
// highest pressure read, SD of its logarithm.
type habit struct{ common, size, spread float64 }

var habits = [CauseCount]habit{
	ConstantGap:    {16, 15, 0.5},
	HoleElsewhere:  {8, 15, 0.5},
	LiftOff:        {24, 24, 0.6},
	MouthOpening:   {20, 32, 0.45},
	WornCushion:    {12, 15, 0.5}, // as a constant gap: a single pressure cannot tell them apart
	WrongVent:      {7, 0, 0},
	BlockedVent:    {3, 0, 0},
	SideSleeping:   {8, 22, 0.5},
	NothingUnusual: {2, 0, 0},
}

// single lists the records that are not per cause.
func single() []*unit.Parameter {
	return []*unit.Parameter{&FaceSpread, &airway.LipsRecord, &LipsDrift, &MouthSpread,
		&GapHeight, &GapSpread, &SideFew, &SideMany, &RiseLeast, &RiseMost, &VentSpread, &VentLeast, &BlockLeast,
		&BlockMost, &NoiseFloor, &NoiseShare, &VentTol, &BaseLeak, &BaseSpread, &BaseRise, &Following}
}

// Parameters lists the records of all priors, causes and findings included.
func Parameters() []unit.Parameter {
	var all []unit.Parameter
	for _, p := range single() {
		all = append(all, *p)
	}
	for c, h := range habits {
		id := Cause(c).ID()
		all = append(all, assumed("how common, "+id, "", h.common, 0, 100, "among 100 masks whose leak is asked about"))
		if h.size > 0 {
			all = append(all, assumed("size of the leak, "+id, "L/min", h.size, 0.5, 150, "median at the highest pressure read"),
				assumed("size of the leak, spread, "+id, "", h.spread, 0.05, 1.5, "standard deviation of its logarithm"))
		}
	}
	for f, table := range tables {
		for k, row := range table {
			for c, p := range row {
				all = append(all, assumed(fmt.Sprintf("%s %s, %s", findings[f].id, findings[f].outcomes[k], Cause(c).ID()), "",
					p, 0, 1, "chance of this outcome under this cause"))
			}
		}
	}
	return append(all, effectRecords()...)
}

// UsualPriors gives the priors as the records have them.
func UsualPriors() Priors {
	p := Priors{Table: tables}
	for c, h := range habits {
		p.Common[c], p.Size[c], p.Spread[c] = h.common, h.size*float64(unit.LPerMin), h.spread
	}
	p.Shape = Shape{FaceSpread: unit.Length(FaceSpread.SI()),
		LipsMean: unit.Pressure(airway.LipsRecord.SI()), LipsSD: unit.Pressure(airway.LipsRecord.SD) * unit.CmH2O,
		LipsDrift: unit.Pressure(LipsDrift.SI()), PartedSpread: MouthSpread.SI(),
		GapHeight: unit.Length(GapHeight.SI()), GapHeightSpread: GapSpread.SI(),
		SideShare: [2]float64{SideFew.SI(), SideMany.SI()}, SideRise: [2]float64{RiseLeast.SI(), RiseMost.SI()},
		VentSpread: VentSpread.SI(), VentLeast: VentLeast.SI(), Blocked: [2]float64{BlockLeast.SI(), BlockMost.SI()}}
	p.Noise = Noise{Floor: unit.Flow(NoiseFloor.SI()), Share: NoiseShare.SI(), Vent: VentTol.SI(),
		Base: unit.Flow(BaseLeak.SI()), BaseSD: unit.Flow(BaseSpread.SI()), BaseRise: BaseRise.SI(), Following: Following.SI()}
	return p
}

// isSet tells stated priors from the zero value.
func (p *Priors) isSet() bool { return p.Noise.Floor > 0 }

// Check refuses priors that no inference can be made from.
func (p *Priors) Check() error {
	sum := 0.0
	for c, w := range p.Common {
		if !(w >= 0) || math.IsInf(w, 0) {
			return fmt.Errorf("how common %s is must be zero or more, not %g", Cause(c).ID(), w)
		}
		sum += w
	}
	if sum == 0 {
		return fmt.Errorf("the priors leave no cause possible")
	}
	if !(p.Noise.Floor > 0 && p.Noise.Share >= 0 && p.Noise.Vent >= 0 && p.Noise.BaseSD >= 0) {
		return fmt.Errorf("the noise of a reading must be above zero")
	}
	return p.checkTables()
}

func (p *Priors) checkTables() error {
	for f, table := range p.Table {
		if len(table) != len(findings[f].outcomes) {
			return fmt.Errorf("the table of %s needs a row for each of its %d outcomes", findings[f].id, len(findings[f].outcomes))
		}
		for c := range CauseCount {
			sum := 0.0
			for _, row := range table {
				sum += row[c]
			}
			if math.Abs(sum-1) > 1e-6 {
				return fmt.Errorf("the chances of %s under %s add up to %.3f, not 1", findings[f].id, c.ID(), sum)
			}
		}
	}
	return nil
}
