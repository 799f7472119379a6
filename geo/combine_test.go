package geo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// toothedDisc is a disc of about 400 m with n vertices, every other one 5 % farther out.
func toothedDisc(n int) orb.Polygon {
	var r orb.Ring
	for i := range n {
		a, d := 2*math.Pi*float64(i)/float64(n), 400*(1+0.05*float64(i%2))
		r = append(r, orb.Point{d * math.Cos(a), d * math.Sin(a)})
	}
	return orb.Polygon{append(r, r[0])}
}

// comb is a square of 800 m with about n vertices, whose slits run through nearly all of it.
func comb(n int) orb.Polygon {
	var r orb.Ring
	w := 3200 / float64(n)
	for i := range n / 4 {
		x := -400 + w*float64(i)
		r = append(r, orb.Point{x, -400}, orb.Point{x + w/2, -400}, orb.Point{x + w/2, 360}, orb.Point{x + w*0.9, 360})
	}
	r = append(r, orb.Point{400, 400}, orb.Point{-400, 400})
	return orb.Polygon{append(r, r[0])}
}

func regionOf(t require.TestingT, polys ...orb.Polygon) Region {
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(t, err)
	r, err := RegionFromPolygons(p, polys)
	require.NoError(t, err)
	return r
}

// pieces are the results of all rules for two regions.
func pieces(t require.TestingT, a, b Region) (both, onlyA, onlyB, either Region) {
	for _, k := range []struct {
		to   *Region
		a, b Region
		rule rule
		op   func(a, b geom.Geometry) (geom.Geometry, error)
	}{
		{&both, a, b, inBoth, geom.Intersection},
		{&onlyA, a, b, inFirst, geom.Difference},
		{&onlyB, b, a, inFirst, geom.Difference},
		{&either, a, b, inEither, geom.Union},
	} {
		r, ok := combine(k.a, k.b, k.rule)
		require.True(t, ok)
		requireValid(t, r)
		other, err := overlay("overlay", k.a, k.b, k.op)
		require.NoError(t, err)
		require.InDelta(t, other.Area().SquareMetres(), r.Area().SquareMetres(), 1e-9*(a.Area()+b.Area()).SquareMetres())
		*k.to = r
	}
	return both, onlyA, onlyB, either
}

// requireWhole checks that the pieces make up the regions.
func requireWhole(t require.TestingT, a, b Region) {
	both, onlyA, onlyB, either := pieces(t, a, b)
	tolerance := 1e-9 * (a.Area() + b.Area()).SquareMetres()
	require.InDelta(t, a.Area().SquareMetres(), (both.Area() + onlyA.Area()).SquareMetres(), tolerance)
	require.InDelta(t, b.Area().SquareMetres(), (both.Area() + onlyB.Area()).SquareMetres(), tolerance)
	require.InDelta(t, either.Area().SquareMetres(), (both.Area() + onlyA.Area() + onlyB.Area()).SquareMetres(), tolerance)
}

func TestCombinedPiecesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		requireWhole(t, regionOf(t, drawPolygon(t, "a")), regionOf(t, drawPolygon(t, "b")))
	})
}

// blocks of a grid share vertices and edges, and touch in corners; turned, their
// corners are no round numbers. Some are left out, which makes holes.
func drawBlocks(t *rapid.T, name string) Region {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, name), 3))
	var blocks []Region
	for i := range 6 {
		for j := range 6 {
			if rng.IntN(5) > 1 {
				x, y := float64(10*i), float64(10*j)
				square := orb.Polygon{{{x, y}, {x + 10, y}, {x + 10, y + 10}, {x, y + 10}, {x, y}}}
				blocks = append(blocks, regionOf(t, turned(square, 0.4, 3, 4)))
			}
		}
	}
	r, err := UnionAll(blocks)
	require.NoError(t, err)
	return r
}

func TestCombinedBlocksThatShareEdgesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawBlocks(t, "a"), drawBlocks(t, "b")
		if !a.IsEmpty() && !b.IsEmpty() {
			requireWhole(t, a, b)
		}
	})
}

// What was cut from a region shares edges with it that lie on it to the last digits
// alone.
func TestCombinedWithWhatWasCutFromItAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := regionOf(t, drawPolygon(t, "a")), regionOf(t, drawPolygon(t, "b"))
		both, onlyA, _, _ := pieces(t, a, b)
		if !both.IsEmpty() {
			requireWhole(t, a, both)
		}
		if !both.IsEmpty() && !onlyA.IsEmpty() {
			requireWhole(t, onlyA, both)
		}
		if !onlyA.IsEmpty() {
			requireWhole(t, onlyA, b)
		}
	})
}

func TestCombinedCombsAddUp(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	rapid.Check(t, func(t *rapid.T) {
		n := 4 * rapid.IntRange(2, 30).Draw(t, "teeth")
		m := 4 * rapid.IntRange(2, 30).Draw(t, "other teeth")
		angle := rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle")
		more := rapid.SampledFrom([]float64{0, math.Pi / 2, math.Pi, 0.3}).Draw(t, "turned")
		shift := rapid.SampledFrom([]float64{0, 1e-6, 7.77}).Draw(t, "shift")
		requireWhole(t, regionOf(t, turned(comb(n), angle, 0, 0)), regionOf(t, turned(comb(m), angle+more, shift, 0)))
	})
}

