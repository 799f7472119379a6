package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ellipsoidAreaM2 is the area that a polygon of degrees has on the ellipsoid of
// WGS 84, independent of any projection to a plane: the closed form of the area
// between two parallels, summed along the edges, which must be short. Positive
// counter-clockwise.
//
// Source: J.P. Snyder, USGS Professional Paper 1395 (1987), eq 3-12: q, the
// authalic function; the area of a zone of width dlon is a^2 dlon dq / 2.
func ellipsoidAreaM2(p orb.Polygon) float64 {
	const a, f, deg = 6378137.0, 1 / 298.257223563, math.Pi / 180
	e2 := f * (2 - f)
	e := math.Sqrt(e2)
	lat0 := p[0][0][1] * deg
	// q relative to lat0, as a difference that keeps its digits.
	q := func(latDeg float64) float64 {
		s, s0 := math.Sin(latDeg*deg), math.Sin(lat0)
		ds := 2 * math.Cos((latDeg*deg+lat0)/2) * math.Sin((latDeg*deg-lat0)/2)
		w, w0 := 1-e2*s*s, 1-e2*s0*s0
		return (1 - e2) * (ds*(1+e2*s*s0)/(w*w0) + math.Atanh(e*ds/(1-e2*s*s0))/e)
	}
	sum := 0.0
	for _, r := range p {
		for k := 0; k+1 < len(r); k++ {
			lon := (r[k][0]+r[k+1][0])/2 - p[0][0][0]
			sum += lon * deg * (q(r[k+1][1]) - q(r[k][1]))
		}
	}
	return sum * a * a / 2
}

// dense puts a point on every edge at least each metre.
func dense(p orb.Polygon) orb.Polygon {
	out := make(orb.Polygon, len(p))
	for i, r := range p {
		for k := 0; k+1 < len(r); k++ {
			n := 1 + int(math.Hypot(r[k+1][0]-r[k][0], r[k+1][1]-r[k][1]))
			for s := range n {
				f := float64(s) / float64(n)
				out[i] = append(out[i], orb.Point{r[k][0] + f*(r[k+1][0]-r[k][0]), r[k][1] + f*(r[k+1][1]-r[k][1])})
			}
		}
		out[i] = append(out[i], r[len(r)-1])
	}
	return out
}

// The whole ellipsoid has 510,065,621,724,088.5 m2 (GeographicLib,
// tests/polygontest.cpp): the oracle below must know it.
func TestTheAreaOracleKnowsTheEarth(t *testing.T) {
	sum := 0.0
	for lat := -90.0; lat < 90; lat++ {
		for lon := -180.0; lon < 180; lon += 60 {
			sum += ellipsoidAreaM2(orb.Polygon{ring(lon, lat, lon+60, lat, lon+60, lat+1, lon, lat+1, lon, lat)})
		}
	}
	require.InEpsilon(t, 510065621724088.5093, sum, 1e-13)
}

func TestPlaneAreaIsTheAreaOnTheGround(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	worst := 0.0
	for _, lat := range []float64{-60, -33, 0, 18, 42, 49, 65} {
		for _, r := range []float64{60, 200, 500, 800} {
			p := mustPlane(t, -93.6, lat)
			poly := dense(orb.Polygon{star(rng, 24, r/5, -r/7, r), wound(star(rng, 9, r/5, -r/7, r/4), false)})
			flat := mustRegion(t, p, poly).Area().SquareMetres()
			ground := ellipsoidAreaM2(inDegrees(t, p, orb.MultiPolygon{poly}).Polygons()[0])
			require.InEpsilonf(t, ground, flat, 2e-8, "latitude %v, radius %v m", lat, r)
			worst = math.Max(worst, math.Abs(flat/ground-1))
		}
	}
	t.Logf("worst %.1e", worst)
	// The statement of Plane's doc comment for a field of 10 km.
	p := mustPlane(t, -93.6, 42)
	poly := dense(box(-5e3, -5e3, 5e3, 5e3))
	require.InEpsilon(t, ellipsoidAreaM2(inDegrees(t, p, orb.MultiPolygon{poly}).Polygons()[0]), mustRegion(t, p, poly).Area().SquareMetres(), 1e-6)
}

