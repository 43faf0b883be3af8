package plan

import "tautline/model/mask"

// covers tells how much of the face each type covers.
var covers = map[mask.Type]int{mask.Pillows: 1, mask.Nasal: 2, mask.Oronasal: 3}

// gate parts the stock into what may be planned and what is ruled out, each with
// the first reason that holds.
func (q *Question) gate() (open []Item, out []RuledOut) {
	for _, it := range q.Stock {
		if reason, unasked := q.against(it); reason != "" {
			out = append(out, RuledOut{Item: it, Reason: reason, Unasked: unasked})
		} else {
			open = append(open, it)
		}
	}
	return open, out
}

// against gives the first reason against an item. Where not knowing could do harm
// the gate is shut until it is known.
func (q *Question) against(it Item) (reason Reason, unasked bool) {
	g := &q.Gates
	oronasal := it.Type == mask.Oronasal
	switch {
	case !it.Vented:
		return NoVent, false
	case it.Count <= 0:
		return NoneLeft, false
	case oronasal && g.Vomiting != No:
		return ByVomiting, g.Vomiting == Unknown
	case oronasal && g.TakesOffAlone != Yes:
		return ByHands, g.TakesOffAlone == Unknown
	case it.Magnets && g.Implants != No:
		return ByMagnets, g.Implants == Unknown
	case !oronasal && g.NoseBlocked == Yes:
		return ByBlockedNose, false
	case g.Covers != "" && covers[it.Type] > covers[g.Covers]:
		return ByCover, false
	case q.notWorn(it.Type):
		return ByRefusal, false
	}
	return "", false
}

func (q *Question) notWorn(t mask.Type) bool {
	for _, v := range q.Tried {
		if v.Type == t && v.What == NotWorn {
			return true
		}
	}
	return false
}
