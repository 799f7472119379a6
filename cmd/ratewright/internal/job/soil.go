package job

import (
	"slices"

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
