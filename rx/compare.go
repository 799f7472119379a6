package rx

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// sameVertex is how far a vertex read back may lie from the one written, in
// metres.
const sameVertex = 0.01

// Compare checks that a file read back, shapefile or GeoJSON, is this map: as
// many polygons in the same order, every vertex within 1 cm, every rate within
// half of its last digit, the same ids and product. Rings may begin anywhere,
// turn either way, and holes may stand in any order.
func (m RateMap) Compare(l vector.Layer) error {
	if len(l.Features) != len(m.Features) {
		return fmt.Errorf("%s: read back %s and wrote %d; write the map again", l.Path, countOf(len(l.Features), "polygon"), len(m.Features))
	}
	for i, f := range m.Features {
		if err := m.compareFeature(f, l.Features[i]); err != nil {
			return fmt.Errorf("%s: record %d (zone %s) is not what was written: %w; write the map again", l.Path, i+1, f.ZoneID, err)
		}
	}
	return nil
}

func (m RateMap) compareFeature(f RateFeature, read vector.Feature) error {
	v, _ := read.Get(m.Column())
	rate, ok := v.Number()
	if !ok || math.Abs(rate-f.Rate) > halfDigit(m.Decimals) {
		return fmt.Errorf("the rate is %q, not %s", v.String(), number(f.Rate))
	}
	for _, c := range []struct{ column, want string }{{idColumn, f.ZoneID}, {productColumn, m.Product}} {
		if got, _ := read.Get(c.column); got.String() != c.want {
			return fmt.Errorf("%s is %q, not %q", c.column, got.String(), c.want)
		}
	}
	polygons := read.Outline.Polygons()
	if len(polygons) != 1 {
		return fmt.Errorf("it has %s, not 1", countOf(len(polygons), "polygon"))
	}
	return m.comparePolygon(f.Polygon, polygons[0])
}

func (m RateMap) comparePolygon(want, got orb.Polygon) error {
	if len(want) != len(got) {
		return fmt.Errorf("it has %s, not %d", countOf(len(got), "ring"), len(want))
	}
	rings := make([]orb.Ring, len(got))
	for i, r := range got {
		rings[i] = m.metres(r)
	}
	if !sameRing(m.metres(want[0]), rings[0]) {
		return fmt.Errorf("its outline differs by more than %g m", sameVertex)
	}
	taken := make([]bool, len(rings))
	for _, hole := range want[1:] {
		found := false
		for i := 1; i < len(rings) && !found; i++ {
			found = !taken[i] && sameRing(m.metres(hole), rings[i])
			taken[i] = taken[i] || found
		}
		if !found {
			return fmt.Errorf("a hole differs by more than %g m", sameVertex)
		}
	}
	return nil
}

// metres projects a ring and leaves out the closing point.
func (m RateMap) metres(r orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(r))
	for _, p := range r[:max(len(r)-1, 0)] {
		out = append(out, m.Plane.Project(geo.LonLat(p)))
	}
	return out
}

// sameRing reports whether b is a, begun elsewhere or turned round.
func sameRing(a, b orb.Ring) bool {
	n := len(a)
	if n != len(b) || n == 0 {
		return false
	}
	for start := range b {
		if planar.Distance(a[0], b[start]) > sameVertex {
			continue
		}
		for _, step := range []int{1, n - 1} {
			if runsAlong(a, b, start, step) {
				return true
			}
		}
	}
	return false
}

func runsAlong(a, b orb.Ring, start, step int) bool {
	for k := range a {
		if planar.Distance(a[k], b[(start+k*step)%len(b)]) > sameVertex {
			return false
		}
	}
	return true
}
