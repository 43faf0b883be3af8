package fit

import (
	"errors"
	"fmt"
	"math"

	"tautline/model/circuit"
	"tautline/model/face"
	"tautline/model/gas"
	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
)

// A Case is one mask on one face: everything but the pressure.
type Case struct {
	Mask     mask.Mask
	Face     face.Face
	Straps   Straps
	Position Position
	Cushion  mask.Wear // how long and how it has been used
	Hose     Hose
	Circuit  circuit.Circuit
	Gas      gas.State // in the mask
	Seal     seal.Constants
	// TissueShare turns an indenter's modulus into a foundation's.
	TissueShare float64
	// HairThickness is that of one beard hair.
	HairThickness unit.Length
	// Segments is how many pieces each rim is cut into.
	Segments int
	// Mismatch, when given, replaces the one made from the sites: one value
	// per segment, all rims in order.
	Mismatch []unit.Length

	cut []mask.Outline // of the mask's rims, when cut in advance
}

// Cut cuts the mask's rims into their segments now, which takes most of the time
// of putting it on. Copies of the case share them, so that many faces can be put
// behind one mask; the copies' mask and number of segments must stay as they are.
func (c *Case) Cut() error {
	var all []mask.Outline
	for k := range c.Mask.Rims {
		out, err := c.Mask.Rims[k].Outline(c.Segments, c.Mask.Width)
		if err != nil {
			return err
		}
		all = append(all, out)
	}
	c.cut = all
	return nil
}

// Straps is how the straps are set, on the face, at zero pressure.
type Straps struct {
	Pull unit.Force // sum over all straps
	// Upper is the share of the pull in the upper pair and Left the share on
	// the wearer's left; a mask with one pair has no Upper.
	Upper, Left unit.Fraction
}

// usualSegments is enough for a leak within about 0.3 % (median) of a rim cut
// four times finer.
const usualSegments = 96

// NewCase puts a mask on a face with everything else at its usual value:
// straps evenly set, cushion new, usual circuit and gas.
func NewCase(m mask.Mask, f face.Face, pull unit.Force, p Position) Case {
	upper, _ := mask.UpperShare(m.Type)
	n := usualSegments
	if len(m.Rims) > 1 {
		n /= 2
	}
	return Case{Mask: m, Face: f, Straps: Straps{Pull: pull, Upper: upper, Left: 0.5}, Position: p,
		Hose: supportedHose(), Circuit: circuit.Default(), Gas: gas.AtMask(), Seal: seal.UsualConstants(),
		TissueShare: face.FoundationShare.SI(), HairThickness: unit.Length(face.HairGapRecord.SI()),
		Segments: n}
}

// StrapRange is the valid range of the pull: beyond it no strap of a mask is
// ever set.
var StrapRange = unit.Parameter{Name: "strap force", Symbol: "F", Unit: "N",
	Meaning: "sum of the strap pulls, set at zero pressure", Value: 3.43, Low: 0.05, High: 60, Fixed: "stated; drawn as its own range where it was told by feel or by tabs",
	Origin: unit.Read, Source: "right setting of a nasal mask, D. H. Duong et al., Am J Respir Crit Care Med 2020;201:A2432; range assumed"}

// SetPressureRange is the range of set pressures that the model is used for.
var SetPressureRange = unit.Parameter{Name: "set pressure", Symbol: "P", Unit: "cmH2O",
	Meaning: "pressure set at the machine", Value: 10, Low: 0, High: 60, Fixed: "stated",
	Origin: unit.Assumed, Source: "machines reach 25 to 40 cmH2O, from memory"}