func TestCombinedByHand(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) orb.Polygon {
		return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
	}
	withHole := append(box(0, 0, 10, 10), orb.Ring{{4, 4}, {4, 6}, {6, 6}, {6, 4}, {4, 4}})
	for _, c := range []struct {
		name                 string
		a, b                 orb.Polygon
		both, onlyA, onlyB   float64
		partsBoth, partsOnly int
	}{
		{"across", box(0, 0, 10, 10), box(5, 5, 15, 15), 25, 75, 75, 1, 1},
		{"side by side", box(0, 0, 10, 10), box(10, 0, 20, 10), 0, 100, 100, 0, 1},
		{"corner to corner", box(0, 0, 10, 10), box(10, 10, 20, 20), 0, 100, 100, 0, 1},
		{"the same", box(0, 0, 10, 10), box(0, 0, 10, 10), 100, 0, 0, 1, 0},
		{"within, on an edge", box(0, 0, 10, 10), box(0, 2, 5, 8), 30, 70, 0, 1, 1},
		{"in the hole", withHole, box(4, 4, 6, 6), 0, 96, 4, 0, 1},
		{"around the hole", withHole, box(3, 3, 7, 7), 12, 84, 4, 1, 1},
		{"through the hole", withHole, box(0, 4.5, 10, 5.5), 8, 88, 2, 2, 2},
		{"apart", box(0, 0, 10, 10), box(20, 0, 30, 10), 0, 100, 100, 0, 1},
		{"makes a hole", box(0, 0, 10, 10), box(2, 2, 3, 3), 1, 99, 0, 1, 1},
	} {
		both, onlyA, onlyB, either := pieces(t, regionOf(t, c.a), regionOf(t, c.b))
		for want, r := range map[*float64]Region{&c.both: both, &c.onlyA: onlyA, &c.onlyB: onlyB} {
			require.InDelta(t, *want, r.Area().SquareMetres(), 1e-9, c.name)
		}
		require.InDelta(t, c.both+c.onlyA+c.onlyB, either.Area().SquareMetres(), 1e-9, c.name)
		require.Len(t, both.Polygons(), c.partsBoth, c.name)
		require.Len(t, onlyA.Polygons(), c.partsOnly, c.name)
	}
}

// Neighbours cut from one outline share all vertices of their border.
func TestCombinedNeighboursShareVertices(t *testing.T) {
	a := regionOf(t, turned(toothedDisc(3000), 0.1, 0, 0))
	b := regionOf(t, orb.Polygon{{{0.1, -500}, {500, -500}, {500, 500}, {0.1, 500}, {0.1, -500}}})
	in, err := a.Intersect(b)
	require.NoError(t, err)
	out, err := a.Subtract(b)
	require.NoError(t, err)
	whole, ok := dissolve(in.Plane(), []orb.MultiPolygon{in.Polygons(), out.Polygons()})
	require.True(t, ok, "every edge of the border runs both ways")
	require.InDelta(t, a.Area().SquareMetres(), whole.Area().SquareMetres(), 1e-9*a.Area().SquareMetres())
	require.Len(t, whole.Polygons(), 1)
	require.Len(t, whole.Polygons()[0], 1, "no cracks")
}

// The teeth of both outlines stand side by side, their boxes meet by the million,
// and what is compared grows with the vertices.
func TestPairsComparedGrowWithTheVertices(t *testing.T) {
	for name, draw := range map[string]func(n int) orb.Polygon{
		"disc": toothedDisc,
		"comb": func(n int) orb.Polygon { return turned(comb(n), math.Pi/4, 0, 0) },
	} {
		for _, other := range []struct {
			name string
			draw func(n int) orb.Polygon
		}{
			{"a square", func(int) orb.Polygon {
				return turned(orb.Polygon{{{0, 0}, {900, 0}, {900, 900}, {0, 900}, {0, 0}}}, 0.3, 0, 0)
			}},
			{"itself, moved along", func(n int) orb.Polygon { return turned(draw(n), 0, 1e-3, 1e-3) }},
		} {
			most := func(n int) int {
				return contestOf(regionOf(t, draw(n)), regionOf(t, other.draw(n))).cut().tested
			}
			few, many := most(2000), most(8000)
			require.Less(t, many, 5*few+100, "%s and %s", name, other.name)
			require.Less(t, many, 10*8000, "%s and %s", name, other.name)
		}
	}
}

func BenchmarkToothedDisc(b *testing.B) {
	for _, n := range []int{8000, 32000, 100000} {
		a := regionOf(b, toothedDisc(n))
		square := regionOf(b, orb.Polygon{{{0, 0}, {900, 0}, {900, 900}, {0, 900}, {0, 0}}})
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for range b.N {
				in, err := a.Intersect(square)
				require.NoError(b, err)
				_, err = a.Subtract(in)
				require.NoError(b, err)
			}
		})
	}
}

// Of large outlines those are combined here whose edges lie side by side.
func TestPlainOutlinesAreTheLibrarys(t *testing.T) {
	circle := make(orb.Ring, 0, 20_001)
	for i := range 20_000 {
		a := 2 * math.Pi * float64(i) / 20_000
		circle = append(circle, orb.Point{400 * math.Cos(a), 400 * math.Sin(a)})
	}
	circle = append(circle, circle[0])
	require.False(t, regionOf(t, orb.Polygon{circle}).isCrowded())
	require.True(t, regionOf(t, turned(comb(20_000), 0.7, 0, 0)).isCrowded())
	require.False(t, regionOf(t, turned(comb(400), 0.7, 0, 0)).isCrowded())
	require.False(t, Region{}.isCrowded())
}
