// Package trial asks how often package explain is right: on patients drawn from
// its own priors, and on patients of another making that it knows nothing of.
package trial

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"tautline/model/explain"
	"tautline/model/mask"
	"tautline/model/unit"
)

// Six are the causes of the trial, each as common as the others. A hole
// elsewhere grows as a constant gap does and is counted with it; a blocked vent
// and nothing unusual are easy and would flatter.
var Six = []explain.Cause{explain.ConstantGap, explain.LiftOff, explain.MouthOpening, explain.WornCushion,
	explain.WrongVent, explain.SideSleeping}

// Asked are the four questions that some conditions add.
var Asked = []explain.Finding{explain.DryMouth, explain.WorseOnSide, explain.CushionAge, explain.AgainstPalm}

// A Condition is how much is known of each patient.
type Condition struct {
	ID       string
	Readings int
	Single   bool // all readings at the highest pressure, otherwise from 5 cmH2O up
	Asked    bool // the four questions
	Target   float64
}

// Conditions lists what is tried, with the accuracy aimed at on matched
// patients.
func Conditions() []Condition {
	return []Condition{
		{"6_readings", 6, false, false, 0.75}, {"9_readings", 9, false, false, 0.75}, {"12_readings", 12, false, false, 0.80},
		{"9_readings_4_questions", 9, false, true, 0.87},
		{"single_pressure", 9, true, false, 0}, {"single_pressure_4_questions", 9, true, true, 0},
	}
}

const (
	lowest, highest = 5 * unit.CmH2O, 15 * unit.CmH2O
	// separateLoss is how much less may be right on patients of another making.
	separateLoss = 0.07
	// The calibration errors aimed at, and what an 80 % set is to cover.
	calibrated, calibratedSeparate = 0.05, 0.08
	carried, mostInSet             = 0.8, 2.0
)

func (c *Condition) pressures() []unit.Pressure {
	out := make([]unit.Pressure, c.Readings)
	for i := range out {
		out[i] = highest
		if !c.Single {
			out[i] = lowest + (highest-lowest)*unit.Pressure(i)/unit.Pressure(c.Readings-1)
		}
	}
	return out
}

// A Score is one condition on one kind of patients.
type Score struct {
	Condition
	Separate  bool
	Right     Estimate // ties counted by the probability of the true cause
	Most      Estimate // the most probable cause is the true one
	Error     float64  // expected calibration error
	Covered   Estimate // the 80 % set holds the true cause
	SetSize   float64
	Effective float64 // curves that count, mean
	// Confusion counts patients by true cause (row) and most probable cause.
	Confusion [][]int
	Bins      []Bin
	Misses    []Miss
}

// An Estimate is a mean with its 95 % confidence interval.
type Estimate struct{ Value, Low, High float64 }

// A Bin is what became of answers of about one confidence.
type Bin struct {
	Patients          int
	Confidence, Right float64
}

// A Miss is a target that was not reached.
type Miss struct {
	Target      Target
	Wanted, Got float64
}

// A Target is one thing aimed at.
type Target string

// The targets.
const (
	Accuracy    Target = "accuracy"
	Calibration Target = "calibration_error"
	Coverage    Target = "coverage"
	SetSize     Target = "set_size"
)

// A Report is the whole trial.
type Report struct {
	Patients int // of each kind
	Seed     uint64
	Mask     string
	Scores   []Score
}

// Missed tells whether any target was not reached.
func (r *Report) Missed() bool {
	for _, s := range r.Scores {
		if len(s.Misses) > 0 {
			return true
		}
	}
	return false
}

// Run asks n patients of each kind; equal seeds give equal reports.
func Run(ctx context.Context, n int, seed uint64) (Report, error) {
	return run(ctx, n, seed, Conditions())
}

func run(ctx context.Context, n int, seed uint64, conditions []Condition) (Report, error) {
	m, err := mask.Find(mask.Nasal, "medium")
	if err != nil {
		return Report{}, err
	}
	rep := Report{Patients: n, Seed: seed, Mask: m.Name}
	matched, err := newMatched(ctx, m, seed, min(max(n, 100), 1600))
	if err != nil {
		return rep, err
	}
	banks, err := newBanks(ctx, m, seed+1)
	if err != nil {
		return rep, err
	}
	other := newOther(m)
	for _, c := range conditions {
		for _, separate := range []bool{false, true} {
			draw := matched.patient
			if separate {
				draw = other.patient
			}
			s, err := score(ctx, c, separate, n, seed, banks, draw)
			if err != nil {
				return rep, err
			}
			rep.Scores = append(rep.Scores, s)
		}
	}
	return rep, nil
}

// priors are the usual ones, with the six causes equally common.
func priors() explain.Priors {
	p := explain.UsualPriors()
	for c := range p.Common {
		p.Common[c] = 1
	}
	return p
}

// banks are the curves that the answers come from, one bank a statistic.
type banks map[explain.Statistic]*explain.Bank

func newBanks(ctx context.Context, m mask.Mask, seed uint64) (banks, error) {
	out := banks{}
	for _, st := range []explain.Statistic{explain.Mean, explain.Median, explain.Percentile95} {
		b, err := explain.Prepare(ctx, m, highest, st, priors(), seed, 0)
		if err != nil {
			return nil, err
		}
		out[st] = b
	}
	return out, nil
}

// matched draws patients from the priors themselves: curves of its own, not
// those that the answers come from.
type matched struct{ bank *explain.Bank }

func newMatched(ctx context.Context, m mask.Mask, seed uint64, curves int) (*matched, error) {
	b, err := explain.Prepare(ctx, m, highest, explain.Mean, priors(), seed, curves)
	return &matched{b}, err
}

