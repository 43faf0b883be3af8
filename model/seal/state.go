package seal

// A State is what one segment does at a pose.
type State struct {
	Contact float64 // Pa
	Margin  float64 // Pa, contact minus mask pressure
	Gap     float64 // m
	Leak    float64 // m3/s
	Crushed bool    // the cushion is pressed beyond what it is made for
}

// State gives what segment i does at a pose and mask pressure [Pa].
func (p *Problem) State(i int, q Pose, pressure float64) State {
	s := &p.Segments[i]
	d := q.At(s.X, s.Y) - s.Mismatch
	contact := s.contact(d, pressure)
	st := State{Contact: contact, Margin: contact - pressure, Crushed: d > s.Crush}
	st.Gap = s.gap(&p.Constants, d, st.Margin)
	st.Leak = Slot(st.Gap, s.Length, s.Width, pressure, p.LossFactor, p.Gas)
	return st
}

// Contact gives the largest contact pressure [Pa] round the rim at a pose.
func (p *Problem) Contact(q Pose, pressure float64) float64 {
	largest := 0.0
	for i := range p.Segments {
		s := &p.Segments[i]
		largest = max(largest, s.contact(q.At(s.X, s.Y)-s.Mismatch, pressure))
	}
	return largest
}

// Pulls gives the sum of the strap pulls [N] at a pose, and whether any strap
// hangs slack there.
func (p *Problem) Pulls(set, q Pose) (sum float64, slack bool) {
	for i := range p.Straps {
		pull := p.Straps[i].pull(set, q)
		sum += pull
		slack = slack || pull == 0 && p.Straps[i].Pull > 0
	}
	return sum, slack
}

// Push gives the push of the cushion on the face [N] at a pose: the sum of
// contact pressure times area.
func (p *Problem) Push(q Pose, pressure float64) float64 {
	sum := 0.0
	for i := range p.Segments {
		s := &p.Segments[i]
		c := s.contact(q.At(s.X, s.Y)-s.Mismatch, pressure)
		sum += c * s.Length * s.Width
	}
	return sum
}

// Residual gives what is left over of force [N] and moments [N m] at a pose;
// a balance has none.
func (p *Problem) Residual(set, q Pose, pressure float64) (r [3]float64) {
	r = p.push()
	lift := pressure * p.Area
	for i := range p.Segments {
		s := &p.Segments[i]
		c := s.contact(q.At(s.X, s.Y)-s.Mismatch, pressure)
		f := c * s.Length * s.Width
		r[0], r[1], r[2] = r[0]-f, r[1]-f*s.Y, r[2]-f*s.X
	}
	r[0], r[1], r[2] = r[0]-lift, r[1]-lift*p.CY, r[2]-lift*p.CX
	for i := range p.Straps {
		s := &p.Straps[i]
		pull := s.pull(set, q)
		for k := range r {
			r[k] += pull * s.Gain[k]
		}
	}
	return r
}
