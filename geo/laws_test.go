package geo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// star draws a star-shaped ring, which never crosses itself.
func star(rng *rand.Rand, n int, cx, cy, r float64) orb.Ring {
	ring := make(orb.Ring, 0, n+1)
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n)
		d := r * (0.3 + 0.7*rng.Float64())
		ring = append(ring, orb.Point{cx + d*math.Cos(a), cy + d*math.Sin(a)})
	}
	return append(ring, ring[0])
}

// drawPolygon draws a star with perhaps a hole.
func drawPolygon(t *rapid.T, name string) orb.Polygon {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, name), 7))
	n := 3 + rng.IntN(60)
	cx, cy, r := rng.Float64()*600-300, rng.Float64()*600-300, 20+rng.Float64()*500
	p := orb.Polygon{star(rng, n, cx, cy, r)}
	if n > 12 && rng.IntN(2) == 0 {
		p = append(p, star(rng, 8, cx, cy, r*0.25))
	}
	return p
}

func turned(p orb.Polygon, angle, dx, dy float64) orb.Polygon {
	s, c := math.Sincos(angle)
	out := make(orb.Polygon, len(p))
	for i, r := range p {
		for _, q := range r {
			out[i] = append(out[i], orb.Point{c*q[0] - s*q[1] + dx, s*q[0] + c*q[1] + dy})
		}
	}
	return out
}

func areas(t require.TestingT, a, b Region) (u, i, d, e float64) {
	for _, k := range []struct {
		to *float64
		op func() (Region, error)
	}{
		{&u, func() (Region, error) { return a.Union(b) }},
		{&i, func() (Region, error) { return a.Intersect(b) }},
		{&d, func() (Region, error) { return a.Subtract(b) }},
		{&e, func() (Region, error) { return b.Subtract(a) }},
	} {
		r, err := k.op()
		require.NoError(t, err)
		requireValid(t, r)
		*k.to = r.Area().SquareMetres()
	}
	return u, i, d, e
}

// requireValid checks what a Region promises.
func requireValid(t require.TestingT, r Region) {
	require.NoError(t, toGeom(r.Polygons()).Validate())
	sum := 0.0
	for _, p := range r.Polygons() {
		for j, ring := range p {
			require.Equal(t, ring[0], ring[len(ring)-1])
			require.Equal(t, j == 0, ringAreaM2(ring) > 0, "shells turn left, holes right")
			sum += ringAreaM2(ring)
		}
	}
	require.InDelta(t, sum, r.Area().SquareMetres(), 1e-9)
}

func TestOverlaysAddUp(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rapid.Check(t, func(t *rapid.T) {
		a, err := RegionFromPolygons(p, orb.MultiPolygon{drawPolygon(t, "a")})
		require.NoError(t, err)
		b, err := RegionFromPolygons(p, orb.MultiPolygon{drawPolygon(t, "b")})
		require.NoError(t, err)
		u, i, d, e := areas(t, a, b)
		const tol = 1e-6 // m2, of up to 1e6
		require.InDelta(t, a.Area().SquareMetres(), i+d, tol)
		require.InDelta(t, b.Area().SquareMetres(), i+e, tol)
		require.InDelta(t, u, i+d+e, tol)
	})
}

func TestOverlaysDoNotCareWhereOrHowTheyLie(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPolygon(t, "a"), drawPolygon(t, "b")
		angle := rapid.Float64Range(0, 7).Draw(t, "angle")
		dx, dy := rapid.Float64Range(-2e3, 2e3).Draw(t, "dx"), rapid.Float64Range(-2e3, 2e3).Draw(t, "dy")
		var got [2][4]float64
		for k := range 2 {
			ra, err := RegionFromPolygons(p, orb.MultiPolygon{a})
			require.NoError(t, err)
			rb, err := RegionFromPolygons(p, orb.MultiPolygon{b})
			require.NoError(t, err)
			got[k][0], got[k][1], got[k][2], got[k][3] = areas(t, ra, rb)
			a, b = turned(a, angle, dx, dy), turned(b, angle, dx, dy)
		}
		for k := range got[0] {
			require.InDelta(t, got[0][k], got[1][k], 1e-5)
		}
	})
}