// A square of geodesics from (0, 0), 1 km east along the equator, 1 km north and
// 1 km west, has 1,000,000.0 m2 within 0.01 m2.
//
// Source: GeographicLib, tests/polygontest.cpp, Planimeter29. The corners are
// worked out here from the radii of curvature at the equator; the last leg, which
// starts square to its meridian, drops by s^2 tan(lat) / 2R and passes the first
// meridian by as much, because parallels shorten by lat^2 / 2.
func TestPlaneAreaOfAGeodesicSquare(t *testing.T) {
	const a, f, deg = 6378137.0, 1 / 298.257223563, math.Pi / 180
	lon := 1000 / a / deg
	meridian := a * (1 - f) * (1 - f) // radius of curvature at latitude 0
	lat := 1000 / meridian / deg
	drop := 1000 * math.Tan(lat*deg) / 2 / a * lat
	past := lon * (lat * deg) * (lat * deg) / 2
	square, err := NewOutline(orb.Polygon{ring(0, 0, lon, 0, lon, lat, -past, lat-drop, 0, 0)})
	require.NoError(t, err)
	p, err := PlaneFor(square)
	require.NoError(t, err)
	r, err := p.Region(square)
	require.NoError(t, err)
	require.InDelta(t, 1000000.0, r.Area().SquareMetres(), 0.01)
	t.Log(r.Area().SquareMetres())
}

func TestPlaneForRoundsItsOrigin(t *testing.T) {
	o, err := NewOutline(orb.Polygon{ring(-93.61, 42, -93.6, 42.0000001, -93.605, 42.0101013, -93.61, 42)})
	require.NoError(t, err)
	p, err := PlaneFor(o)
	require.NoError(t, err)
	require.Equal(t, LonLat{-93.605, 42.005051}, p.Origin())
	x := p.Project(p.Origin())
	require.InDelta(t, 0, math.Hypot(x[0], x[1]), 1e-9)
}

func TestPlaneRefuses(t *testing.T) {
	_, err := NewPlane(LonLat{-93, 89})
	require.ErrorContains(t, err, "too near a pole")
	_, err = NewPlane(LonLat{math.NaN(), 0})
	require.ErrorContains(t, err, "not a number")
	_, err = PlaneFor(Outline{})
	require.ErrorContains(t, err, "empty outline")
	wide, err := NewOutline(orb.MultiPoint{{-179.9, 42}, {179.9, 42}})
	require.NoError(t, err)
	_, err = PlaneFor(wide)
	require.ErrorContains(t, err, "more than 200 km")

	p := mustPlane(t, -93.6, 42)
	far, err := NewOutline(box(-90, 42, -89, 43))
	require.NoError(t, err)
	_, err = p.Region(far)
	require.ErrorContains(t, err, "more than 200 km")
	_, err = p.Buffer(far, 10)
	require.ErrorContains(t, err, "more than 200 km")
}

func TestFits(t *testing.T) {
	p := mustPlane(t, 179.9, 42)
	for l, want := range map[LonLat]bool{
		{179.9, 42}: true, {-179.9, 42}: true, {179.9, 43.7}: true, {178, 42}: true,
		{177, 42}: false, {179.9, 44}: false, {0, 42}: false, {-0.1, 42}: false, {179.9, -42}: false,
		{math.NaN(), 42}: false, {179.9, math.NaN()}: false,
	} {
		require.Equalf(t, want, p.Fits(l), "%v", l)
	}
}

func TestProjectAndUnprojectReturn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustPlaneRapid(t, rapid.Float64Range(-180, 180).Draw(t, "lon0"), rapid.Float64Range(-80, 80).Draw(t, "lat0"))
		q := orb.Point{rapid.Float64Range(-1e5, 1e5).Draw(t, "x"), rapid.Float64Range(-1e5, 1e5).Draw(t, "y")}
		back := p.Project(p.Unproject(q))
		require.InDelta(t, 0, math.Hypot(back[0]-q[0], back[1]-q[1]), 1e-8)
	})
}

func mustPlaneRapid(t *rapid.T, lon, lat float64) Plane {
	p, err := NewPlane(LonLat{lon, lat})
	require.NoError(t, err)
	return p
}

func BenchmarkProject(b *testing.B) {
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(b, err)
	s := 0.0
	for i := range b.N {
		q := p.Project(LonLat{-93.6 + float64(i&1023)*1e-5, 42 + float64(i>>10&1023)*1e-5})
		s += q[0]
	}
	if math.IsNaN(s) {
		b.Fatal("not a number")
	}
}
