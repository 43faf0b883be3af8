package report

import (
	"fmt"

	"tautline/model/fit"
)

// CaseName names a case in a picture's title: "Nasal mask, medium, narrow
// bridge, on the back".
func CaseName(q fit.Question) string {
	c := q.Case
	face := c.Face.Name
	if face == "average" {
		face = "average face"
	}
	return fmt.Sprintf("%s mask, %s, %s, %s", capital(TypeWords(c.Mask.Type)), c.Mask.Size, face, c.Position.Name)
}

// LineName names the reference line in a picture.
func LineName(q fit.Question) string {
	if _, own := ownLine(q); own {
		return "your line"
	}
	if q.Line.TakesTime() {
		return fmt.Sprintf("%s line after %s", q.Line.Name, q.Worn)
	}
	return q.Line.Name + " line"
}

// NoAnswer says that the model could not answer, and what may help.
func NoAnswer(name string, err error) error {
	return fmt.Errorf("%s cannot be answered: %w; look at straps, shares and shape there", name, err)
}