// Zones cut from one field share edges that are the same up to the noise of the
// projection: they must still add up, and nothing may fail.
func TestNearlyEqualEdgesOverlay(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		noise := rapid.SampledFrom([]float64{0, 1e-12, 1e-10, 1e-9, 1e-8, 1e-7}).Draw(t, "noise")
		ring := star(rng, 5+rng.IntN(80), 0, 0, 400)
		a, err := RegionFromPolygons(p, orb.MultiPolygon{{ring}})
		require.NoError(t, err)
		b, err := RegionFromPolygons(p, orb.MultiPolygon{{jitter(rng, densify(rng, ring), noise)}})
		require.NoError(t, err)
		u, i, d, e := areas(t, a, b)
		tol := ringLengthM(ring) * (noiseM + 4*noise)
		require.InDelta(t, a.Area().SquareMetres(), i+d, tol)
		require.InDelta(t, u, i+d+e, tol)
		require.InDelta(t, a.Area().SquareMetres(), i, tol)
	})
}

// densify adds a point on some edges, which float64 rounds off the edge.
func densify(rng *rand.Rand, r orb.Ring) orb.Ring {
	var out orb.Ring
	for k := 0; k+1 < len(r); k++ {
		out = append(out, r[k])
		if rng.IntN(2) == 0 {
			f := 0.1 + 0.8*rng.Float64()
			out = append(out, orb.Point{r[k][0] + f*(r[k+1][0]-r[k][0]), r[k][1] + f*(r[k+1][1]-r[k][1])})
		}
	}
	return append(out, out[0])
}

func jitter(rng *rand.Rand, r orb.Ring, noise float64) orb.Ring {
	out := make(orb.Ring, 0, len(r))
	for _, q := range r[:len(r)-1] {
		out = append(out, orb.Point{q[0] + noise*rng.NormFloat64(), q[1] + noise*rng.NormFloat64()})
	}
	return append(out, out[0])
}

// A field cut into strips by slanted lines: each cut is made twice, so that
// neighbours share an edge; together they are the field again.
func TestStripsOfAFieldJoinToTheField(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rng := rand.New(rand.NewPCG(1, 1))
	field := mustRegion(t, p, orb.Polygon{star(rng, 200, 0, 0, 500)})
	var strips []Region
	sum := 0.0
	for k := -30; k < 30; k++ {
		x0, x1 := float64(k)*17.3, float64(k+1)*17.3
		strip := mustRegion(t, p, turned(box(x0, -900, x1, 900), 0.3, 0, 0))
		cut, err := field.Intersect(strip)
		require.NoError(t, err)
		strips = append(strips, cut)
		sum += cut.Area().SquareMetres()
	}
	require.InDelta(t, field.Area().SquareMetres(), sum, 1e-6)
	all, err := UnionAll(strips)
	require.NoError(t, err)
	requireValid(t, all)
	require.InDelta(t, field.Area().SquareMetres(), all.Area().SquareMetres(), 1e-6)
	left, err := field.Subtract(all)
	require.NoError(t, err)
	require.InDelta(t, 0, left.Area().SquareMetres(), 1e-6)
}

func TestOverlayOfManyVertices(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	p := mustPlane(t, -93.6, 42)
	ring := make(orb.Ring, 0, 100_001)
	for i := range 100_000 {
		a := 2 * math.Pi * float64(i) / 100_000
		r := 400 + 20*math.Sin(40*a) + 0.5*math.Sin(3000*a)
		ring = append(ring, orb.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	ring = append(ring, ring[0])
	a := mustRegion(t, p, orb.Polygon{ring})
	b := mustRegion(t, p, turned(orb.Polygon{ring}, 0.01, 30, 5))
	u, i, d, e := areas(t, a, b)
	require.InDelta(t, a.Area().SquareMetres(), i+d, 1e-5)
	require.InDelta(t, u, i+d+e, 1e-5)
}

func ExampleRegion_Intersect() {
	plane, _ := NewPlane(LonLat{-93.6, 42})
	field, _ := RegionFromPolygons(plane, orb.MultiPolygon{{{{0, 0}, {400, 0}, {400, 400}, {0, 400}, {0, 0}}}})
	zone, _ := RegionFromPolygons(plane, orb.MultiPolygon{{{{300, -50}, {500, -50}, {500, 450}, {300, 450}, {300, -50}}}})
	both, err := field.Intersect(zone)
	fmt.Printf("%.1f m2 %v\n", both.Area().SquareMetres(), err)
	// Output: 40000.0 m2 <nil>
}
