package rx

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// plainPolygons fails where a polygon of a map has an edge twice, or where the
// ground of its rings is not one polygon of as many rings: then a reader that
// takes the rings as they are finds it invalid.
func plainPolygons(t require.TestingT, m RateMap) {
	for i, ft := range m.Features {
		edges := map[[2]orb.Point]bool{}
		for _, ring := range ft.Polygon {
			for k := 0; k+1 < len(ring); k++ {
				require.False(t, edges[[2]orb.Point{ring[k], ring[k+1]}] || edges[[2]orb.Point{ring[k+1], ring[k]}], "polygon %d (%s) has an edge twice", i+1, ft.ZoneID)
				edges[[2]orb.Point{ring[k], ring[k+1]}] = true
			}
		}
		r, err := polygonRegion(m.Plane, ft.Polygon)
		require.NoError(t, err)
		require.Len(t, r.Polygons(), 1, "polygon %d (%s)", i+1, ft.ZoneID)
		require.Len(t, r.Polygons()[0], len(ft.Polygon), "polygon %d (%s)", i+1, ft.ZoneID)
	}
}

// Two zones in the middle of a field whose edges nearly meet: they lie a
// millimetre or less apart over part of their length, and the unzoned ground
// around them has a hole for each.
func TestHolesThatSnapTogetherBecomeOne(t *testing.T) {
	a := orb.Ring{
		{-93.500144060971, 42.001010298073},
		{-93.500152712679, 42.002013316567},
		{-93.499097744058, 42.001589849198},
		{-93.499103396354, 42.001194296899},
		{-93.500144060971, 42.001010298073},
	}
	b := orb.Ring{
		{-93.499108773147, 42.000818019942},
		{-93.499095881467, 42.00172019373},
		{-93.498288768359, 42.001741622213},
		{-93.4974358027, 42.001393383169},
		{-93.497222693391, 42.001249414447},
		{-93.497304777396, 42.001061104597},
		{-93.499108773147, 42.000818019942},
	}
	around := orb.Ring{{-93.5004, 41.9999}, {-93.495, 41.9999}, {-93.495, 42.003}, {-93.5004, 42.003}, {-93.5004, 41.9999}}
	f, err := NewField("Two zones", outline(t, orb.Polygon{around}), nil, nil)
	require.NoError(t, err)
	zones := zonesOf(t, f,
		feature(1, outline(t, orb.Polygon{a}), "ZONE", "a", "R", 100),
		feature(2, outline(t, orb.Polygon{b}), "ZONE", "b", "R", 100))
	p, err := Prescribe(f, zones, Application{
		Name: "urea", Source: source(t, "urea"),
		Rate: RateRule{Column: "R", Unit: unit.KgPerHectare, Of: unit.Product},
		Map:  MapSpec{Of: unit.Product, Unit: unit.KgPerHectare},
	})
	require.NoError(t, err)
	m, err := p.RateMap()
	require.NoError(t, err)
	plainPolygons(t, m)
	sharedVertices(t, m)
	require.Empty(t, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
	require.Equal(t, UnzonedID, m.Features[2].ZoneID)
	require.Len(t, m.Features[2].Polygon, 2, "one hole for both zones")
}

func TestSnapJoinsHoles(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) orb.Ring {
		return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
	}
	hole := func(x0, y0, x1, y1 float64) orb.Ring {
		return orb.Ring{{x0, y0}, {x0, y1}, {x1, y1}, {x1, y0}, {x0, y0}}
	}
	for _, c := range []struct {
		name  string
		holes []orb.Ring
		rings []int // of each polygon that comes of it
		area  float64
	}{
		{"apart", []orb.Ring{hole(2, 2, 4, 4), hole(5, 2, 7, 4)}, []int{3}, 92},
		{"side by side", []orb.Ring{hole(2, 2, 4, 4), hole(4.0004, 2, 6, 4)}, []int{2}, 92},
		{"side by side, of unequal height", []orb.Ring{hole(2, 2, 4, 4), hole(4.0004, 1, 6, 5)}, []int{2}, 88},
		{"corner to corner", []orb.Ring{hole(2, 2, 4, 4), hole(4, 4, 6, 6)}, []int{3}, 92},
		{"around an island", []orb.Ring{
			{{2, 2}, {2, 8}, {5, 8}, {5, 7}, {3, 7}, {3, 3}, {5, 3}, {5, 2}, {2, 2}},
			{{5.0004, 2}, {5.0004, 3}, {7, 3}, {7, 7}, {5.0004, 7}, {5.0004, 8}, {8, 8}, {8, 2}, {5.0004, 2}},
		}, []int{2, 1}, 80},
		{"along the outer ring", []orb.Ring{hole(0.0004, 2, 4, 4)}, []int{1}, 92},
		{"from side to side", []orb.Ring{hole(0.0004, 2, 9.9996, 4)}, []int{1, 1}, 80},
	} {
		poly := append(orb.Polygon{box(0, 0, 10, 10)}, c.holes...)
		got := snap(testPlane(t), []orb.Polygon{poly}, snapTolerance).polygons[0]
		var rings []int
		area := 0.0
		for _, p := range got {
			rings = append(rings, len(p))
			r, err := geo.RegionFromPolygons(testPlane(t), orb.MultiPolygon{p})
			require.NoError(t, err, c.name)
			require.Len(t, r.Polygons(), 1, c.name)
			require.Len(t, r.Polygons()[0], len(p), c.name)
			area += m2(r)
		}
		require.ElementsMatch(t, c.rings, rings, c.name)
		require.InDelta(t, c.area, area, 0.01, c.name)
	}
}

