package fit

import (
	"context"
	"errors"
	"math"

	"tautline/model/mask"
	"tautline/model/seal"
	"tautline/model/unit"
)

// options lists what to try, in bedside order, each with what the model
// predicts at the highest pressure of the range.
func (s *sweeper) options(ctx context.Context, base *Fitting, a *Answer) ([]Option, error) {
	var out []Option
	for _, kind := range []OptionKind{LookAtVent, Clean, Reseat, SupportHose, CloseLips} {
		out = append(out, Option{Kind: kind})
	}
	for _, try := range []func(context.Context, *Fitting, *Answer) ([]Option, error){
		s.evenStraps, s.stepStraps, s.newCushion, s.otherSizes, s.otherTypes,
	} {
		more, err := try(ctx, base, a)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	return out, nil
}

// predict gives an option's leak and largest contact at the top of the range.
// A fitting that tips off has no numbers and is left out.
func (s *sweeper) predict(o Option, f *Fitting) (Option, bool, error) {
	mask, pose, err := f.arrive(s.q.Range[1])
	if errors.Is(err, seal.ErrTips) {
		return o, false, nil
	}
	if err != nil {
		return o, false, err
	}
	var t trial
	t.look(f, pose, mask)
	o.Predicted, o.Leak, o.Contact, o.Site = true, t.leak, t.contact, t.contactSite
	return o, true, nil
}

// evenStraps looks for a better sharing of the same pull: one that leaks
// clearly less or, where the leak is under the limit, presses clearly less.
func (s *sweeper) evenStraps(_ context.Context, base *Fitting, a *Answer) ([]Option, error) {
	if len(base.Case.Mask.Straps) < 4 || base.Case.statedStraps() {
		return nil, nil
	}
	top := topContact(a.Top)
	best, found := Option{Leak: a.Top.Leak, Contact: top}, false
	for share := unit.Fraction(0.3); share < 0.81; share += 0.05 {
		straps := base.Case.Straps
		straps.Upper, straps.Left = share, 0.5
		f, err := base.WithStraps(straps)
		if errors.Is(err, seal.ErrTips) {
			continue
		}
		if err != nil {
			return nil, err
		}
		o := Option{Kind: EvenStraps, Settings: s.q.settings()}
		o.Settings.Balance = share
		o, ok, err := s.predict(o, f)
		if err != nil {
			return nil, err
		}
		leaks := a.Top.Leak > s.q.Limit
		lessLeak := o.Leak < 0.9*best.Leak && o.Leak < a.Top.Leak-unit.LPerMin &&
			o.Contact <= max(top, s.q.Line.Level(s.q.Worn))
		lessPress := o.Contact < 0.95*best.Contact && o.Leak <= s.q.Limit
		if ok && (leaks && lessLeak || !leaks && lessPress) {
			best, found = o, true
		}
	}
	if !found {
		return nil, nil
	}
	return []Option{best}, nil
}

func topContact(p Point) unit.Pressure {
	top := unit.Pressure(0)
	for _, s := range p.Sites {
		top = max(top, s.Contact)
	}
	return top
}

// step is one small step of the straps, all together.
const step = 0.5 * unit.N

// stepStraps goes to the window's nearer edge; without a window it shows what
// one small step tighter would do, or what sealing would cost the skin.
func (s *sweeper) stepStraps(_ context.Context, base *Fitting, a *Answer) ([]Option, error) {
	pull := base.Case.Total()
	switch a.Verdict {
	case Holds:
		return nil, nil
	case Opens:
		pull = unit.Force(math.Ceil(float64(a.Window.Low)*10-1e-6) / 10)
	case TooTight:
		pull = unit.Force(math.Floor(float64(a.Window.High)*10+1e-6) / 10)
	case EmptyByLine:
		pull = max(a.Window.SealsFrom, pull+step)
	default:
		pull += step
	}
	if StrapRange.Check(float64(pull)) != nil {
		return nil, nil
	}
	straps := base.Case.Straps
	straps.Pull = pull
	f, err := base.WithStraps(straps)
	if errors.Is(err, seal.ErrTips) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	o := Option{Kind: StepStraps, Settings: s.q.settings()}
	o.Settings.Straps = pull
	o, ok, err := s.predict(o, f)
	if !ok || err != nil {
		return nil, err
	}
	return []Option{o}, nil
}

// newCushion shows the same fitting with a cushion fresh from the pack.
func (s *sweeper) newCushion(ctx context.Context, base *Fitting, _ *Answer) ([]Option, error) {
	set := s.q.settings()
	if set.Cushion == 0 {
		return nil, nil
	}
	set.Cushion = 0
	return s.instead(ctx, Option{Kind: NewCushion, Settings: set, Type: base.Case.Mask.Type})
}

func (s *sweeper) otherSizes(ctx context.Context, base *Fitting, _ *Answer) (out []Option, err error) {
	if s.tied(base) {
		return nil, nil
	}
	for _, size := range mask.Sizes() {
		if size == base.Case.Mask.Size {
			continue
		}
		set := s.q.settings()
		set.Size = size
		more, err := s.instead(ctx, Option{Kind: OtherSize, Settings: set, Type: base.Case.Mask.Type})
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	return out, nil
}

// tied tells whether rim or mismatch were given for this very mask, so that
// another size or type says nothing.
func (s *sweeper) tied(base *Fitting) bool {
	return base.Case.Mismatch != nil || base.Case.Mask.OwnRim()
}

// instead predicts a fitting that needs a new rim, with its window.
func (s *sweeper) instead(ctx context.Context, o Option) ([]Option, error) {
	f, err := s.fitting(o.Settings)
	if errors.Is(err, seal.ErrTips) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	return s.withWindow(ctx, o, f)
}

func (s *sweeper) withWindow(ctx context.Context, o Option, f *Fitting) ([]Option, error) {
	var err error
	if o.Window, err = s.q.window(ctx, f); err != nil {
		return nil, err
	}
	o, ok, err := s.predict(o, f)
	if !ok || err != nil {
		return nil, err
	}
	return []Option{o}, nil
}

// otherTypes puts the other types on the same face, in the size of the same
// name, their straps in the middle of their own window where they have one.
func (s *sweeper) otherTypes(ctx context.Context, base *Fitting, _ *Answer) (out []Option, err error) {
	if s.tied(base) {
		return nil, nil
	}
	for _, kind := range mask.Types() {
		if kind == base.Case.Mask.Type {
			continue
		}
		m, err := mask.Find(kind, base.Case.Mask.Size)
		if err != nil {
			return nil, err
		}
		c := base.Case
		c.Mask = m
		c.Straps.Upper, _ = mask.UpperShare(kind)
		f, err := PutOn(c)
		if errors.Is(err, seal.ErrTips) {
			continue
		}
		if err != nil {
			return nil, err
		}
		o := Option{Kind: OtherType, Settings: s.q.settings(), Type: kind}
		if w, err := s.q.window(ctx, f); err != nil {
			return nil, err
		} else if w.Exists {
			o.Settings.Straps = (w.Low + w.High) / 2
			c.Straps.Pull = o.Settings.Straps
			if f, err = f.WithStraps(c.Straps); err != nil {
				return nil, err
			}
		}
		more, err := s.withWindow(ctx, o, f)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	return out, nil
}
