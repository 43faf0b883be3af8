package explain

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"tautline/model/mask"
	"tautline/model/unit"
)

const tell = 15 * unit.CmH2O // the highest pressure of the tests' readings

// bankFor draws few curves: enough for tests, quick on a busy machine.
func bankFor(t testing.TB, kind mask.Type, st Statistic) *Bank {
	t.Helper()
	m, err := mask.Find(kind, "medium")
	if err != nil {
		t.Fatal(err)
	}
	b, err := Prepare(context.Background(), m, tell, st, Priors{}, 7, 160)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// asked makes a question of leaks in L/min at pressures in cmH2O.
func asked(b *Bank, at []float64, leaks ...float64) Question {
	q := Question{Mask: b.Mask, Which: Unintentional, Statistic: b.Statistic, Chooser: PersonStepped}
	for i, leak := range leaks {
		q.Readings = append(q.Readings, Reading{Pressure: unit.Pressure(at[i]) * unit.CmH2O, Flow: unit.Flow(leak) * unit.LPerMin})
	}
	return q
}

func answer(t testing.TB, b *Bank, q Question) Answer {
	t.Helper()
	a, err := b.Explain(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

var stepped = []float64{5, 6, 7, 8, 9, 10, 11, 13, 15}

// Clear cases, made by hand, each with the tests that a therapist would do.
func TestClearCasesComeOut(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	vent := func(p float64) float64 {
		v, _ := b.vent.Flow(unit.Pressure(p) * unit.CmH2O)
		return v.LPerMin()
	}
	curve := func(f func(p float64) float64) (out []float64) {
		for _, p := range stepped {
			out = append(out, f(p))
		}
		return out
	}
	for _, c := range []struct {
		want  Cause
		leaks []float64
		seen  Seen
	}{
		{MouthOpening, []float64{1, 1, 1, 8, 16, 22, 27, 36, 43}, Seen{DryMouth: 1, LipsClosed: 1, AirFelt: 2}},
		{LiftOff, []float64{0, 1, 1, 0, 2, 4, 8, 19, 38}, Seen{AirFelt: 1, FingerPressure: 1, LipsClosed: 2}},
		{HoleElsewhere, curve(func(p float64) float64 { return 22 * math.Sqrt(p/15) }), Seen{AgainstPalm: 1, AirFelt: 3, DampHand: 2}},
		{BlockedVent, curve(func(p float64) float64 { return -0.6 * vent(p) }), Seen{}},
		{WornCushion, curve(func(p float64) float64 { return 26 * math.Pow(p/15, 1.8) }), Seen{CushionAge: 4, CushionLooks: 2}},
		{SideSleeping, []float64{1, 14, 1, 0, 17, 2, 18, 1, 24}, Seen{WorseOnSide: 1}},
		{NothingUnusual, curve(func(float64) float64 { return 1 }), Seen{AirFelt: 4}},
	} {
		q := asked(b, stepped, c.leaks...)
		q.Seen = c.seen
		if a := answer(t, b, q); a.Leading().Cause != c.want || a.Leading().Probability < 0.6 {
			t.Errorf("%s: %s leads with %s", c.want.ID(), a.Leading().Cause.ID(), a.Leading().Probability)
		}
	}
}

// Less flow than the vent passes is said before anything else, whichever flow
// the readings are, and a look at the vent is the first thing to do.
func TestBelowTheVentIsSaidFirst(t *testing.T) {
	b := bankFor(t, mask.Oronasal, Mean)
	q := asked(b, []float64{8, 10, 15}, 14, 18, 22)
	q.Which = TotalFlow
	a := answer(t, b, q)
	if len(a.Flags) == 0 || a.Flags[0] != BelowVent {
		t.Errorf("flags %v, want BelowVent first", a.Flags)
	}
	if a.Actions[0].Kind != LookAtVent {
		t.Errorf("first to do is %s", a.Actions[0].Kind.ID())
	}
	if p := a.Of(BlockedVent).Probability + a.Of(WrongVent).Probability; p < 0.95 {
		t.Errorf("vent blocked or wrong: %s", p)
	}
	q.Readings[0].Flow, q.Readings[1].Flow, q.Readings[2].Flow = 30*unit.LPerMin, 34*unit.LPerMin, 42*unit.LPerMin
	for _, f := range answer(t, b, q).Flags {
		if f == BelowVent {
			t.Error("an ordinary flow counts as below the vent's")
		}
	}
}

// At one pressure a constant gap and a worn cushion stay as likely as they were
// to each other, however often it is read and whatever is read.
func TestOnePressureNeverPartsGapAndWornCushion(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "readings")
		leak := rapid.Float64Range(-10, 60).Draw(t, "leak")
		q := Question{Mask: b.Mask, Which: Unintentional, Statistic: Mean}
		for range n {
			q.Readings = append(q.Readings, Reading{Pressure: tell, Flow: unit.Flow(leak) * unit.LPerMin})
		}
		a, err := b.Brief(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		gap, worn := a.Of(ConstantGap), a.Of(WornCushion)
		ratio := float64(gap.Probability/worn.Probability) / float64(gap.Prior/worn.Prior)
		if gap.Probability > 1e-9 && math.Abs(ratio-1) > 0.01 {
			t.Fatalf("%d readings of %.1f L/min move the odds by a factor of %.3f", n, leak, ratio)
		}
	})
}

// Such a pair is told as a tie, with another pressure as what would break it.
func TestTheTieIsToldWithWhatBreaksIt(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	q := asked(b, []float64{15, 15, 15}, 12, 13, 12)
	a := answer(t, b, q)
	for _, tie := range a.Ties {
		if has(tie.Causes, ConstantGap) && has(tie.Causes, WornCushion) {
			for _, br := range tie.Breaks {
				if br.Kind == AnotherPressure {
					return
				}
			}
		}
	}
	t.Errorf("ties %v", a.Ties)
}

func has(list []Cause, c Cause) bool {
	for _, x := range list {
		if x == c {
			return true
		}
	}
	return false
}

// Random questions: probabilities add up to one, the order of readings changes
// nothing to the last digit, "don't know" changes nothing, the set carries 80 %.
func TestWhatHoldsOfEveryAnswer(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		r := rand.New(rand.NewPCG(seed, 1))
		var at []unit.Pressure
		for range 1 + r.IntN(8) {
			at = append(at, unit.Pressure(4+11*r.Float64())*unit.CmH2O)
		}
		q := b.Simulate(r, Cause(r.IntN(int(CauseCount))), append(at, tell))
		for f := range q.Seen {
			if r.IntN(2) == 0 {
				q.Seen[f] = DontKnow
			}
		}
		a, err := b.Brief(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		sum, set := 0.0, 0.0
		for _, x := range a.Causes {
			sum += float64(x.Probability)
			if has(a.Set, x.Cause) {
				set += float64(x.Probability)
			}
		}
		if math.Abs(sum-1) > 1e-9 || set < carried {
			t.Fatalf("probabilities add up to %.12f, the set to %.3f", sum, set)
		}
		r.Shuffle(len(q.Readings), func(i, j int) { q.Readings[i], q.Readings[j] = q.Readings[j], q.Readings[i] })
		again, _ := b.Brief(context.Background(), q)
		for i := range a.Causes {
			if x, y := a.Causes[i], again.Causes[i]; x.Cause != y.Cause || x.Probability != y.Probability || x.Effective != y.Effective {
				t.Fatalf("in another order %v became %v", a.Causes[i], again.Causes[i])
			}
		}
	})
}

