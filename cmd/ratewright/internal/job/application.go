package job

import (
	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen"
)

// plan turns the spec of an application into what package rx works with.
func (j Job) plan(a ApplicationSpec) (rx.Application, error) {
	source, err := j.source(a)
	if err != nil {
		return rx.Application{}, err
	}
	out := rx.Application{
		Name: a.Name, Source: source, Placement: a.Placement, Depth: a.Depth, Shallow: a.Shallow, Date: a.Date,
		Limits: rx.Limits{Min: a.Limits.Min, Max: a.Limits.Max, Step: a.Limits.Step, Of: a.Limits.Of},
		Tank:   rx.Tank{Volume: a.TankVolume, Mass: a.TankMass},
		Map:    rx.MapSpec{Of: a.Map.Of, Unit: j.mapUnit(a, source), Name: a.Map.Name},
		Units:  j.Units,
	}
	if !a.Map.ZeroOffLimits {
		out.Map.OffLimits = rx.OffLimitsNone
	}
	if a.Rate != nil {
		out.Rate = rx.RateRule{Column: a.Rate.Column, Table: a.Rate.Table, Unit: a.Rate.Unit, Of: a.Rate.Of}
	}
	return out, nil
}

// mapUnit is the unit of the rate map: as the job says, or what the trade uses
// for the source. Ammonia is liquid only under pressure and is metered by mass.
func (j Job) mapUnit(a ApplicationSpec, s nitrogen.Source) unit.RateUnit {
	if a.Map.Unit != nil {
		return *a.Map.Unit
	}
	liquid := s.HasDensity && !s.Ammonia && a.Map.Of == unit.Product
	switch {
	case liquid && j.Units == unit.US:
		return unit.GallonsPerAcre
	case liquid:
		return unit.LitresPerHectare
	case j.Units == unit.US:
		return unit.PoundsPerAcre
	default:
		return unit.KgPerHectare
	}
}