func (m *matched) patient(r *rand.Rand, c explain.Cause, at []unit.Pressure) explain.Question {
	return m.bank.Simulate(r, c, at)
}

// one is what became of one patient.
type one struct {
	truth, said         int // index into Six
	right, confidence   float64
	most, covered       bool
	set, effectiveDraws float64
}

type drawer func(*rand.Rand, explain.Cause, []unit.Pressure) explain.Question

// score asks about n patients of one kind, each from a stream of its own, so
// that the number of cores changes nothing.
func score(ctx context.Context, c Condition, separate bool, n int, seed uint64, b banks, draw drawer) (Score, error) {
	all, failed := make([]one, n), make([]error, n)
	next := make(chan int)
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Go(func() {
			for i := range next {
				stream := uint64(i) << 1
				if separate {
					stream++
				}
				r := rand.New(rand.NewPCG(seed, stream))
				all[i], failed[i] = ask(ctx, &c, i%len(Six), b, func(at []unit.Pressure) explain.Question { return draw(r, Six[i%len(Six)], at) })
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	workers.Wait()
	for _, err := range failed {
		if err != nil {
			return Score{}, err
		}
	}
	s := summed(c, separate, all)
	s.judge()
	return s, nil
}

// ask puts one patient's question.
func ask(ctx context.Context, c *Condition, truth int, b banks, draw func([]unit.Pressure) explain.Question) (one, error) {
	q := draw(c.pressures())
	q.Only = Six
	seen := explain.Seen{}
	if c.Asked {
		for _, f := range Asked {
			seen[f] = q.Seen[f]
		}
	}
	q.Seen = seen
	a, err := b[q.Statistic].Brief(ctx, q)
	if err != nil {
		return one{}, err
	}
	return judged(&a, truth), nil
}

// judged sets an answer beside the truth. Where the most probable cause is in a
// tie with others and the true one among them, the answer is right by the
// probability that the true one was given; so it is where a tie leads wrongly.
func judged(a *explain.Answer, truth int) one {
	lead := a.Leading()
	o := one{truth: truth, confidence: float64(lead.Probability), most: lead.Cause == Six[truth],
		set: float64(len(a.Set)), effectiveDraws: a.Effective}
	for k, c := range Six {
		if c == lead.Cause {
			o.said = k
		}
	}
	if o.most {
		o.right = 1
	}
	for _, t := range a.Ties {
		if holds(t.Causes, lead.Cause) && holds(t.Causes, Six[truth]) {
			o.right = float64(a.Of(Six[truth]).Probability)
		}
	}
	o.covered = holds(a.Set, Six[truth])
	return o
}

func holds(list []explain.Cause, c explain.Cause) bool {
	for _, x := range list {
		if x == c {
			return true
		}
	}
	return false
}

// summed makes a score of what became of the patients.
func summed(c Condition, separate bool, all []one) Score {
	s := Score{Condition: c, Separate: separate, Confusion: make([][]int, len(Six)), Bins: make([]Bin, 10)}
	for k := range s.Confusion {
		s.Confusion[k] = make([]int, len(Six))
	}
	var right, most, covered []float64
	for _, o := range all {
		right, most, covered = append(right, o.right), append(most, share(o.most)), append(covered, share(o.covered))
		s.SetSize += o.set / float64(len(all))
		s.Effective += o.effectiveDraws / float64(len(all))
		s.Confusion[o.truth][o.said]++
		bin := &s.Bins[min(int(o.confidence*10), 9)]
		bin.Patients++
		bin.Confidence += o.confidence
		bin.Right += share(o.most)
	}
	s.Right, s.Most, s.Covered = estimate(right), estimate(most), estimate(covered)
	s.Error = calibrationError(s.Bins)
	return s
}

func share(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// estimate gives a mean with its 95 % interval by the normal distribution.
func estimate(x []float64) Estimate {
	const z = 1.959964
	n, mean, square := float64(len(x)), 0.0, 0.0
	for _, v := range x {
		mean += v / n
	}
	for _, v := range x {
		square += (v - mean) * (v - mean)
	}
	half := z * math.Sqrt(square/(n*max(n-1, 1)))
	return Estimate{mean, mean - half, mean + half}
}

// calibrationError turns the bins' sums into means and gives the expected
// calibration error: over ten bins of the leading cause's probability, the mean
// distance between that probability and how often it was the true cause,
// weighted by patients.
func calibrationError(bins []Bin) float64 {
	sum, n := 0.0, 0
	for i := range bins {
		b := &bins[i]
		if b.Patients == 0 {
			continue
		}
		sum += math.Abs(b.Confidence - b.Right)
		n += b.Patients
		b.Confidence /= float64(b.Patients)
		b.Right /= float64(b.Patients)
	}
	return sum / float64(n)
}

// Aim is the accuracy aimed at; zero for none.
func (s *Score) Aim() float64 {
	if s.Separate && s.Target > 0 {
		return s.Target - separateLoss
	}
	return s.Target
}

// judge lists the targets that were missed. A single pressure has none: what
// can be told from it is said, not aimed at.
func (s *Score) judge() {
	miss := func(t Target, wanted, got float64, missed bool) {
		if missed {
			s.Misses = append(s.Misses, Miss{t, wanted, got})
		}
	}
	target, calibration := s.Aim(), calibrated
	if s.Separate {
		calibration = calibratedSeparate
	}
	if s.Target == 0 {
		return
	}
	miss(Accuracy, target, s.Right.Value, s.Right.Value < target)
	miss(Calibration, calibration, s.Error, s.Error > calibration)
	miss(Coverage, carried, s.Covered.Value, s.Covered.Value < carried)
	miss(SetSize, mostInSet, s.SetSize, s.SetSize >= mostInSet)
}
