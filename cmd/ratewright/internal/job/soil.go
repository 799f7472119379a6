package job

import (
	"errors"
	"slices"
	"strings"

	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/soil"
)

// soil keeps the map units of the field and adds what the survey's tables know of them.
// A survey covers a county: the others need not be looked at.
func (o *opener) soil(s *SoilSpec, f rx.Field, layer *vector.Layer) error {
	if bounds, ok := f.Boundary.Outline().Bounds(); ok {
		layer.Features = slices.DeleteFunc(layer.Features, func(feature vector.Feature) bool {
			own, ok := feature.Outline.Bounds()
			return ok && !own.Intersects(bounds)
		})
	}
	units, whole, err := soil.Read(s.Tables, s.From, s.To, soil.Keys(layer.Features, s.Key))
	if err != nil {
		return err
	}
	features, notes, err := soil.Attach(layer.Features, s.Key, units)
	if err != nil {
		return err
	}
	layer.Features = features
	for _, name := range soil.Columns() {
		layer.Columns = append(layer.Columns, vector.Column{Name: name})
	}
	o.notes = append(append(o.notes, whole...), notes...)
	return nil
}

// ofSurvey adds to the error of a zone that lacks what the survey should give what was
// said of the survey's map units: why they lack it.
func (o *opener) ofSurvey(err error) error {
	var input *vector.InputError
	if !errors.As(err, &input) || !slices.ContainsFunc(soil.Columns(), func(c string) bool { return strings.HasSuffix(input.What, "column "+c+" is empty") }) {
		return err
	}
	var said []string
	for _, n := range o.notes {
		if strings.HasPrefix(n, soil.NotePrefix) {
			said = append(said, n)
		}
	}
	if len(said) == 0 {
		return err
	}
	told := *input
	told.What += " (of the soil survey: " + strings.Join(said, "; ") + ")"
	return &told
}
