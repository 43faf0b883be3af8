// Package seal is the heart of the model: a mask is pushed onto the face by
// its straps and pushed off by its own pressure, and what is left over presses
// on the seal. It finds where the frame settles, how hard each piece of the
// rim presses, how wide a gap remains there and how much air escapes.
//
// Everything is SI. The rim lies in the mask's plane: X to the wearer's left,
// Y up. The frame moves in three ways: towards the face (distance), tilting
// about the left-right axis (pitch, the top nearer) and about the long axis
// (yaw, the wearer's left nearer). A rim point (X, Y) comes nearer to the face
// by distance + Y*pitch + X*yaw; small angles are meant.
package seal

import (
	"errors"
	"math"

	"tautline/model/face"
)

// A Segment is one short piece of the rim with the law by which it presses.
type Segment struct {
	Site     face.Site
	X, Y     float64 // m
	Length   float64 // m, along the rim
	Width    float64 // m, of the contact
	Mismatch float64 // m, undeformed rim to undeformed face; negative: the face stands proud

	Soft   float64 // Pa/m, cushion and tissue in series
	Hard   float64 // Pa/m, the same once the cushion has bottomed out
	Bottom float64 // m, interference at which it bottoms out
	Crush  float64 // m, interference beyond which it counts as crushed

	FlapShare float64 // 1, share of the mask pressure that the flap adds to the contact
	FlapReach float64 // m, how far the flap follows a receding skin
	Hair      float64 // m, smallest gap that hair or stubble keeps open
}

// A Strap pulls at one point of the frame in a fixed direction.
type Strap struct {
	Upper, Left bool
	// Gain is how far the strap's end gives way per unit of distance (1),
	// pitch (m) and yaw (m): by the principle of virtual work it is also what
	// one newton of pull does in force and moments.
	Gain      [3]float64
	Stiffness float64 // N/m
	Pull      float64 // N, set on the face at zero pressure
}

// A Load is anything else that pushes the frame towards the face or tilts it:
// weight, hose, bed pillow.
type Load struct {
	Force float64 // N
	X, Y  float64 // m, where it acts
	// Pitch and Yaw are moments of their own, N m, as a hose makes that pulls
	// along the face at an elbow which stands off it.
	Pitch, Yaw float64
}

// Constants are the numbers of the gap law that hold all round the rim.
type Constants struct {
	GapScale    float64 // m, u0
	Closing     float64 // Pa, p*
	FlapLifting float64 // Pa/m, kf
	LossFactor  float64 // 1, K
}

// A Gas is what flows through the gaps.
type Gas struct {
	Density   float64 // kg/m3
	Viscosity float64 // Pa s
}

// A Problem is one mask on one face, ready to be balanced at any pressure.
// Solving changes nothing in it, so several goroutines may share one.
type Problem struct {
	Segments []Segment
	Straps   []Strap
	Loads    []Load
	Area     float64 // m2, projected, inside the contact band
	CX, CY   float64 // m, where the pressure's resultant acts
	Constants
	Gas
}

// A Pose is the frame's place: distance [m], pitch [rad], yaw [rad].
type Pose [3]float64

// At gives how much nearer the rim point has come to the face.
func (q Pose) At(x, y float64) float64 { return q[0] + y*q[1] + x*q[2] }

// ErrTips is returned when no balance exists: the pull passes outside the rim,
// so the mask tips off the face.
var ErrTips = errors.New("the pull passes outside the rim: the mask tips off the face")

// ErrNotFound is returned when the search for the balance did not end, which
// the convexity of the energy excludes for sensible input.
var ErrNotFound = errors.New("no balance was found between straps, pressure and cushion")

// push is the sum of the loads as force and moments.
func (p *Problem) push() (f [3]float64) {
	for _, l := range p.Loads {
		f[0] += l.Force
		f[1] += l.Force*l.Y + l.Pitch
		f[2] += l.Force*l.X + l.Yaw
	}
	return f
}

// size is a length typical of the rim: it makes moments comparable to forces.
func (p *Problem) size() float64 { return math.Sqrt(p.Area / math.Pi) }
