package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// inDegrees carries rings of metres around 93.6 W, 42 N to degrees.
func inDegrees(t testing.TB, p Plane, mp orb.MultiPolygon) Outline {
	t.Helper()
	out := make(orb.MultiPolygon, len(mp))
	for i, poly := range mp {
		for _, r := range poly {
			d := make(orb.Ring, len(r))
			for k, q := range r {
				d[k] = orb.Point(p.Unproject(q))
			}
			out[i] = append(out[i], d)
		}
	}
	o, err := NewOutline(out)
	require.NoError(t, err)
	return o
}

func TestRegionNamesWhatIsWrong(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	shell := ring(0, 0, 400, 0, 400, 400, 0, 400, 0, 0)
	for name, k := range map[string]struct {
		poly orb.Polygon
		at   orb.Point
		says []string
	}{
		"bow-tie":           {orb.Polygon{ring(0, 0, 100, 100, 100, 0, 0, 100, 0, 0)}, orb.Point{50, 50}, []string{"polygon 1, ring 1 crosses itself", "bow-tie"}},
		"bow-tie of area 0": {orb.Polygon{ring(0, 0, 100, 0, 0, 100, 100, 100, 0, 0)}, orb.Point{50, 50}, []string{"crosses itself"}},
		"spike":             {orb.Polygon{ring(0, 0, 100, 0, 160, 0, 100, 0, 100, 100, 0, 100, 0, 0)}, orb.Point{130, 0}, []string{"runs back along itself", "spike"}},
		"no area":           {orb.Polygon{ring(0, 0, 50, 50, 100, 100, 0, 0)}, orb.Point{0, 0}, []string{"ring 1 has no area"}},
		"hole across":       {orb.Polygon{shell, ring(300, 100, 500, 100, 500, 200, 300, 200, 300, 100)}, orb.Point{400, 100}, []string{"ring 1 crosses ring 2"}},
		"hole outside":      {orb.Polygon{shell, ring(500, 100, 600, 100, 600, 200, 500, 200, 500, 100)}, orb.Point{500, 100}, []string{"ring 2 is a hole outside its polygon", "remove it"}},
		"figure of eight":   {orb.Polygon{ring(0, 0, 50, 50, 100, 100, 100, 0, 50, 50, 0, 100, 0, 0)}, orb.Point{50, 50}, []string{"passes twice"}},
		"hole in hole":      {orb.Polygon{shell, ring(50, 50, 350, 50, 350, 350, 50, 350, 50, 50), ring(100, 100, 200, 100, 200, 200, 100, 200, 100, 100)}, orb.Point{0, 0}, []string{"holes overlap"}},
	} {
		_, err := p.Region(inDegrees(t, p, orb.MultiPolygon{k.poly}))
		require.Errorf(t, err, name)
		for _, s := range k.says {
			require.ErrorContainsf(t, err, s, name)
		}
		require.ErrorContainsf(t, err, p.placeOf(k.at), name)
	}
}

func TestRegionFromPolygonsNamesWhatIsWrong(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	for _, k := range []struct {
		r    orb.Ring
		says string
	}{
		{ring(), "polygon 1, ring 1 has no points"},
		{ring(0, 0, 1, 0, 1, 1), "is not closed"},
		{ring(0, 0, 1, 0, 0, 0), "fewer than 3 different points"},
		{ring(0, 0, 1, 0, 1, math.NaN(), 0, 0), "not a finite number"},
		{ring(0, 0, 1e-9, 1e-9, 0, 1e-9, 0, 0), "has no area"},
	} {
		_, err := RegionFromPolygons(p, orb.MultiPolygon{{k.r}})
		require.ErrorContains(t, err, k.says)
	}
}

