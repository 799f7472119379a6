package asapplied

import (
	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/rx"
)

// field is the ground that a log is held against.
type field struct {
	plane    geo.Plane
	boundary geo.Region
	reach    orb.Bound // the boundary's box and otherFieldM around it
	offLimit geo.Region
	zones    []rx.Zone
	plan     []rx.RateZone
}

func newField(in *Input) field {
	f := field{
		plane: in.Field.Plane, boundary: in.Field.Boundary, offLimit: in.Field.OffLimits,
		zones: in.Zones, plan: in.Plan,
	}
	f.reach = f.boundary.Bound().Pad(otherFieldM)
	return f
}

// near tells whether a place is within reach of the field.
func (f *field) near(p orb.Point) bool {
	return f.reach.Contains(p) && f.boundary.DistanceTo(p).Metres() <= otherFieldM
}

// The layers of the sweep.
const (
	layerBoundary = iota
	layerOffLimits
	layerZones
	layerPlan
)

func (f *field) layers() []cover.Layer {
	one := func(r geo.Region) cover.Layer { return cover.Layer{r.Polygons()} }
	zones := make(cover.Layer, len(f.zones))
	for i := range f.zones {
		zones[i] = f.zones[i].Region.Polygons()
	}
	plan := make(cover.Layer, len(f.plan))
	for i := range f.plan {
		plan[i] = f.plan[i].Region.Polygons()
	}
	return []cover.Layer{layerBoundary: one(f.boundary), layerOffLimits: one(f.offLimit), layerZones: zones, layerPlan: plan}
}