// A finding that nobody looked at is a factor of one: all of them unknown give
// what the readings alone give, and a test whose chances are the same under all
// causes gives that too.
func TestDontKnowChangesNothing(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	q := asked(b, stepped, 0, 1, 1, 0, 2, 4, 8, 19, 38)
	for _, r := range answer(t, b, q).Causes {
		if r.Probability != r.ByReadings {
			t.Errorf("%s: %s after the findings, %s before", r.Cause.ID(), r.Probability, r.ByReadings)
		}
	}
}

// On a self-adjusting machine the same readings say far less, and that is said.
func TestASelfAdjustingMachineDecidesLess(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	q := asked(b, stepped, 0, 1, 1, 0, 2, 4, 8, 19, 38)
	by := answer(t, b, q)
	q.Chooser = MachineAdjusted
	a := answer(t, b, q)
	if a.Leading().Probability > 0.6 || by.Leading().Probability < a.Leading().Probability+0.25 {
		t.Errorf("stepped %s, adjusted %s", by.Leading().Probability, a.Leading().Probability)
	}
	if a.Flags[0] != SelfAdjusting {
		t.Errorf("flags %v", a.Flags)
	}
	if len(a.Ties) == 0 || a.Ties[0].Breaks[0].Kind != StepByHand {
		t.Errorf("ties %v", a.Ties)
	}
}

