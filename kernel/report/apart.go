package report

import (
	"fmt"

	"tautline/model/fit"
)

// apart are the things by which two masks on faces can differ without their
// names telling, each in words; none for what a mask does not have.
var apart = []func(fit.Case) string{
	func(c fit.Case) string { return "straps " + Pull(c.Total()) },
	func(c fit.Case) string {
		if len(c.Mask.Straps) <= 2 {
			return ""
		}
		return fmt.Sprintf("%.0f %% of the pull in the upper pair", c.Straps.Upper.Percent())
	},
	func(c fit.Case) string {
		return fmt.Sprintf("%.0f %% of the pull on the left", c.Straps.Left.Percent())
	},
	func(c fit.Case) string {
		if c.Cushion.Days <= 0 {
			return "new cushion"
		}
		return fmt.Sprintf("cushion %s in use", c.Cushion.Days)
	},
	func(c fit.Case) string {
		if c.Hose.Pull <= 0 {
			return "hose supported"
		}
		return "hose pulls with " + Pull(c.Hose.Pull)
	},
	func(c fit.Case) string { return "hose " + Depth(c.Circuit.Hose.Diameter) + " wide" },
	func(c fit.Case) string { return fmt.Sprintf("hose %.2f m long", c.Circuit.Hose.Length.M()) },
	func(c fit.Case) string { return "machine gives up to " + Flow(c.Circuit.MaxFlow) },
	func(c fit.Case) string { return fmt.Sprintf("%.0f %% of the vent open", 100*c.Mask.Vent.Open()) },
}

// Apart says of two cases what their names do not tell and they differ in,
// nothing where they do not or where one of them has no such thing.
func Apart(a, b fit.Case) (of [2][]string) {
	for _, words := range apart {
		x, y := words(a), words(b)
		if x == y || x == "" || y == "" {
			continue
		}
		of[0], of[1] = append(of[0], x), append(of[1], y)
	}
	return of
}
