package plan

import (
	"tautline/model/fit"
	"tautline/model/mask"
)

// spreads gives what is assumed, the usual when nothing is said.
func (q *Question) spreads() Spreads {
	if q.Spreads == (Spreads{}) {
		return Usual()
	}
	return q.Spreads
}

// setup is the question without the person: the masks that no gate keeps out.
func (q *Question) setup() (setup, error) {
	s := setup{pressure: q.Range[1], limit: float64(q.Limit), position: q.position(), daily: SoreDaily.SI()}
	seen := map[[2]string]bool{}
	open, _ := q.gate()
	for _, it := range open {
		key := [2]string{string(it.Type), it.Size}
		if seen[key] {
			continue
		}
		seen[key] = true
		m, err := mask.Find(it.Type, it.Size)
		if err != nil {
			return s, err
		}
		s.masks = append(s.masks, m)
	}
	return s, nil
}

// position is that of sleep; unknown, it is taken as on the back.
func (q *Question) position() fit.Position {
	if q.Position.Name != "" {
		return q.Position
	}
	p, _ := fit.FindPosition("on the back")
	return p
}
