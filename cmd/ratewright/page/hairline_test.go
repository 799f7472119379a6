package page

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Two blocks of 20 m and 30 m hang on a strip of a millimetre and 200 m.
func dumbbell(angle float64) orb.Polygon {
	ring := orb.Ring{
		{0, 0},
		{20, 0},
		{20, 10},
		{220, 10},
		{220, 0},
		{250, 0},
		{250, 30},
		{220, 30},
		{220, 10.001},
		{20, 10.001},
		{20, 20},
		{0, 20},
		{0, 0},
	}
	sin, cos := math.Sincos(angle)
	for i, p := range ring {
		ring[i] = orb.Point{1000 + p[0]*cos - p[1]*sin, -500 + p[0]*sin + p[1]*cos}
	}
	return orb.Polygon{ring}
}

func areas(mp orb.MultiPolygon) (sum float64, each []float64) {
	for _, p := range mp {
		a := 0.0
		for _, r := range p {
			a += signedArea(r)
		}
		each = append(each, a)
		sum += a
	}
	return sum, each
}

func TestPatchesArePartedAtHairlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := withoutHairlines(orb.MultiPolygon{dumbbell(rapid.Float64Range(0, 7).Draw(t, "angle"))})
		require.Len(t, parts, 2)
		_, each := areas(parts)
		assert.InDelta(t, 400, each[0], 1)
		assert.InDelta(t, 900, each[1], 1)
	})
}

// A ring of a hairline around a yard: the block on it stays, the ring goes.
func TestAHairlineAroundAHole(t *testing.T) {
	shell := orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}, {0, 0}}
	hole := orb.Ring{{0.001, 0.001}, {0.001, 99.999}, {99.999, 99.999}, {99.999, 20}, {80, 20}, {80, 0.001}, {0.001, 0.001}}
	parts := withoutHairlines(orb.MultiPolygon{{shell, hole}})
	sum, each := areas(parts)
	require.Len(t, each, 1)
	assert.InDelta(t, 400, sum, 3)
}

// What has no hairline, and what is nothing else, stays as it is.
func TestOtherPatchesStayWhole(t *testing.T) {
	strip := orb.Polygon{{{0, 0}, {300, 0}, {300, 0.02}, {0, 0.02}, {0, 0}}}
	wide := orb.Polygon{
		{{0, 0}, {300, 0}, {300, 0.2}, {0, 0.2}, {0, 0}},
	}
	ring := orb.Polygon{
		{{0, 0}, {100, 0}, {100, 100}, {0, 100}, {0, 0}},
		{{10, 10}, {10, 90}, {90, 90}, {90, 10}, {10, 10}},
	}
	for _, p := range []orb.Polygon{strip, wide, ring, {}, {{{0, 0}, {100, 0}, {0, 0}}}, {{{math.NaN(), 0}, {100, 0}, {100, 50}}}} {
		got := withoutHairlines(orb.MultiPolygon{p})
		require.Len(t, got, 1)
		require.Len(t, got[0], len(p))
		for i := range p {
			require.Len(t, got[0][i], len(p[i]))
		}
	}
}

// A strip of 4 cm is parted wherever it lies, also where squares of the search meet in
// it, and whether or not its corners stand there twice.
func TestHairlinesArePartedWhereverTheyLie(t *testing.T) {
	for k := range 300 {
		y := 1 + 0.02*float64(k)
		ring := orb.Ring{
			{0, 0},
			{20, 0},
			{20, y},
			{120, y},
			{220, y},
			{220, 0},
			{250, 0},
			{250, 30},
			{220, 30},
			{220, y + 0.04},
			{120, y + 0.04},
			{20, y + 0.04},
			{20, 20},
			{0, 20},
			{0, 0},
		}
		if k%2 == 1 {
			var twice orb.Ring
			for _, p := range ring {
				twice = append(twice, p, p)
			}
			ring = twice
		}
		_, each := areas(withoutHairlines(orb.MultiPolygon{{ring}}))
		require.Len(t, each, 2, "%d", k)
		slices.Sort(each)
		require.InDeltaSlice(t, []float64{400, 900}, each, 1, "%d", k)
	}
}

// A hole that touches the outline in a vertex stays a hole, whichever vertex that is.
func TestAHoleThatTouchesTheOutlineStays(t *testing.T) {
	shell := dumbbell(0)[0]
	corners := orb.Ring{{1020, -495}, {1018, -493.5}, {1016, -495}, {1018, -496.5}} // the first on the outline
	for k := range corners {
		hole := slices.Concat(corners[k:], corners[:k])
		slices.Reverse(hole)
		parts := withoutHairlines(orb.MultiPolygon{{shell, append(hole, hole[0])}})
		require.Len(t, parts, 2, "%d", k)
		_, each := areas(parts)
		slices.Sort(each)
		require.InDeltaSlice(t, []float64{400 - 6, 900}, each, 1, "%d", k)
	}
}