// Problem turns the case into segments, straps and loads.
func (c *Case) Problem() (*seal.Problem, error) {
	if err := c.check(); err != nil {
		return nil, err
	}
	worn := c.Cushion.Apply(c.Mask.Cushion)
	p := &seal.Problem{Constants: c.Seal,
		Gas: seal.Gas{Density: float64(c.Gas.Density()), Viscosity: float64(c.Gas.Viscosity())}}
	if c.cut == nil {
		fresh := *c
		if err := fresh.Cut(); err != nil {
			return nil, err
		}
		c = &fresh
	}
	var moment [2]float64
	for k := range c.cut {
		out := c.cut[k]
		p.Area += out.Area
		moment[0] += out.Area * out.CX
		moment[1] += out.Area * out.CY
		if err := c.addRim(p, &out, worn); err != nil {
			return nil, err
		}
	}
	p.CX, p.CY = moment[0]/p.Area, moment[1]/p.Area
	if err := c.overrideMismatch(p); err != nil {
		return nil, err
	}
	c.addStraps(p)
	c.addLoads(p)
	return p, nil
}

func (c *Case) check() error {
	if c.Straps.Pull != 0 || !c.statedStraps() {
		if err := StrapRange.Check(float64(c.Straps.Pull)); err != nil {
			return err
		}
	}
	if len(c.Mask.Rims) == 0 {
		return errors.New("the case has no mask")
	}
	if u, l := c.Straps.Upper, c.Straps.Left; !(u >= 0 && u <= 1 && l >= 0 && l <= 1) {
		return fmt.Errorf("a strap share lies between 0 and 100 %%, not %s and %s", u, l)
	}
	return nil
}

// addRim adds one rim's segments with the laws that hold at each.
func (c *Case) addRim(p *seal.Problem, out *mask.Outline, worn mask.Cushion) error {
	at := out.Shares()
	joint, err := face.NewJoint(out.Landmarks, at)
	if err != nil {
		return err
	}
	join := func(value func(face.Site) float64) []float64 {
		marks, all := make([]float64, len(out.Sites)), make([]float64, len(at))
		for k, s := range out.Sites {
			marks[k] = value(s)
		}
		joint.Join(marks, all)
		return all
	}
	mismatch := join(func(s face.Site) float64 { return float64(c.mismatch(s)) })
	// Stiffnesses run over decades: their logarithms are joined.
	tissue := join(func(s face.Site) float64 {
		return math.Log(float64(c.Face.Tissue[s].Stiffness(c.TissueShare)))
	})
	beard := join(func(s face.Site) float64 { return float64(c.Face.Beard[s]) })
	for i, piece := range out.Pieces {
		k := math.Exp(tissue[i])
		wall := float64(worn.Stiffness)
		soft, hard := seal.InSeries(wall, k), seal.InSeries(wall*worn.Stiffening, k)
		bottom := wall * float64(worn.Bottoming) / soft
		// From bottoming to crushed the wall itself gives way this much more.
		further := (worn.Crushing - 1) * float64(worn.Bottoming)
		p.Segments = append(p.Segments, seal.Segment{
			Site: piece.Site, X: piece.X, Y: piece.Y, Length: piece.Length, Width: float64(c.Mask.Width),
			Mismatch: mismatch[i] + c.features(out, piece.At),
			Soft:     soft, Hard: hard, Bottom: bottom,
			Crush:     bottom + wall*worn.Stiffening*further/hard,
			FlapShare: float64(worn.FlapShare), FlapReach: float64(worn.FlapReach),
			Hair: float64(face.HairGap(unit.Length(beard[i]), c.HairThickness)),
		})
	}
	return nil
}

// mismatch is the mask's on the face, with the jaw where the position puts it.
func (c *Case) mismatch(s face.Site) unit.Length { return c.mismatchOn(&c.Face, s) }

// mismatchOn is the same on another face.
func (c *Case) mismatchOn(f *face.Face, s face.Site) unit.Length {
	m := c.Mask.Mismatch(f, s)
	if s == face.Chin {
		m += c.Position.JawBack
	}
	return m
}

// features adds up what is local at a place of the rim.
func (c *Case) features(out *mask.Outline, at float64) float64 {
	sum := 0.0
	for _, f := range c.Face.Features {
		for k, s := range out.Sites {
			if s == f.Site {
				along := math.Remainder(at-out.Landmarks[k], 1)*out.Length - float64(f.Offset)
				sum += float64(f.At(unit.Length(along)))
			}
		}
	}
	return sum
}