// The further test is the one whose outcomes tell most, its outcomes' chances
// add up to one, and what they would do averages to what is known now.
func TestTheNextTestKeepsTheProbabilities(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	a := answer(t, b, asked(b, stepped, 8, 9, 10, 10, 11, 12, 12, 14, 15))
	if !a.HasNext || !a.Next.Finding.TenSeconds() || a.Next.Bits <= 0 || a.Next.Bits > 1 {
		t.Fatalf("next %+v", a.Next)
	}
	var chance unit.Fraction
	var mean byCause
	for _, o := range a.Next.Outcomes {
		chance += o.Chance
		for _, r := range o.After {
			mean[r.Cause] += float64(o.Chance * r.Probability)
		}
	}
	if math.Abs(float64(chance)-1) > 1e-9 {
		t.Errorf("chances add up to %s", chance)
	}
	// An outcome may bring to light a leak on the side that no reading shows: the
	// two causes between which it is counted go together.
	together := func(v byCause) byCause {
		v[NothingUnusual], v[SideSleeping] = v[NothingUnusual]+v[SideSleeping], 0
		return v
	}
	var now byCause
	for _, r := range a.Causes {
		now[r.Cause] = float64(r.Probability)
	}
	mean, now = together(mean), together(now)
	for c := range CauseCount {
		if math.Abs(mean[c]-now[c]) > 1e-9 {
			t.Errorf("%s averages to %.4f, not %.4f", c.ID(), mean[c], now[c])
		}
	}
}

// Quiet readings are no sign of a leak on the side, however few they are; told
// that it is worse there, the same readings leave room for one. A leak in one
// reading of several is a sign.
func TestQuietReadingsAreNoSignOfTheSide(t *testing.T) {
	for _, kind := range mask.Types() {
		b := bankFor(t, kind, Mean)
		for _, at := range [][]float64{{15}, {8, 15}, {8, 11, 15}} {
			q := asked(b, at, []float64{1, 2, 1}[:len(at)]...)
			a := answer(t, b, q)
			if side := a.Of(SideSleeping).Probability; side > 0.1 || a.Leading().Cause != NothingUnusual {
				t.Errorf("%s, %d quiet readings: %s leads, side %s", kind, len(at), a.Leading().Cause.ID(), side)
			}
			if a.Flags[len(a.Flags)-1] != QuietAsRead {
				t.Errorf("%s, %d quiet readings: flags %v", kind, len(at), a.Flags)
			}
			q.Seen[WorseOnSide] = 1
			if a = answer(t, b, q); a.Leading().Cause != SideSleeping {
				t.Errorf("%s, told of the side: %s leads", kind, a.Leading().Cause.ID())
			}
		}
		a := answer(t, b, asked(b, []float64{8, 10, 12, 15}, 1, 22, 1, 1))
		if side := a.Of(SideSleeping).Probability; side < 0.5 {
			t.Errorf("%s: a leak in one reading of four gives the side %s", kind, side)
		}
	}
}

// Another size or type is tried on the faces that leak like this one: figures
// with a spread, and the same for the same seed.
func TestAnotherMaskHasFigures(t *testing.T) {
	for _, kind := range []mask.Type{mask.Nasal, mask.Oronasal} {
		b := bankFor(t, kind, Mean)
		q := asked(b, stepped, 0, 1, 1, 0, 2, 4, 8, 19, 38)
		q.Seen[LipsClosed] = 2
		a := answer(t, b, q)
		count := map[ActionKind]int{}
		for i, act := range a.Actions {
			count[act.Kind]++
			if act.Kind != OtherSize && act.Kind != OtherType {
				continue
			}
			spread := act.After.High > act.After.Low || act.Type == mask.Pillows // held by nostrils
			if !act.Predicted || !spread || act.Contact[0] >= act.Contact[2] || act.Size == "" {
				t.Errorf("%s: %s %s %s: %+v", kind, act.Kind.ID(), act.Type, act.Size, act)
			}
			if again := answer(t, b, q).Actions[i]; again != act {
				t.Errorf("%s: %s changes from one asking to the next", kind, act.Kind.ID())
			}
		}
		if count[CheckSize] != 1 || count[OtherSize] != 2 || count[OtherType] != 2 {
			t.Errorf("%s: %v", kind, count)
		}
	}
}

