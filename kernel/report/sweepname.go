package report

import (
	"fmt"
	"slices"
	"strings"

	"tautline/model/fit"
	"tautline/model/mask"
)

// CaseName names a case in a picture's title: "Nasal mask, medium, narrow
// bridge, on the back". What is swept is left to the picture.
func CaseName(q fit.Question) string {
	c := q.Case
	parts := []string{capital(TypeWords(c.Mask.Type)) + " mask"}
	if c.Mask.Type == mask.Pillows {
		parts[0] = "Nasal pillows"
	}
	if !sweeps(q, fit.BySize) {
		parts = append(parts, c.Mask.Size)
	}
	face := c.Face.Name
	if face == "average" {
		face = "average face"
	}
	parts = append(parts, face)
	if !sweeps(q, fit.ByPosition) {
		parts = append(parts, c.Position.Name)
	}
	return strings.Join(parts, ", ")
}

func sweeps(q fit.Question, v fit.Variable) bool {
	return slices.ContainsFunc(q.Axes, func(x fit.Axis) bool { return x.Variable == v })
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
