package published

import (
	"testing"

	"tautline/model/face"
	"tautline/model/fit"
	"tautline/model/seal"
	"tautline/model/skin"
	"tautline/model/unit"
)

func TestSealChecksNoticeWrongLaws(t *testing.T) {
	with := func(change func(*sealLaws, float64)) func(float64) []Check {
		return func(f float64) []Check { l := sealActual; change(&l, f); return sealChecks(l) }
	}
	problem := func(bend func(*seal.Problem, float64)) func(float64) []Check {
		return with(func(l *sealLaws, f float64) { l.problem = func(p *seal.Problem) { bend(p, f) } })
	}
	noticed(t, "pressure on the enclosed area", "seal-held-right", problem(func(p *seal.Problem, f float64) { p.Area *= f }))
	noticed(t, "strap pull", "seal-held-tight", problem(func(p *seal.Problem, f float64) {
		for i := range p.Straps {
			p.Straps[i].Pull *= f
		}
	}))
	noticed(t, "strap stretch", "seal-lift-off", problem(func(p *seal.Problem, f float64) {
		for i := range p.Straps {
			p.Straps[i].Stiffness *= f
		}
	}))
	noticed(t, "contact stiffness", "seal-lift-off", problem(func(p *seal.Problem, f float64) {
		for i := range p.Segments {
			p.Segments[i].Soft *= f
		}
	}))
	noticed(t, "flap", "seal-lift-off", problem(func(p *seal.Problem, f float64) {
		for i := range p.Segments {
			p.Segments[i].FlapShare *= f
		}
	}))
	noticed(t, "separation", "seal-threshold-1.1", with(func(l *sealLaws, f float64) {
		// The law's own scale cancels in a ratio; its closing stress does not.
		l.gap = func(c seal.Constants, m float64) float64 { c.Closing *= f; return c.Gap(m) }
	}))
	noticed(t, "slot height", "seal-slot-200", with(func(l *sealLaws, f float64) {
		l.slot = func(h, w, b, p, k float64, g seal.Gas) float64 { return seal.Slot(h*f, w, b, p, k, g) }
	}))
	noticed(t, "viscous term", "seal-slot-viscous", with(func(l *sealLaws, f float64) {
		l.slot = func(h, w, b, p, k float64, g seal.Gas) float64 {
			g.Viscosity *= f
			return seal.Slot(h, w, b, p, k, g)
		}
	}))
	noticed(t, "inertial term", "seal-slot-500", with(func(l *sealLaws, f float64) {
		l.slot = func(h, w, b, p, k float64, g seal.Gas) float64 { return seal.Slot(h, w, b, p, k*f, g) }
	}))
	noticed(t, "hair", "seal-beard-long", with(func(l *sealLaws, f float64) {
		l.hair = func(length, hair unit.Length) unit.Length { return bentHair(length, hair, f) }
	}))
	noticed(t, "Shore hardness", "seal-shore-40", with(func(l *sealLaws, f float64) {
		l.modulus = func(s float64) unit.Pressure { return unit.Pressure(f) * sealActual.modulus(s) }
	}))
}

// bentHair takes the steepness out of the beard law, or turns it round.
func bentHair(length, hair unit.Length, f float64) unit.Length {
	const middle = 3.2 * unit.Mm
	if f < 1 {
		return face.HairGap(middle, hair) // flat: length makes no difference
	}
	return face.HairGap(2*middle-length, hair)
}

func TestFittingChecksNoticeWrongLaws(t *testing.T) {
	cases := func(bend func(*fit.Case, float64)) func(float64) []Check {
		return func(f float64) []Check {
			l := sealActual
			l.fitting = func(c *fit.Case) { bend(c, f) }
			return sealChecks(l)
		}
	}
	failing := func(law, named string, f float64, bend func(*fit.Case, float64)) {
		t.Helper()
		for _, c := range cases(bend)(f) {
			if c.ID == named && c.Evaluate().Status != Fail {
				t.Errorf("%s by %g: %s still holds", law, f, named)
			}
		}
	}
	// Straps that hardly hold the frame let the bridge feel the pressure.
	failing("strap stiffness", "seal-bridge-indifferent", 0.25, func(c *fit.Case, f float64) {
		for i := range c.Mask.Straps {
			c.Mask.Straps[i].Stiffness *= unit.Stiffness(f)
		}
	})
	failing("tissue share", "seal-nose-depth", 2, func(c *fit.Case, f float64) { c.TissueShare *= f })
	failing("tissue share", "seal-lip-depth", 0.5, func(c *fit.Case, f float64) { c.TissueShare *= f })
	failing("mismatch of the bridge", "seal-nose-cheek", -1, func(c *fit.Case, f float64) {
		c.Mask.Profile[face.Bridge] *= unit.Length(f)
	})
	failing("strap pull", "seal-bridge-level", 0.5, func(c *fit.Case, f float64) { c.Straps.Pull *= unit.Force(f) })
	failing("slackening", "seal-supine", 4, func(c *fit.Case, f float64) { c.Position.Slackening *= unit.Fraction(f) })
	failing("slackening", "seal-supine", -1, func(c *fit.Case, f float64) { c.Position.Slackening *= unit.Fraction(f) })
}

func TestSkinChecksNoticeWrongLaws(t *testing.T) {
	with := func(change func(*skinLaws, float64)) func(float64) []Check {
		return func(f float64) []Check { l := skinActual; change(&l, f); return skinChecks(l) }
	}
	noticed(t, "muscle line", "skin-muscle-early", with(func(l *skinLaws, f float64) {
		l.muscle = func(w unit.Time) unit.Pressure { return unit.Pressure(f) * skin.MuscleLevel(w) }
	}))
	noticed(t, "pressure-time product", "skin-product", with(func(l *skinLaws, f float64) {
		l.product = func(w unit.Time) unit.Pressure { return unit.Pressure(f) * skin.ProductLevel(w) }
	}))
	noticed(t, "load", "skin-capillary", with(func(l *skinLaws, f float64) {
		l.load = func(n skin.Line, c unit.Pressure, w unit.Time) float64 { return f * n.Load(c, w) }
	}))
	noticed(t, "friction", "skin-shear-dry", with(func(l *skinLaws, f float64) {
		l.shear = func(c unit.Pressure, wet bool) unit.Pressure { return unit.Pressure(f) * skin.ShearCap(c, wet) }
	}))
}
