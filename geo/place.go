package geo

import (
	"math"

	"github.com/paulmach/orb"

	"ratewright/geo/unit"
)

// Contains reports whether a point in metres lies in the region; for a point on
// its edge the answer is either.
func (r Region) Contains(q orb.Point) bool {
	if r.IsEmpty() || !r.ground.bound.Contains(q) {
		return false
	}
	return r.ground.index().contains(q)
}

// DistanceTo returns how far a point in metres lies from the region: 0 inside,
// and infinite from an empty region.
func (r Region) DistanceTo(q orb.Point) unit.Length {
	if r.IsEmpty() {
		return unit.Metres(math.Inf(1))
	}
	if r.Contains(q) {
		return 0
	}
	return unit.Metres(r.ground.index().nearest(q, math.Inf(1)))
}
