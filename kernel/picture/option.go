package picture

import (
	"strings"

	"tautline/model/fit"
	"tautline/model/unit"
)

// An Option adjusts a picture. One that has no meaning for it changes nothing.
type Option func(*options)

type options struct {
	name   string
	others []fit.Point
	floor  unit.Flow
	start  baseline
}

func gather(all []Option) options {
	var o options
	for _, set := range all {
		set(&o)
	}
	return o
}

// Named puts the case at the head of the picture: "Nasal, medium, narrow bridge".
func Named(name string) Option {
	return func(o *options) { o.name = strings.TrimSpace(name) }
}

// ScaledFor makes the band widths and arrows of a rim comparable with the
// pictures of these other points: the scales are those that the largest of all
// of them needs.
func ScaledFor(others ...fit.Point) Option {
	return func(o *options) { o.others = append(o.others, others...) }
}

// WashoutFloor draws the flow that a mask vent needs for clearing the breath as
// a thin labelled line on its curve.
func WashoutFloor(q unit.Flow) Option { return func(o *options) { o.floor = q } }
