package population

import (
	"errors"
	"slices"

	"tautline/model/fit"
	"tautline/model/mask"
	"tautline/model/unit"
)

// A Question is what is asked of many faces: what a fitting asks of one, with
// how many faces and which. The face and the strap pull of the fitting do not
// count; its mask, position, cushion, circuit and limits do.
type Question struct {
	fit.Question
	Types []mask.Type // each in all sizes; none: all of the catalogue
	Faces int
	Seed  uint64
	Women unit.Fraction // share of women among the faces
}

// Most is how many faces one question may ask for.
const Most = 100_000_000

// FacesRecord is how many faces are drawn unless stated.
var FacesRecord = unit.Parameter{Name: "number of faces", Value: 2000, Low: 1, High: Most, Fixed: "chosen",
	Meaning: "faces drawn", Origin: unit.Assumed, Source: "assumed: counts a share to within about 2 points"}

// Usual asks a fitting's question of the usual number of faces, its mask's own
// type first.
func Usual(q fit.Question) Question {
	return Question{Question: q, Faces: int(FacesRecord.Value), Seed: 1, Women: unit.Fraction(WomenShare.SI())}
}

// Check refuses a question that cannot be answered, naming what is wrong.
func (q *Question) Check() error {
	if err := q.Question.Check(); err != nil {
		return err
	}
	if err := FacesRecord.Check(float64(q.Faces)); err != nil {
		return err
	}
	if err := WomenShare.Check(float64(q.Women)); err != nil {
		return err
	}
	if q.Case.Mismatch != nil {
		return errors.New("the mismatch is stated segment by segment, so that other faces would change nothing: leave it out")
	}
	if q.Case.Mask.OwnRim() {
		return errors.New("the rim is stated, so that there are no other sizes of it: name a size of the catalogue")
	}
	return nil
}

// types gives those asked for in the order of the catalogue, each once.
func (q *Question) types() ([]mask.Type, error) {
	for _, kind := range q.Types {
		if !slices.Contains(mask.Types(), kind) {
			_, err := mask.Find(kind, mask.Sizes()[0]) // names the types there are
			return nil, err
		}
	}
	if len(q.Types) == 0 {
		return mask.Types(), nil
	}
	return slices.DeleteFunc(mask.Types(), func(kind mask.Type) bool { return !slices.Contains(q.Types, kind) }), nil
}

// masks gives the sizes of one type; what was stated of the fitting's own mask
// holds for all of its sizes.
func (q *Question) masks(kind mask.Type) (out [sizeCount]mask.Mask, err error) {
	for i, size := range mask.Sizes() {
		if out[i], err = mask.Find(kind, size); err != nil {
			return out, err
		}
		if own := q.Case.Mask; own.Type == kind {
			out[i] = own.Resized(out[i])
		}
	}
	return out, nil
}
