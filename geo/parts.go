package geo

import "github.com/paulmach/orb"

// Parts returns the connected pieces of the region, one polygon each, in the
// order of its polygons; pieces that meet in a point are apart.
func (r Region) Parts() []Region {
	polygons := r.Polygons()
	if len(polygons) == 1 {
		return []Region{r} // with its index of edges
	}
	out := make([]Region, len(polygons))
	for i, p := range polygons {
		out[i] = newRegion(r.Plane(), orb.MultiPolygon{p})
	}
	return out
}
