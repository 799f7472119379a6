package rx

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
)

// busyField has a waterway right across, a well, and a pond in its south-east.
func busyField(t testing.TB) Field {
	t.Helper()
	well := outline(t, orb.Point(testPlane(t).Unproject(orb.Point{60, 60})))
	f, err := NewField("Walnut Bottom", polygon(t, -200, -100, 200, -80, 180, 100, -190, 90),
		[]CutOut{{polygon(t, -220, -20, 210, 10, 210, 22, -220, -8), "waterway"}, {rect(t, 100, -70, 130, -50), "pond"}},
		[]Setback{{well, 15, "well"}})
	require.NoError(t, err)
	return f
}

// busyZones: T-junctions where B and C meet the long edge of A, a gap in the
// north-east.
func busyZones(t testing.TB, f Field) []Zone {
	return zonesOf(t, f,
		feature(1, rect(t, -300, -200, 0, 200), "ZONE", "A", "N_LB_AC", 100),
		feature(2, rect(t, 0, -200, 300, -10.3), "ZONE", "B", "N_LB_AC", 183),
		feature(3, polygon(t, 0, -10.3, 300, -10.3, 300, 50, 0, 71.7), "ZONE", "C", "N_LB_AC", 0))
}

func busyMap(t testing.TB) (Prescription, RateMap) {
	t.Helper()
	f := busyField(t)
	p, err := Prescribe(f, busyZones(t, f), sidedress(t))
	require.NoError(t, err)
	m, err := p.RateMap()
	require.NoError(t, err)
	return p, m
}

// sharedVertices fails where a vertex of one polygon lies within a tenth of a
// millimetre of another's edge without being one of its vertices to the last
// bit. It looks at every pair, by itself.
func sharedVertices(t require.TestingT, m RateMap) {
	for i, a := range m.Features {
		own := map[orb.Point]bool{}
		for _, r := range a.Polygon {
			for _, p := range r {
				own[p] = true
			}
		}
		for j, b := range m.Features {
			if i == j {
				continue
			}
			for _, r := range b.Polygon {
				for _, p := range r {
					if own[p] {
						continue
					}
					q := m.Plane.Project(geo.LonLat(p))
					for _, e := range a.Polygon {
						for k := 0; k+1 < len(e); k++ {
							u, v := m.Plane.Project(geo.LonLat(e[k])), m.Plane.Project(geo.LonLat(e[k+1]))
							s, off := alongEdge(u, v, q)
							d := math.Abs(off)
							require.False(t, s >= 0 && s <= 1 && d < 1e-4, "polygon %d has vertex %v on an edge of polygon %d", j, p, i)
						}
					}
				}
			}
		}
	}
}

func TestRateMapOfABusyField(t *testing.T) {
	p, m := busyMap(t)
	require.Regexp(t, `^WA[A-Z0-9]{6}$`, m.Name)
	require.Equal(t, "GAL_AC", m.Column())
	sharedVertices(t, m)
	areas := map[string]float64{}
	for _, ft := range m.Features {
		r, err := polygonRegion(m.Plane, ft.Polygon)
		require.NoError(t, err)
		require.Len(t, r.Polygons(), 1, "single parts")
		require.Equal(t, orb.CCW, ft.Polygon[0].Orientation())
		areas[ft.ZoneID] += m2(r)
	}
	want := map[string]float64{UnzonedID: m2(p.Unzoned), OffLimitsID: m2(p.Field.OffLimits)}
	for _, z := range p.Zones {
		want[z.ZoneID] = m2(z.Region)
	}
	require.Len(t, areas, len(want))
	for id, a := range want {
		require.InEpsilon(t, a, areas[id], 1e-5, id) // vertices at 0.1 mm
	}
	// UAN 32: 3.5392 lb N/gal; 100 lb N/ac is 28.25 gal/ac, 183 is 51.71.
	for _, ft := range m.Features {
		require.Equal(t, map[string]float64{"A": 28.25, "B": 51.71, "C": 0, UnzonedID: 0, OffLimitsID: 0}[ft.ZoneID], ft.Rate, ft.ZoneID)
	}
}

