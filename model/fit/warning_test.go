package fit

import (
	"slices"
	"testing"

	"tautline/model/face"
	"tautline/model/mask"
	"tautline/model/unit"
)

// TestWarningsAreEarned: an ordinary vented nasal mask at 4 cmH2O gives no
// alarm (Monaldi Arch Chest Dis 2008, 10.4081/monaldi.2008.388); a vent nearly
// shut, a leak beyond the machine and a crushed cushion do.
func TestWarningsAreEarned(t *testing.T) {
	at, _ := FindPosition("on the back")
	point := func(pull unit.Force, set unit.Pressure, change func(*Case)) Point {
		m, err := mask.Find(mask.Nasal, "medium")
		if err != nil {
			t.Fatal(err)
		}
		c := NewCase(m, face.Average(), pull, at)
		if change != nil {
			change(&c)
		}
		f, err := PutOn(c)
		if err != nil {
			t.Fatal(err)
		}
		p, err := f.At(set)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	if p := point(3, 4*unit.CmH2O, nil); len(p.Warnings) > 0 {
		t.Errorf("an ordinary nasal mask at 4 cmH2O warns: %v", p.Warnings)
	}
	blocked := func(c *Case) { c.Mask.Vent = c.Mask.Vent.Blocked(0.8) }
	if p := point(3, 10*unit.CmH2O, blocked); !slices.Contains(p.Warnings, BelowWashout) {
		t.Errorf("a vent four fifths blocked passes %v without a warning", p.Vent)
	}
	if p := point(0.5, 20*unit.CmH2O, nil); !slices.Contains(p.Warnings, SourceLimit) {
		t.Errorf("a leak of %v, more than the machine gives, without a warning", p.Leak)
	}
	if p := point(20, 10*unit.CmH2O, nil); !slices.Contains(p.Warnings, Crushed) {
		t.Error("20 N on a nasal mask do not count as crushing it")
	}
}

func TestOwnRimHasNoOtherSize(t *testing.T) {
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		t.Fatal(err)
	}
	if m.OwnRim() {
		t.Error("a rim of the catalogue counts as stated")
	}
	m.Rims = slices.Clone(m.Rims)
	m.Rims[0].Width += 2 * unit.Mm
	if !m.OwnRim() {
		t.Error("a rim 2 mm wider counts as the catalogue's")
	}
	c := NewCase(m, face.Average(), 3, Position{})
	if err := (Axis{Variable: BySize, Names: mask.Sizes()}).check(&c); err == nil {
		t.Error("sizes of a stated rim are swept")
	}
}