func TestCheckRefusesRingsThatShareAnEdge(t *testing.T) {
	f := wholeField(t)
	p := f.Plane
	whole := ringOf(p, -200, -100, 200, -100, 200, 100, -200, 100)
	left, right := ringOf(p, -50, -50, -50, 50, 0, 50, 0, -50), ringOf(p, 0, -50, 0, 50, 50, 50, 50, -50)
	along := ringOf(p, -200, -100, -200, 100, -150, 100, -150, -100)
	above, below := ringOf(p, -50, 0, -50, 50, 0, 0), ringOf(p, 0, 0, -50, -50, -50, 0)
	for _, c := range []struct {
		name    string
		polygon orb.Polygon
		refused bool
	}{
		{"one hole", orb.Polygon{whole, left}, false},
		{"two holes with an edge", orb.Polygon{whole, left, right}, true},
		{"two triangles with an edge", orb.Polygon{whole, above, below}, true},
		{"a hole along the outer ring", orb.Polygon{whole, along}, true},
		{"holes that cut it in two", orb.Polygon{
			whole,
			ringOf(p, -50, -50, -50, 50, 0, 50, -30, 0, 0, -50), ringOf(p, 0, -50, 30, 0, 0, 50, 50, 50, 50, -50),
		}, true},
	} {
		m := RateMap{
			Name: "TEST", Unit: unit.KgPerHectare, Of: unit.Product, Decimals: 2, Plane: p,
			Features: []RateFeature{{Polygon: c.polygon, ZoneID: "A", Rate: 1}},
		}
		refused := false
		for _, finding := range Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())) {
			refused = refused || finding.Rule == "rings"
		}
		require.Equal(t, c.refused, refused, c.name)
	}
}

// scattered draws some cells of a bent grid. Corners that cells have in common
// lie a fraction of a millimetre to a few of them apart, and some edges have a
// vertex more.
func scattered(t testing.TB, seed int64, jitter float64, nx, ny int) []vector.Feature {
	rng := rand.New(rand.NewSource(seed))
	bend := func() float64 { return 20*rng.Float64() - 10 } // cells are 76 m by 38 m or more
	var corner [6][6]orb.Point
	for i := range corner {
		for j := range corner[i] {
			corner[i][j] = orb.Point{-190 + 380*float64(i)/float64(nx) + bend(), -95 + 190*float64(j)/float64(ny) + bend()}
		}
	}
	var features []vector.Feature
	for i := range nx * ny {
		if i > 0 && rng.Float64() < 0.35 {
			continue
		}
		x, y := i/ny, i%ny
		var xy []float64
		cell := []orb.Point{corner[x][y], corner[x+1][y], corner[x+1][y+1], corner[x][y+1]}
		for k, p := range cell {
			for _, share := range []float64{0, 0.05 + 0.9*rng.Float64()}[:1+rng.Intn(2)] {
				next := cell[(k+1)%4]
				xy = append(xy, p[0]+share*(next[0]-p[0])+jitter*rng.NormFloat64(), p[1]+share*(next[1]-p[1])+jitter*rng.NormFloat64())
			}
		}
		features = append(features, feature(i+1, polygon(t, xy...), "ZONE", fmt.Sprint("z", i), "N_LB_AC", i+1))
	}
	return features
}

func TestMapsOfScatteredZonesAreValid(t *testing.T) {
	f, plan := wholeField(t), sidedress(t)
	check := func(t require.TestingT, features []vector.Feature, slivers unit.Area) RateMap {
		o := DefaultZoneOptions()
		o.Overlap, o.SliverBelow = OverlapFirst, slivers
		zones, _, err := NewZones(f, features, "ZONE", o)
		require.NoError(t, err)
		p, err := Prescribe(f, zones, plan)
		require.NoError(t, err)
		m, err := p.RateMap()
		require.NoError(t, err)
		plainPolygons(t, m)
		require.Empty(t, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
		return m
	}
	// Here some corners lie farther apart than the first tolerance, others nearer.
	oneLayer(t, check(t, scattered(t, -81, 1e-3, 5, 5), DefaultZoneOptions().SliverBelow), f)
	// Here two sides of a border were moved by different corners.
	oneLayer(t, check(t, scattered(t, 0, 1e-3, 4, 2), 0), f)
	// Here a strip beside a border was turned inside out, and was in no polygon.
	oneLayer(t, check(t, scattered(t, -52, 1e-3, 4, 5), DefaultZoneOptions().SliverBelow), f)
	// Here a polygon was given a strip with an edge that it had already.
	oneLayer(t, check(t, scattered(t, 0x14980f27020dc8cc, 1e-3, 4, 3), DefaultZoneOptions().SliverBelow), f)
	rapid.Check(t, func(rt *rapid.T) {
		check(rt, scattered(t, // and one layer but for the gaps that snap tells of
			rapid.Int64().Draw(rt, "seed"), rapid.SampledFrom([]float64{1e-4, 5e-4, 1e-3, 2e-3}).Draw(rt, "jitter"),
			rapid.IntRange(2, 5).Draw(rt, "columns"), rapid.IntRange(2, 5).Draw(rt, "rows"),
		), rapid.SampledFrom([]unit.Area{0, DefaultZoneOptions().SliverBelow}).Draw(rt, "slivers"))
	})
}
