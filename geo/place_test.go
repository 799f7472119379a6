package geo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// The tree of edges answers as the plain loops over all edges do.
func TestContainsAndDistanceAgreeWithPlainLoops(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 4))
		poly := orb.Polygon{star(rng, 3+rng.IntN(500), 0, 0, 300), star(rng, 3+rng.IntN(20), 0, 0, 60)}
		r, err := RegionFromPolygons(p, orb.MultiPolygon{poly, {star(rng, 9, 800, 100, 50)}})
		if err != nil {
			return // the hole crosses the shell
		}
		for range 50 {
			q := orb.Point{rng.Float64()*1400 - 500, rng.Float64()*1000 - 500}
			far := thinDistance(orb.Collection{r.Polygons()[0], r.Polygons()[1]}, q)
			require.Equal(t, far == 0, r.Contains(q))
			require.InDelta(t, far, r.DistanceTo(q).Metres(), 1e-9)
		}
	})
}

func TestSharedEdge(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	a := mustRegion(t, p, box(0, 0, 100, 100))
	for name, k := range map[string]struct {
		other orb.Polygon
		want  float64
	}{
		"whole side":         {box(100, 0, 200, 100), 100},
		"part of a side":     {box(100, 30, 200, 70), 40},
		"past the side":      {box(100, -50, 200, 150), 100},
		"two sides":          {ring2(100, 50, 200, 50, 200, 200, 50, 200, 50, 100, 100, 100, 100, 50), 100},
		"side in two edges":  {ring2(100, 0, 200, 0, 200, 100, 100, 100, 100, 40, 100, 0), 100},
		"a corner":           {box(100, 100, 200, 200), 0},
		"apart":              {box(100.01, 0, 200, 100), 0},
		"half a mm apart":    {box(100.0005, 0, 200, 100), 100},
		"itself":             {box(0, 0, 100, 100), 400},
		"crossing":           {ring2(50, -50, 60, -50, 60, 150, 50, 150, 50, -50), 0},
		"leaning away by 6°": {ring2(100, 0, 200, 0, 200, 100, 111, 100, 100, 0), 0},
	} {
		b := mustRegion(t, p, k.other)
		require.InDeltaf(t, k.want, a.SharedEdge(b).Metres(), 0.02, name)
		require.InDeltaf(t, k.want, b.SharedEdge(a).Metres(), 0.02, name)
	}
}

func ring2(xy ...float64) orb.Polygon { return orb.Polygon{ring(xy...)} }

// Cutting a field in two leaves two parts whose shared edge is the cut.
// Rectangles that meet at a corner share none of their boundary, however their sides are
// rounded.
func TestACornerIsNoSharedEdge(t *testing.T) {
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(t, err)
	rectangle := func(x0, y0, x1, y1 float64) Region {
		r, err := RegionFromPolygons(p, orb.MultiPolygon{orb.Bound{Min: orb.Point{x0, y0}, Max: orb.Point{x1, y1}}.ToPolygon()})
		require.NoError(t, err)
		return r
	}
	rng := rand.New(rand.NewPCG(3, 3))
	for range 200 {
		x, y := 20*rng.Float64(), 20*rng.Float64()
		a, b := rectangle(x-7*rng.Float64(), y-7*rng.Float64(), x, y), rectangle(x, y, x+7*rng.Float64(), y+7*rng.Float64())
		require.Zero(t, a.SharedEdge(b))
		require.Zero(t, b.SharedEdge(a))
	}
}

