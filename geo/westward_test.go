package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The places in the box of a contest that are looked at lie on the corners of a hole:
// none tells what is west of it, and the regions are combined another way.
func TestWhatIsWestIsLeftOpenWhereEachPlaceLiesOnAnEdge(t *testing.T) {
	block := squareAt(t, 0, 0, 100)
	field := squareAt(t, -100, -100, 300)
	box := sharedBox(block, field)
	at := func(x, y float64) orb.Point {
		return orb.Point{box.Min[0] + x*(box.Max[0]-box.Min[0]), box.Min[1] + y*(box.Max[1]-box.Min[1])}
	}
	hole := orb.Polygon{{at(0.5, 0.5), at(0.83, 0.61), at(0.11, 0.71), at(0.29, 0.37), at(0.5, 0.5)}}
	field, err := field.Subtract(regionOf(t, hole))
	require.NoError(t, err)
	require.False(t, contestOf(block, field).clear)
	_, ok := combine(block, field, inBoth)
	require.False(t, ok)
	both, err := block.Intersect(field)
	require.NoError(t, err)
	require.InDelta(t, 1e4-math.Abs(ringAreaM2(hole[0])), float64(both.Area()), 1e-6)
}

// East of a vertex in which one edge ends and the next begins they count once.
func TestEdgesThatMeetCountOnceEastOfTheirVertex(t *testing.T) {
	corner := orb.Point{3, 4}
	var edges []borderEdge
	ring := []orb.Point{{-20, -20}, {0, -20}, corner, {0, 30}, {-20, 30}}
	for i, q := range ring {
		edges = append(edges, borderEdge{segment: segment{q, ring[(i+1)%len(ring)]}})
	}
	_, v := tilted(corner)
	level := 0
	for k := 1; k < 1000; k++ {
		by := float64(k) / 64
		q := orb.Point{corner[0] + by*oddX, corner[1] + by*oddY}
		if _, w := tilted(q); w != v {
			continue // by rounding
		}
		level++
		sum, clear := windingWest(edges, q)
		require.True(t, clear)
		require.Zero(t, sum, "the ring lies west of %v", q)
	}
	require.Greater(t, level, 50)
}

// Edges pair where one is drawn from zero and the other from minus zero.
func TestEdgesPairWhateverTheSignOfZero(t *testing.T) {
	minus := math.Copysign(0, -1)
	u := newUnpaired(2)
	u.add(segment{orb.Point{0, 0}, orb.Point{10, minus}}, 1)
	u.add(segment{orb.Point{10, 0}, orb.Point{minus, minus}}, 1)
	require.Empty(t, u.left())
}