func TestRegionTakesWhatIsUnambiguous(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	shell := ring(0, 0, 400, 0, 400, 400, 0, 400, 0, 0)
	hole := ring(100, 100, 200, 100, 200, 200, 100, 200, 100, 100)
	for name, k := range map[string]struct {
		mp    orb.MultiPolygon
		area  float64
		parts int
	}{
		"either winding":            {orb.MultiPolygon{{wound(shell, false), wound(hole, true)}}, 150000, 1},
		"repeated points":           {orb.MultiPolygon{{ring(0, 0, 0, 0, 400, 0, 400, 400, 400, 400, 0, 400, 0, 0)}}, 160000, 1},
		"hole at a corner":          {orb.MultiPolygon{{shell, ring(0, 0, 100, 50, 50, 100, 0, 0)}}, 156250, 1},
		"hole along the edge":       {orb.MultiPolygon{{shell, ring(0, 100, 100, 100, 100, 200, 0, 200, 0, 100)}}, 150000, 1},
		"shell that touches itself": {orb.MultiPolygon{{ring(0, 0, 400, 0, 400, 400, 0, 400, 0, 0, 100, 200, 200, 100, 0, 0)}}, 145000, 1},
		"neighbours":                {orb.MultiPolygon{box(0, 0, 100, 100), box(100, 0, 200, 100)}, 20000, 1},
		"overlapping parts":         {orb.MultiPolygon{box(0, 0, 100, 100), box(50, 0, 150, 100)}, 15000, 1},
		"parts apart":               {orb.MultiPolygon{box(0, 0, 100, 100), box(150, 0, 250, 100)}, 20000, 2},
		"island in a hole":          {orb.MultiPolygon{{shell, hole}, box(120, 120, 180, 180)}, 153600, 2},
		"nothing":                   {orb.MultiPolygon{}, 0, 0},
	} {
		r, err := p.Region(inDegrees(t, p, k.mp))
		require.NoErrorf(t, err, name)
		require.InDeltaf(t, k.area, r.Area().SquareMetres(), 1e-5, name)
		require.Lenf(t, r.Polygons(), k.parts, name)
		requireValid(t, r)
		back, err := p.Region(r.Outline())
		require.NoErrorf(t, err, name)
		require.InDeltaf(t, k.area, back.Area().SquareMetres(), 1e-5, name)
	}
}

func TestRegionsOfTwoPlanesDoNotMix(t *testing.T) {
	p, q := mustPlane(t, -93.6, 42), mustPlane(t, -93.7, 42)
	a, b := mustRegion(t, p, box(0, 0, 1, 1)), mustRegion(t, q, box(0, 0, 1, 1))
	_, err := a.Union(b)
	require.ErrorContains(t, err, "different planes")
	_, err = UnionAll([]Region{a, {}, b})
	require.ErrorContains(t, err, "different planes")

	same, err := a.Union(mustRegion(t, mustPlane(t, -93.6, 42), box(1, 0, 2, 1)))
	require.NoError(t, err)
	require.InDelta(t, 2, same.Area().SquareMetres(), 1e-9)
}

func TestTheZeroRegionGoesWithAnyPlane(t *testing.T) {
	var none Region
	a := mustRegion(t, mustPlane(t, -93.6, 42), box(0, 0, 10, 10))
	u, err := none.Union(a)
	require.NoError(t, err)
	require.Equal(t, a.Area(), u.Area())
	require.Equal(t, a.Plane(), u.Plane())
	i, err := a.Intersect(none)
	require.NoError(t, err)
	require.True(t, i.IsEmpty())
	d, err := a.Subtract(none)
	require.NoError(t, err)
	require.Equal(t, a.Area(), d.Area())
	all, err := UnionAll(nil)
	require.NoError(t, err)
	require.True(t, all.IsEmpty())
	require.True(t, none.Outline().IsEmpty())
	require.Zero(t, none.Area())
	require.Zero(t, none.SharedEdge(a))
	require.True(t, math.IsInf(none.DistanceTo(orb.Point{}).Metres(), 1))
}
