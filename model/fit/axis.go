package fit

import (
	"errors"
	"fmt"

	"tautline/model/mask"
	"tautline/model/unit"
)

// check refuses an axis that the case cannot follow. One that changed nothing
// would look like an answer, so that is refused too.
func (a Axis) check(c *Case) error {
	if a.len() == 0 {
		return fmt.Errorf("the sweep of %s has no values", a.Variable)
	}
	switch a.Variable {
	case ByStraps:
		return a.within(&StrapRange)
	case ByPressure:
		return a.within(&SetPressureRange)
	case ByCushion:
		return a.within(&mask.WearLimit)
	case ByBalance:
		return a.checkBalance(c)
	case BySize:
		if c.Mismatch != nil {
			return errors.New("the mismatch was given for this very rim: a sweep of sizes needs it site by site")
		}
		if c.Mask.OwnRim() {
			return errors.New("the rim was stated: a sweep of sizes needs a rim of the catalogue")
		}
		return nil
	case ByPosition: // an unknown one is refused where it is looked up
		return nil
	}
	return fmt.Errorf("%q cannot be swept", a.Variable)
}

func (a Axis) within(p *unit.Parameter) error {
	for _, v := range a.Numbers {
		if err := p.Check(v); err != nil {
			return fmt.Errorf("the sweep of %s: %w", a.Variable, err)
		}
	}
	return nil
}

func (a Axis) checkBalance(c *Case) error {
	switch {
	case len(c.Mask.Straps) == 2:
		return errors.New("a mask with one pair of straps has no upper share to sweep")
	case c.statedStraps():
		return errors.New("the pulls were given strap by strap: a sweep of the upper share needs their sum")
	}
	for _, v := range a.Numbers {
		if !(v >= 0 && v <= 1) {
			return fmt.Errorf("the sweep of %s: a share lies between 0 and 100 %%, not at %s", a.Variable, unit.Fraction(v))
		}
	}
	return nil
}
