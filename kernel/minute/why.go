package minute

import (
	"context"
	"slices"

	"tautline/kernel/scenario"
	"tautline/model/explain"
	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/skin"
	"tautline/model/unit"
)

// stories asks what the one reading would look like under each cause. One
// reading tells little, and the answer says so; without knowing which figure it
// is, it tells nothing, and nothing is asked.
func (a *Answer) stories(ctx context.Context, m mask.Mask) error {
	which, known := map[Figure]explain.Which{Unintentional: explain.Unintentional, Total: explain.TotalFlow}[a.Form.LeakIs]
	if leak, _ := a.Unintentional(); !known || leak <= a.Form.Limit {
		return nil
	}
	line, err := skin.Chosen(a.Form.Line)
	if err != nil {
		return err
	}
	_, guess := felt(a.Form.Straps)
	why, err := explain.Explain(ctx, explain.Question{Mask: m, Which: which, Seen: seen(a.Form), Felt: touched(m, a.Form.Air),
		Readings: []explain.Reading{{Pressure: a.Form.Highest, Flow: a.Form.Leak}}, Straps: guess,
		Range: [2]unit.Pressure{min(lowest, a.Form.Highest), a.Form.Highest}, Limit: a.Form.Limit, Line: line, Seed: 1})
	a.Why, a.HasWhy = why, err == nil
	return err
}

// seen gives what was tapped as the findings that a cause is weighed by.
func seen(f Form) explain.Seen {
	var s explain.Seen
	s[explain.AirFelt], _ = explain.AirFelt.ParseOutcome(map[Place]string{AtBridge: "at_rim", AtNoseSide: "at_rim", AtCheek: "at_rim",
		AtLip: "at_rim", AtChin: "at_rim", AtMouth: "at_mouth", AtAssembly: "at_assembly", Nowhere: "nowhere"}[f.Air])
	s[explain.OxygenAdded], _ = explain.OxygenAdded.ParseOutcome(map[scenario.Answer]string{scenario.Yes: "yes", scenario.No: "no"}[f.Oxygen])
	s[explain.StrapsFeel], _ = explain.StrapsFeel.ParseOutcome(f.Straps)
	return s
}

// touched are the sites of a place that this mask touches.
func touched(m mask.Mask, p Place) []face.Site {
	on := m.Sites()
	return slices.DeleteFunc(slices.Clone(p.Sites()), func(s face.Site) bool { return !slices.Contains(on, s) })
}
