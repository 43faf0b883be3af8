package seal

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Split parts the mismatch round the rim into what the straps can take up,
// because moving and tilting the frame takes it up, and what is shape.
type Split struct {
	Plane Pose      // the pose that takes up the most, least squares over contact area
	Shape []float64 // m per segment, what remains; positive: the rim stands off
	Total float64   // m, largest minus smallest mismatch
	Left  float64   // m, the same of Shape
	Worst int       // the segment where Shape stands off most
}

// Split fits the plane by weighted least squares.
func (p *Problem) Split() (Split, error) {
	n := len(p.Segments)
	a := mat.NewDense(n, 3, nil)
	b := mat.NewVecDense(n, nil)
	for i := range p.Segments {
		s := &p.Segments[i]
		w := math.Sqrt(s.Length * s.Width)
		a.SetRow(i, []float64{w, w * s.Y, w * s.X})
		b.SetVec(i, w*s.Mismatch)
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return Split{}, err
	}
	out := Split{Plane: Pose{x.AtVec(0), x.AtVec(1), x.AtVec(2)}, Shape: make([]float64, n)}
	lo, hi := math.Inf(1), math.Inf(-1)
	least, most := lo, hi
	for i := range p.Segments {
		s := &p.Segments[i]
		out.Shape[i] = s.Mismatch - out.Plane.At(s.X, s.Y)
		lo, hi = min(lo, s.Mismatch), max(hi, s.Mismatch)
		if out.Shape[i] > most {
			most, out.Worst = out.Shape[i], i
		}
		least = min(least, out.Shape[i])
	}
	out.Total, out.Left = hi-lo, most-least
	return out, nil
}
