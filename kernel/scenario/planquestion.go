package scenario

import (
	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/plan"
)

// PlanParts are the sections of a patient file that a plan cannot do without.
func PlanParts() []Part { return []Part{FacePart, GatesPart, PressurePart, LimitPart} }

// PlanOf gives what a plan is asked about a patient, before a stock is there.
func PlanOf(p Patient) plan.Question {
	q := plan.Question{Range: p.Therapy.Range, Limit: p.Therapy.Limit, Line: p.Therapy.Line, Worn: p.Therapy.Worn,
		Tried: p.Tried, Gates: p.Gates, Look: p.Look, Seed: usualSeed}
	q.Position, _ = fit.FindPosition(p.Therapy.Position)
	return q
}

// usualSeed draws the same simulated persons each time unless another is named.
const usualSeed = 1

// PlanQuestion puts what is known of a patient and a shelf together.
func PlanQuestion(p Patient, s Stock) (plan.Question, error) {
	q := PlanOf(p)
	q.Stock = s.Masks
	if err := q.Check(); err != nil {
		return q, problem(p.File, 0, "cannot be planned for: %v", err)
	}
	return q, nil
}

// UsualStock is a shelf with one of every mask of the catalogue, vented and
// without magnets, for those who name none. It is said with the answer.
func UsualStock() Stock {
	s := Stock{File: UsualStockName, About: "one of every mask of the catalogue (invented)"}
	for _, t := range mask.Types() {
		for _, size := range mask.Sizes() {
			s.Masks = append(s.Masks, plan.Item{Type: t, Size: size, Vented: true, Count: 1})
		}
	}
	return s
}

// UsualStockName stands for a stock file where none is given.
const UsualStockName = "every mask of the catalogue"
