package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

const (
	// noiseM is the width in metres below which a piece of ground is noise of
	// the projection and of crossings rounded to float64 (1e-9 m near a field),
	// not ground.
	noiseM = 1e-8
	// sameM is the distance in metres within which neighbouring vertices of a
	// ring are one: an overlay leaves clusters where edges nearly coincide.
	sameM = 1e-9
)

// ofOverlay makes a region of what the overlay library returned. Where nearly
// equal edges left a ring that touches itself, the ring is rounded to a grid of
// sameM and joined once more. The library's own error is handed on.
func ofOverlay(p Plane, g geom.Geometry, err error) (Region, error) {
	if err != nil {
		return Region{}, err
	}
	r := newRegion(p, fromGeom(nil, g))
	wrong := fault(r.Polygons())
	if wrong == nil {
		return r, nil
	}
	g = toGeom(r.Polygons()).SnapToGrid(9)
	g, err = geom.Union(g, g) // with one operand the library does nothing
	if err != nil {
		return Region{}, err
	}
	r = newRegion(p, fromGeom(nil, g))
	if fault(r.Polygons()) != nil {
		return Region{}, fmt.Errorf("its result is not valid (%w)", wrong)
	}
	return r, nil
}

// tidyPolygon winds the rings, drops vertices and holes that are noise, and
// returns nil for a polygon that is.
func tidyPolygon(p orb.Polygon) (orb.Polygon, float64) {
	if len(p) == 0 {
		return nil, 0
	}
	shell := withoutClusters(p[0])
	if isThin(shell) {
		return nil, 0
	}
	out := orb.Polygon{wound(shell, true)}
	area := ringAreaM2(out[0])
	for _, h := range p[1:] {
		h = withoutClusters(h)
		if isThin(h) {
			continue
		}
		h = wound(h, false)
		out = append(out, h)
		area += ringAreaM2(h)
	}
	return out, area
}

// withoutClusters drops vertices within sameM of the one before.
func withoutClusters(r orb.Ring) orb.Ring {
	near := func(a, b orb.Point) bool { return math.Abs(a[0]-b[0]) <= sameM && math.Abs(a[1]-b[1]) <= sameM }
	clean := true
	for k := 1; k < len(r) && clean; k++ {
		clean = !near(r[k-1], r[k])
	}
	if clean {
		return r
	}
	out := orb.Ring{r[0]}
	for _, q := range r[1:] {
		if !near(out[len(out)-1], q) {
			out = append(out, q)
		}
	}
	for len(out) > 1 && near(out[0], out[len(out)-1]) {
		out = out[:len(out)-1]
	}
	return append(out, out[0])
}

// isThin reports whether a ring encloses nothing but noise.
func isThin(r orb.Ring) bool {
	return math.Abs(ringAreaM2(r)) <= noiseM*ringLengthM(r)/2
}
