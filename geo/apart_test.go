package geo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func squareAt(t require.TestingT, x, y, side float64) Region {
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(t, err)
	r, err := RegionFromPolygons(p, orb.MultiPolygon{{{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}}})
	require.NoError(t, err)
	return r
}

// Regions that lie clear of each other's edges are told by their boxes, and the
// answer is what the overlay says.
func TestRegionsClearOfEachOther(t *testing.T) {
	big := squareAt(t, 0, 0, 100)
	ring, err := big.Subtract(squareAt(t, 40, 40, 20))
	require.NoError(t, err)
	for _, c := range []struct {
		name string
		a, b Region
		want relation
	}{
		{"within", squareAt(t, 10, 10, 5), ring, within},
		{"in the hole", squareAt(t, 45, 45, 5), ring, apart},
		{"far off", squareAt(t, 200, 0, 5), ring, apart},
		{"touching from inside", squareAt(t, 0, 10, 5), ring, entangled},
		{"touching from outside", squareAt(t, 100, 10, 5), ring, entangled},
		{"across", squareAt(t, 95, 10, 10), ring, entangled},
		{"around", squareAt(t, -50, -50, 300), ring, entangled},
		{"empty", Region{}, ring, apart},
		{"of nothing", ring, Region{}, apart},
	} {
		require.Equal(t, c.want, relate(c.a, c.b), c.name)
		in, err := c.a.Intersect(c.b)
		require.NoError(t, err)
		out, err := c.a.Subtract(c.b)
		require.NoError(t, err)
		over, err := overlay("intersection", c.a, c.b, geom.Intersection)
		require.NoError(t, err)
		require.InDelta(t, float64(over.Area()), float64(in.Area()), 1e-6, c.name)
		require.InDelta(t, float64(c.a.Area()), float64(in.Area()+out.Area()), 1e-6, c.name)
	}
}

// cells are squares of a grid, some left out, each turned by an angle that is no
// round number, as zones of a field are.
func drawCells(t *rapid.T) []Region {
	n := rapid.IntRange(1, 7).Draw(t, "side")
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	p, err := NewPlane(LonLat{-93.6, 42})
	require.NoError(t, err)
	at := func(i, j int) orb.Point {
		s, c := math.Sincos(0.4)
		x, y := 17.3*float64(i), 11.7*float64(j)
		return orb.Point{c*x - s*y, s*x + c*y}
	}
	var cells []Region
	for i := range n {
		for j := range n {
			if rng.IntN(4) == 0 {
				continue
			}
			r, err := RegionFromPolygons(p, orb.MultiPolygon{{{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1), at(i, j)}}})
			require.NoError(t, err)
			cells = append(cells, r)
		}
	}
	return cells
}

// Cells with holes among them and corners where only points meet: what dissolving
// makes of them is valid, as large as they are together, and the same ground as
// the overlay's.
func TestDissolvedCellsAreTheirUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := drawCells(t)
		var parts []orb.MultiPolygon
		var gs []geom.Geometry
		sum := 0.0
		for _, c := range cells {
			parts = append(parts, c.Polygons())
			gs = append(gs, toGeom(c.Polygons()))
			sum += float64(c.Area())
		}
		if len(cells) == 0 {
			return
		}
		p := cells[0].Plane()
		parts = noded(parts)
		got, ok := dissolve(p, parts)
		require.True(t, ok)
		requireValid(t, got)
		require.InDelta(t, sum, float64(got.Area()), 1e-9*sum)
		g, err := geom.UnionMany(gs)
		require.NoError(t, err)
		want, err := ofOverlay(p, g, nil)
		require.NoError(t, err)
		require.Len(t, got.Polygons(), len(want.Polygons()))
		rest, err := overlay("difference", want, got, geom.Difference)
		require.NoError(t, err)
		require.Less(t, float64(rest.Area()), 1e-6)
	})
}

// Polygons that share ground are left to the overlay, whichever way they lie.
func TestOverlapsAreNotDissolved(t *testing.T) {
	a := squareAt(t, 0, 0, 100)
	diamond := orb.MultiPolygon{{{{50, -20}, {120, 50}, {50, 120}, {-20, 50}, {50, -20}}}}
	for name, b := range map[string]orb.MultiPolygon{
		"the same":          a.Polygons(),
		"inside":            squareAt(t, 10, 10, 5).Polygons(),
		"inside a corner":   squareAt(t, 0, 0, 50).Polygons(),
		"inside on an edge": squareAt(t, 30, 0, 20).Polygons(),
		"across":            squareAt(t, 50, 50, 100).Polygons(),
		"across in corners": diamond,
	} {
		_, ok := dissolve(a.Plane(), noded([]orb.MultiPolygon{a.Polygons(), b}))
		require.False(t, ok, name)
	}
}

func TestPointIndexFindsAllPointsAlongALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		points := make([]orb.Point, rapid.IntRange(0, 300).Draw(t, "points"))
		for i := range points {
			points[i] = orb.Point{rng.Float64() * 10, rng.Float64() * 10}
		}
		reach := rng.Float64()
		a, b := orb.Point{rng.Float64() * 10, rng.Float64() * 10}, orb.Point{rng.Float64() * 10, rng.Float64() * 10}
		found := map[int]bool{}
		NewPointIndex(points).Along(a, b, reach, func(i int) {
			require.False(t, found[i], "told twice")
			found[i] = true
		})
		for i, p := range points {
			if (segment{a, b}).distance(p) <= reach {
				require.True(t, found[i])
			}
		}
	})
}

// What is left of a region is as large as it is without the union of the others,
// whether these share no ground, overlap or reach beyond it.
func TestSubtractAllIsLessTheUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cells := drawCells(t)
		ground := regionOf(t, drawPolygon(t, "ground"))
		var taken []Region
		for _, c := range cells {
			if rapid.Bool().Draw(t, "cut to the ground") {
				in, err := c.Intersect(ground)
				require.NoError(t, err)
				c = in
			}
			taken = append(taken, c)
		}
		if rapid.Bool().Draw(t, "overlap") {
			taken = append(taken, regionOf(t, drawPolygon(t, "over others")))
		}
		rest, err := ground.SubtractAll(taken)
		require.NoError(t, err)
		requireValid(t, rest)
		all, err := UnionAll(taken)
		require.NoError(t, err)
		want, err := ground.Subtract(all)
		require.NoError(t, err)
		require.InDelta(t, float64(want.Area()), float64(rest.Area()), 1e-9*float64(ground.Area()))
		missing, err := want.Subtract(rest)
		require.NoError(t, err)
		require.Less(t, float64(missing.Area()), 1e-9*float64(ground.Area()))
	})
}

func TestSubtractAllByHand(t *testing.T) {
	ground := squareAt(t, 0, 0, 100)
	for _, c := range []struct {
		name  string
		taken []Region
		want  float64
	}{
		{"nothing", nil, 10_000},
		{"nothing but empty ones", []Region{{}, {}}, 10_000},
		{"all of it", []Region{ground}, 0},
		{"all and more", []Region{squareAt(t, -10, -10, 200)}, 0},
		{"the same twice", []Region{squareAt(t, 0, 0, 50), squareAt(t, 0, 0, 50)}, 7500},
		{"what lies outside", []Region{squareAt(t, 200, 0, 50)}, 10_000},
		{"what lies beside it", []Region{squareAt(t, 100, 0, 100)}, 10_000},
		{"a hole", []Region{squareAt(t, 40, 40, 20)}, 9600},
		{"what is in another", []Region{squareAt(t, 40, 40, 20), squareAt(t, 45, 45, 5)}, 9600},
		{"a half beyond", []Region{squareAt(t, 50, -50, 100)}, 7500},
	} {
		rest, err := ground.SubtractAll(c.taken)
		require.NoError(t, err, c.name)
		require.InDelta(t, c.want, rest.Area().SquareMetres(), 1e-6, c.name)
	}
	rest, err := Region{}.SubtractAll([]Region{ground})
	require.NoError(t, err)
	require.True(t, rest.IsEmpty())
}

// Regions do not lie in one without ground, unless they have none either.
func TestNothingIsApartFromNothingAlone(t *testing.T) {
	ground := squareAt(t, 0, 0, 100)
	none, err := ground.Subtract(ground)
	require.NoError(t, err)
	for _, r := range []Region{{}, none} {
		rest, ok := r.SubtractApart([]Region{none, {}})
		require.True(t, ok)
		require.True(t, rest.IsEmpty())
		_, ok = r.SubtractApart([]Region{ground})
		require.False(t, ok)
	}
}