func (c *Case) overrideMismatch(p *seal.Problem) error {
	if c.Mismatch == nil {
		return nil
	}
	if len(c.Mismatch) != len(p.Segments) {
		return fmt.Errorf("the mismatch has %d values, the rim %d segments: give one for each", len(c.Mismatch), len(p.Segments))
	}
	for i, m := range c.Mismatch {
		p.Segments[i].Mismatch = float64(m)
	}
	return nil
}

// statedStraps tells whether the pulls are given strap by strap.
func (c *Case) statedStraps() bool {
	for _, s := range c.Mask.Straps {
		if s.Pull > 0 {
			return true
		}
	}
	return false
}

// Total gives the sum of the strap pulls as set.
func (c *Case) Total() unit.Force {
	if c.Straps.Pull > 0 || !c.statedStraps() {
		return c.Straps.Pull
	}
	sum := unit.Force(0)
	for _, s := range c.Mask.Straps {
		sum += s.Pull
	}
	return sum
}

// addStraps shares the pull out and turns each strap's direction into what it
// does to the frame.
func (c *Case) addStraps(p *seal.Problem) {
	left := 1 - float64(c.Position.Slackening)
	for k, s := range c.Mask.Straps {
		sin, cos := math.Sincos(float64(s.Angle))
		across, up := math.Cos(float64(s.Azimuth))*sin, math.Sin(float64(s.Azimuth))*sin
		h := float64(s.Height)
		p.Straps = append(p.Straps, seal.Strap{Upper: s.Upper, Left: s.Left,
			Gain:      [3]float64{cos, float64(s.Y)*cos + h*up, float64(s.X)*cos + h*across},
			Stiffness: float64(s.Stiffness), Pull: float64(c.pull(k)) * left})
	}
}

// pull gives what strap k is set to. Pulls stated strap by strap keep their
// proportions when a sum is asked for as well.
func (c *Case) pull(k int) unit.Force {
	s := c.Mask.Straps[k]
	if c.statedStraps() {
		sum := unit.Force(0)
		for _, t := range c.Mask.Straps {
			sum += t.Pull
		}
		return s.Pull * c.Total() / sum
	}
	upper, side := c.Straps.Upper, c.Straps.Left
	if !s.Left {
		side = 1 - side
	}
	if onePair := len(c.Mask.Straps) == 2; onePair {
		return c.Straps.Pull * unit.Force(side)
	}
	if !s.Upper {
		upper = 1 - upper
	}
	return c.Straps.Pull * unit.Force(upper*side)
}

// addLoads adds the weight, the hose and the bed pillow.
func (c *Case) addLoads(p *seal.Problem) {
	if c.Hose.Pull != 0 {
		p.Loads = append(p.Loads, c.Hose.load())
	}
	w := float64(c.Mask.Weight)
	if f := w * float64(c.Position.Pressing); f != 0 {
		p.Loads = append(p.Loads, seal.Load{Force: f, X: p.CX, Y: p.CY})
	}
	top, side := 0, -1
	for i, s := range p.Segments {
		if s.Y > p.Segments[top].Y {
			top = i
		}
		if s.Site == c.Position.ShoveSite && (side < 0 || math.Abs(s.X) > math.Abs(p.Segments[side].X)) {
			side = i
		}
	}
	// Only a mask that rests on the bridge hangs on it.
	if f := w * float64(c.Position.Hanging); f != 0 && p.Segments[top].Site == face.Bridge {
		p.Loads = append(p.Loads, seal.Load{Force: f, X: p.CX, Y: p.Segments[top].Y})
	}
	if f := float64(c.Position.Shove); f != 0 && side >= 0 {
		p.Loads = append(p.Loads, seal.Load{Force: f, X: p.Segments[side].X, Y: p.CY})
	}
}
