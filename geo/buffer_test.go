package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// thinDistance is the distance from q to points and lines, the plain way.
func thinDistance(g orb.Geometry, q orb.Point) float64 {
	switch g := g.(type) {
	case orb.Point:
		return math.Hypot(g[0]-q[0], g[1]-q[1])
	case orb.LineString:
		best := math.Inf(1)
		for k := 0; k+1 < len(g); k++ {
			best = math.Min(best, segment{g[k], g[k+1]}.distance(q))
		}
		return best
	case orb.Polygon:
		best := math.Inf(1)
		in := false
		for _, r := range g {
			in = in != ringContains(r, q)
			best = math.Min(best, distanceToRing(r, q))
		}
		if in {
			return 0
		}
		return best
	case orb.Collection:
		best := math.Inf(1)
		for _, part := range g {
			best = math.Min(best, thinDistance(part, q))
		}
		return best
	}
	panic("not used here")
}

// walk draws a winding line; with a small turn, one that bends gently.
func walk(rng *rand.Rand, n int, turn float64) orb.LineString {
	at, angle := orb.Point{rng.Float64()*200 - 100, rng.Float64()*200 - 100}, 0.0
	var l orb.LineString
	for range n {
		l = append(l, at)
		angle += turn * rng.NormFloat64()
		step := 20 * rng.Float64()
		at = orb.Point{at[0] + step*math.Cos(angle), at[1] + step*math.Sin(angle)}
	}
	return l
}

// Every place nearer than asked lies in the buffer, and no place further than
// 1.0013 times as far does.
func TestBufferIsNeverSmallerThanAsked(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
		d := rapid.Float64Range(0.5, 120).Draw(t, "d")
		metres := orb.Collection{
			orb.Point{rng.Float64()*300 - 150, rng.Float64()*300 - 150},
			walk(rng, 2+rng.IntN(40), []float64{1.5, 0.1, 0.04}[rng.IntN(3)]),
			orb.Polygon{star(rng, 3+rng.IntN(30), 50, 50, 80)},
		}[rng.IntN(3):]
		degrees := orb.Clone(metres).(orb.Collection)
		each(degrees, func(q orb.Point) orb.Point { return orb.Point(p.Unproject(q)) })
		o, err := NewOutline(degrees)
		require.NoError(t, err)
		b, err := p.Buffer(o, unit.Metres(d))
		require.NoError(t, err)
		requireValid(t, b)
		for range 400 {
			// Mostly near the edge of the buffer.
			q := b.Polygons()[0][0][rng.IntN(len(b.Polygons()[0][0]))]
			q = orb.Point{q[0] + 0.02*d*rng.NormFloat64(), q[1] + 0.02*d*rng.NormFloat64()}
			far := thinDistance(metres, q)
			if far <= d {
				require.Truef(t, b.Contains(q), "%v m of %v", far, d)
			}
			if far > 1.0013*d+1e-5 {
				require.Falsef(t, b.Contains(q), "%v m of %v", far, d)
			}
		}
		// The middle of a side is where a polygon drawn inside the circle fails.
		for _, poly := range b.Polygons() {
			for _, r := range poly {
				for k := 0; k+1 < len(r); k++ {
					m := orb.Point{(r[k][0] + r[k+1][0]) / 2, (r[k][1] + r[k+1][1]) / 2}
					require.GreaterOrEqual(t, thinDistance(metres, m), d-1e-7)
					require.LessOrEqual(t, thinDistance(metres, m), 1.0013*d+1e-5)
				}
			}
		}
	})
}

// each changes every position of points, lines and polygons.
func each(c orb.Collection, f func(orb.Point) orb.Point) {
	for i, g := range c {
		switch g := g.(type) {
		case orb.Point:
			c[i] = f(g)
		case orb.LineString:
			for k := range g {
				g[k] = f(g[k])
			}
		case orb.Polygon:
			for _, r := range g {
				for k := range r {
					r[k] = f(r[k])
				}
			}
		}
	}
}

func TestBufferOfAPointIsACircle(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	o, err := NewOutline(orb.Point{-93.599, 42.001})
	require.NoError(t, err)
	b, err := p.Buffer(o, unit.Feet(50))
	require.NoError(t, err)
	r := unit.Feet(50).Metres()
	require.Len(t, b.Polygons()[0][0], 97)
	require.Greater(t, b.Area().SquareMetres(), 1.0017*math.Pi*r*r)
	require.Less(t, b.Area().SquareMetres(), 1.0019*math.Pi*r*r)
}

func TestBufferOfNothingOrByNothing(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	b, err := p.Buffer(Outline{}, 10)
	require.NoError(t, err)
	require.True(t, b.IsEmpty())

	o := inDegrees(t, p, orb.MultiPolygon{box(0, 0, 10, 10)})
	b, err = p.Buffer(o, 0)
	require.NoError(t, err)
	require.InDelta(t, 100, b.Area().SquareMetres(), 1e-6)

	line, err := NewOutline(orb.LineString{{-93.6, 42}, {-93.6, 42}})
	require.NoError(t, err)
	b, err = p.Buffer(line, 0)
	require.NoError(t, err)
	require.True(t, b.IsEmpty())
	b, err = p.Buffer(line, 10) // a line that stays in place is a point
	require.NoError(t, err)
	require.InEpsilon(t, 100*math.Pi, b.Area().SquareMetres(), 2e-3)

	for _, d := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, err = p.Buffer(o, unit.Metres(d))
		require.ErrorContains(t, err, "a distance of")
	}
}

// ringContains is the plain test of one ring.
func ringContains(r orb.Ring, q orb.Point) bool {
	in := false
	for k := 0; k+1 < len(r); k++ {
		if (segment{r[k], r[k+1]}).rightOf(q) {
			in = !in
		}
	}
	return in
}

// distanceToRing is the plain distance from q to a ring's line.
func distanceToRing(r orb.Ring, q orb.Point) float64 {
	best := math.Inf(1)
	for k := 0; k+1 < len(r); k++ {
		best = math.Min(best, segment{r[k], r[k+1]}.distance(q))
	}
	return best
}