func TestOffLimitsGroundCanStayOut(t *testing.T) {
	f := busyField(t)
	a := sidedress(t)
	a.Map.OffLimits, a.Map.Name = OffLimitsNone, "NORTH-40"
	p, err := Prescribe(f, busyZones(t, f), a)
	require.NoError(t, err)
	m, err := p.RateMap()
	require.NoError(t, err)
	require.Equal(t, "NORTH-40", m.Name)
	for _, ft := range m.Features {
		require.NotEqual(t, OffLimitsID, ft.ZoneID)
	}
	a.Map.Name = "../up"
	p.Application = a
	_, err = p.RateMap()
	require.ErrorContains(t, err, `map name "../up"`)
}

// Two squares side by side; the right one is cut in two, so that its corner
// lies in the middle of the left one's edge, 3 tenths of a millimetre off; the
// first of two near vertices stands.
func TestSnapGivesTheEdgeItsNeighboursVertex(t *testing.T) {
	square := func(x0, y0, x1, y1 float64) orb.Polygon {
		return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
	}
	got := snap(testPlane(t), []orb.Polygon{square(0, 0, 10, 10), square(10.0003, 0, 20, 4), square(9.9998, 4, 20, 10)}, snapTolerance)
	require.Equal(t, []orb.Polygon{{{{0, 0}, {10, 0}, {10.0003, 4}, {10, 10}, {0, 10}, {0, 0}}}}, got.polygons[0])
	require.Equal(t, []orb.Polygon{{{{10, 0}, {20, 0}, {20, 4}, {10.0003, 4}, {10, 0}}}}, got.polygons[1])
	require.Equal(t, []orb.Polygon{{{{10.0003, 4}, {20, 4}, {20, 10}, {10, 10}, {10.0003, 4}}}}, got.polygons[2])
}

func TestSnapFoldsWhatIsTooNarrow(t *testing.T) {
	strip := orb.Polygon{{{0, 0}, {10, 0}, {10, 0.0004}, {0, 0.0004}, {0, 0}}}
	got := snap(testPlane(t), []orb.Polygon{strip}, snapTolerance)
	require.Empty(t, got.polygons[0])
	require.InDelta(t, 0.004, got.lost[0].SquareMetres(), 1e-9)

	// An hourglass with a waist of 0.4 mm comes back as two triangles.
	waist := orb.Polygon{{{0, 0}, {10, 0}, {5.0002, 5}, {10, 10}, {0, 10}, {4.9998, 5}, {0, 0}}}
	require.Len(t, snap(testPlane(t), []orb.Polygon{waist}, snapTolerance).polygons[0], 2)

	// A hole stays a hole of its polygon.
	holed := orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, {{2, 2}, {2, 4}, {4, 4}, {4, 2}, {2, 2}}}
	require.Equal(t, []orb.Polygon{holed}, snap(testPlane(t), []orb.Polygon{holed}, snapTolerance).polygons[0])
}

func TestSimpleLoops(t *testing.T) {
	require.Equal(t, [][]int{{0, 1, 2}}, simpleLoops([]int{0, 1, 2}))
	require.Equal(t, [][]int{{0, 1, 2}}, simpleLoops([]int{0, 0, 1, 3, 1, 2, 2}), "repeats and a step out and back")
	require.ElementsMatch(t, [][]int{{2, 3, 4}, {0, 1, 2}}, simpleLoops([]int{0, 1, 2, 3, 4, 2}), "a pinch makes two")
	require.Empty(t, simpleLoops([]int{0, 1, 0, 1}))
}

// Whatever the zones: neighbours share vertices, the map covers the boundary to
// a millionth, and no check refuses it.
func TestRateMapLaws(t *testing.T) {
	f := busyField(t)
	rapid.Check(t, func(rt *rapid.T) {
		o := DefaultZoneOptions()
		o.Overlap = OverlapFirst
		zones, _, err := NewZones(f, drawZones(t, rt), "ZONE", o)
		require.NoError(rt, err)
		p, err := Prescribe(f, zones, sidedress(t))
		require.NoError(rt, err)
		m, err := p.RateMap()
		require.NoError(rt, err)
		sharedVertices(rt, m)
		plainPolygons(rt, m)
		sum := 0.0
		for _, ft := range m.Features {
			r, err := polygonRegion(m.Plane, ft.Polygon)
			require.NoError(rt, err)
			sum += m2(r)
		}
		require.InEpsilon(rt, m2(f.Boundary), sum, 1e-6)
		require.Empty(rt, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
	})
}
