package asapplied

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/rx"
)

// field is the ground that a log is held against.
type field struct {
	plane    geo.Plane
	boundary geo.Region
	near     reach
	offLimit geo.Region
	zones    []rx.Zone
	plan     []rx.RateZone
}

func newField(in *Input) *field {
	f := &field{
		plane: in.Field.Plane, boundary: in.Field.Boundary, offLimit: in.Field.OffLimits,
		zones: in.Zones, plan: in.Plan,
	}
	f.near = newReach(f.boundary)
	return f
}

// places puts the records of a log in the plane; NaN where one lies beyond reach.
func (f *field) places(log *Log, workers int) []orb.Point {
	out := make([]orb.Point, log.Len())
	inChunks(len(out), workers, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			out[i] = f.plane.Project(geo.LonLat{log.Lon[i], log.Lat[i]})
			if !f.near.holds(out[i]) {
				out[i] = orb.Point{math.NaN(), math.NaN()}
			}
		}
	})
	return out
}

// The layers of the sweep.
const (
	layerBoundary = iota
	layerOffLimits
	layerZones
	layerPlan // empty where the zones tell of rates, too
)

// isOnZones reports whether the rate zones are the zones, as in a prescription of our own.
func isOnZones(plan []rx.RateZone, zones []rx.Zone) bool {
	return slices.EqualFunc(plan, zones, func(p rx.RateZone, z rx.Zone) bool { return p.Region == z.Region })
}

func (f *field) layers() []cover.Layer {
	one := func(r geo.Region) cover.Layer { return cover.Layer{r.Polygons()} }
	zones := make(cover.Layer, len(f.zones))
	for i := range f.zones {
		zones[i] = f.zones[i].Region.Polygons()
	}
	var plan cover.Layer
	if !isOnZones(f.plan, f.zones) {
		for i := range f.plan {
			plan = append(plan, f.plan[i].Region.Polygons())
		}
	}
	return []cover.Layer{layerBoundary: one(f.boundary), layerOffLimits: one(f.offLimit), layerZones: zones, layerPlan: plan}
}
