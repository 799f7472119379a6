package rx

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// toothedHalves are a disc with 6,000 teeth of 5 %, cut in two at a place.
func toothedHalves(t *testing.T, at float64) (whole, west, east geo.Region) {
	p, err := geo.NewPlane(geo.LonLat{-93.6, 42})
	require.NoError(t, err)
	var ring orb.Ring
	for i := range 6000 {
		a, d := 2*math.Pi*float64(i)/6000, 400*(1+0.05*float64(i%2))
		ring = append(ring, orb.Point{d * math.Cos(a), d * math.Sin(a)})
	}
	whole, err = geo.RegionFromPolygons(p, orb.MultiPolygon{{append(ring, ring[0])}})
	require.NoError(t, err)
	side, err := geo.RegionFromPolygons(p, orb.MultiPolygon{{{{at, -500}, {500, -500}, {500, 500}, {at, 500}, {at, -500}}}})
	require.NoError(t, err)
	west, err = whole.Subtract(side)
	require.NoError(t, err)
	east, err = whole.Intersect(side)
	require.NoError(t, err)
	return whole, west, east
}

func TestIntricateRegionsAreSurveyedAsBySweep(t *testing.T) {
	whole, west, east := toothedHalves(t, 0.1)
	regions := []geo.Region{west, east}
	joined, ok := surveyOfIntricate(regions)
	require.True(t, ok)
	swept := surveyOf(regions, whole) // with a ground it sweeps
	require.Positive(t, swept.faces)
	for i := range regions {
		require.InDelta(t, swept.held[i].SquareMetres(), joined.held[i].SquareMetres(), 1e-9*whole.Area().SquareMetres())
	}
	require.Zero(t, surveyOf(regions).faces, "joined, not swept")
	_, ok = surveyOfIntricate([]geo.Region{west, whole})
	require.False(t, ok, "they share ground")
	pairs, total, err := overlaps([]geo.Region{whole, east}, surveyOf([]geo.Region{whole, east}))
	require.NoError(t, err)
	require.Len(t, pairs, 1)
	require.InDelta(t, east.Area().SquareMetres(), total.SquareMetres(), 1e-9*whole.Area().SquareMetres())
}

func TestGroundLeftByIntricateZones(t *testing.T) {
	whole, west, east := toothedHalves(t, 0.1)
	f := Field{Plane: whole.Plane(), Ground: whole}
	rest, err := unzoned(f, []geo.Region{west})
	require.NoError(t, err)
	require.InDelta(t, east.Area().SquareMetres(), rest.Area().SquareMetres(), 1e-9*whole.Area().SquareMetres())
	rest, err = unzoned(f, []geo.Region{west, east})
	require.NoError(t, err)
	require.True(t, rest.IsEmpty())
}

// However intricate the zones, and where they share ground, what rounding leaves is none.
func TestRoundingLeftByIntricateZonesIsNone(t *testing.T) {
	for at, left := range map[float64]bool{419.99: false, 419: true} {
		whole, west, east := toothedHalves(t, at)
		require.True(t, areIntricate([]geo.Region{west}))
		require.Equal(t, left, east.Area().SquareMetres() > noGround*whole.Area().SquareMetres())
		require.False(t, east.IsEmpty())
		rest, err := unzoned(Field{Plane: whole.Plane(), Ground: whole}, []geo.Region{west, west})
		require.NoError(t, err)
		require.Equal(t, left, !rest.IsEmpty())
	}
}