func TestSharedEdgeOfACutIsTheCut(t *testing.T) {
	p := mustPlane(t, -93.6, 42)
	rng := rand.New(rand.NewPCG(2, 2))
	for range 20 {
		field := mustRegion(t, p, orb.Polygon{star(rng, 30, 0, 0, 300)})
		half := mustRegion(t, p, turned(box(0, -900, 900, 900), rng.Float64()*6, 3, 5))
		left, err := field.Subtract(half)
		require.NoError(t, err)
		right, err := field.Intersect(half)
		require.NoError(t, err)
		perimeter := func(r Region) (sum float64) {
			for _, poly := range r.Polygons() {
				for _, ring := range poly {
					sum += ringLengthM(ring)
				}
			}
			return sum
		}
		cut := (perimeter(left) + perimeter(right) - perimeter(field)) / 2
		require.InDelta(t, cut, left.SharedEdge(right).Metres(), 0.05)
	}
}

// A million questions about a boundary of 100,000 vertices take seconds, not
// hours: records far outside are asked as well.
func BenchmarkDistanceFromAManyCorneredField(b *testing.B) {
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(b, err)
	r, err := RegionFromPolygons(p, orb.MultiPolygon{{star(rand.New(rand.NewPCG(1, 1)), 100_000, 0, 0, 400)}})
	require.NoError(b, err)
	var sum unit.Length
	for i := range b.N {
		sum += r.DistanceTo(orb.Point{float64(i%997) - 498, float64(i%991) - 495})
	}
	if math.IsNaN(sum.Metres()) {
		b.Fatal("not a number")
	}
}

// One zone after the other of many in the holes of a gap: time grows with the zones, not
// with their square.
func BenchmarkSharedEdgesInHoles(b *testing.B) {
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(b, err)
	for _, n := range []int{25, 50, 100} {
		b.Run(fmt.Sprintf("holes=%d", n*n), func(b *testing.B) {
			gap := orb.Polygon{orb.Bound{Min: orb.Point{0, 0}, Max: orb.Point{10 * float64(n), 10 * float64(n)}}.ToRing()}
			var zones []Region
			for i := range n * n {
				x, y := float64(10*(i%n)), float64(10*(i/n))
				ring := orb.Bound{Min: orb.Point{x + 1, y + 1}, Max: orb.Point{x + 9, y + 9}}.ToRing()
				z, err := RegionFromPolygons(p, orb.MultiPolygon{{ring}})
				require.NoError(b, err)
				zones = append(zones, z)
				hole := ring.Clone()
				hole.Reverse()
				gap = append(gap, hole)
			}
			r, err := RegionFromPolygons(p, orb.MultiPolygon{gap})
			require.NoError(b, err)
			for b.Loop() {
				for _, z := range zones {
					require.InDelta(b, 32, r.SharedEdge(z).Metres(), 1e-9)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/zone")
		})
	}
}

// A ray through teeth tells by the ends of chains what it tells tooth by tooth.
func TestContainsIsWhatAllEdgesTell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		region := []Region{
			drawBlocks(t, "blocks"),
			regionOf(t, drawPolygon(t, "polygon")),
			regionOf(t, turned(comb(4*rapid.IntRange(2, 200).Draw(t, "teeth")), rapid.SampledFrom([]float64{0, math.Pi / 2, 1}).Draw(t, "angle"), 0, 0)),
		}[rapid.IntRange(0, 2).Draw(t, "which")]
		if region.IsEmpty() {
			return
		}
		b := region.Bound().Pad(1)
		for range 50 {
			q := orb.Point{rapid.Float64Range(b.Min[0], b.Max[0]).Draw(t, "x"), rapid.Float64Range(b.Min[1], b.Max[1]).Draw(t, "y")}
			odd := false
			for _, poly := range region.Polygons() {
				for _, ring := range poly {
					odd = odd != ringContains(ring, q)
				}
			}
			require.Equal(t, odd, region.Contains(q))
		}
	})
}

func BenchmarkContainsAmongTeeth(b *testing.B) {
	for _, n := range []int{1000, 10_000, 100_000} {
		region := regionOf(b, comb(n))
		region.Contains(orb.Point{})
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for i := range b.N {
				region.Contains(orb.Point{-400 + float64(i%1000)*0.8, 100})
			}
		})
	}
}