// The same mask put on again, with the same pull, leaves what it left: what is
// said of another mask is the mask's doing. (Straps set anew are held here.)
func TestTheSameMaskChangesNothing(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	var faces []possibility
	for i := range b.draws[LiftOff] {
		faces = append(faces, possibility{cause: LiftOff, draw: &b.draws[LiftOff][i], weight: 1})
	}
	same := other{mask: b.Mask, kind: OtherSize}
	b.try(&same, faces, func(int) float64 { return 1 })
	for i, x := range same.on {
		if x.tips || math.Abs(x.leaves-1) > 1e-6 || math.Abs(x.press) > 1e-3 {
			t.Fatalf("face %d: leaves %.6f of the leak, presses %.3f Pa more", i, x.leaves, x.press)
		}
	}
}

// Curves of another seed must give about the same answer, and equal seeds the
// same to the last digit on one core and on many.
func TestSeeds(t *testing.T) {
	m, _ := mask.Find(mask.Nasal, "medium")
	q := asked(&Bank{Mask: m}, stepped, 3, 4, 6, 7, 9, 10, 12, 15, 20)
	q.Statistic = Mean
	first, err := Explain(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	again, _ := Explain(context.Background(), q)
	q.Seed = 99
	other, _ := Explain(context.Background(), q)
	for c := range CauseCount {
		if first.Of(c).Probability != again.Of(c).Probability {
			t.Errorf("%s is not reproduced", c.ID())
		}
		if d := math.Abs(float64(first.Of(c).Probability - other.Of(c).Probability)); d > 0.12 {
			t.Errorf("%s moves by %.2f with the seed", c.ID(), d)
		}
	}
}

func TestQuestionsThatCannotBeAnswered(t *testing.T) {
	b := bankFor(t, mask.Nasal, Mean)
	for name, spoil := range map[string]func(*Question){
		"no readings":    func(q *Question) { q.Readings = nil },
		"which flow":     func(q *Question) { q.Which = WhichNotSaid },
		"negative total": func(q *Question) { q.Which = TotalFlow; q.Readings[0].Flow = -1 * unit.LPerMin },
		"wrong unit":     func(q *Question) { q.Readings[0].Flow = 500 * unit.LPerMin },
		"pressure":       func(q *Question) { q.Readings[0].Pressure = 100 * unit.CmH2O },
		"not a number":   func(q *Question) { q.Readings[0].Flow = unit.Flow(math.NaN()) },
		"no mask":        func(q *Question) { q.Mask = mask.Mask{} },
		"outcome":        func(q *Question) { q.Seen[DryMouth] = 9 },
	} {
		q := asked(b, stepped, 1, 1, 1, 1, 1, 1, 1, 1, 1)
		spoil(&q)
		if _, err := Explain(context.Background(), q); err == nil {
			t.Errorf("%s: answered", name)
		}
	}
	if err := func() error { p := UsualPriors(); return p.Check() }(); err != nil {
		t.Error(err)
	}
}

// The records of the priors lie in their ranges and say where they come from.
func TestRecords(t *testing.T) {
	for _, p := range Parameters() {
		if p.Source == "" || p.Meaning == "" || p.Value < p.Low || p.Value > p.High {
			t.Errorf("%+v", p)
		}
	}
}

// Within an oronasal mask an open mouth shows at the chin: curves of the seal
// with its chin drawn back, which leak at once and not from the lips' pressure
// on, and more the further the jaw drops.
func TestAnOpenMouthWithinTheMaskOpensTheChin(t *testing.T) {
	b := bankFor(t, mask.Oronasal, Mean)
	early := 0
	for _, d := range b.draws[MouthOpening] {
		for i := 1; i < len(d.shape); i++ {
			if d.shape[i] < d.shape[i-1]-1e-9 {
				t.Fatalf("a leak falls with pressure: %v", d.shape)
			}
		}
		if d.shape[b.top/2] > 0.02 {
			early++
		}
	}
	if early == 0 {
		t.Error("no dropped jaw leaks at half the pressure")
	}
	s := b.sealer()
	opened := 0
	for i := range uint64(40) {
		at := 1.1 * float64(b.Top)
		if leak, full := leakOf(s, rand.New(rand.NewPCG(i, 4)), b, at, 0); leak && full > float64(0.1*unit.LPerMin) {
			t.Errorf("a mask that holds leaks %.3g m3/s with the jaw where it was", full)
		}
		if leak, _ := leakOf(s, rand.New(rand.NewPCG(i, 4)), b, at, 6*unit.Mm); leak {
			opened++
		}
	}
	if opened < 20 {
		t.Errorf("a jaw that drops by 6 mm opens %d of 40 chins", opened)
	}
}

func leakOf(s *sealer, r *rand.Rand, b *Bank, opens float64, drop unit.Length) (bool, float64) {
	_, full, ok := s.dropped(r, b.grid, b.top, opens, drop)
	return ok, full
}
