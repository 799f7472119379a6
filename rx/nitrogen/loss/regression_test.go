package loss

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/water"
)

var spring = time.Date(2025, 5, 1, 0, 0, 0, 0, time.UTC)

// moist is a season of one temperature whose surface is always moist, with water (mm)
// on days of the course, 1 for the first.
func moist(n int, c float64, rain map[int]float64) *water.Season {
	s := &water.Season{
		First: spring, Days: make([]water.State, n), Soil: water.Soil{Group: "medium"},
		AvailableShare: 0.17, WiltingMM: 75, CapacityMM: 177, SaturationMM: 288,
	}
	for i := range s.Days {
		s.Days[i] = water.State{MeanC: c, SoilC: c, Surface: 1, SoilMM: 177, ArrivedMM: rain[i+1]}
	}
	return s
}

func known(t require.TestingT, name string) nitrogen.Source {
	s, ok := nitrogen.Known(name)
	require.True(t, ok, name)
	return s
}

// lostAir is the ammonia lost by days, in percent of the nitrogen, at a share of the
// cleared that is lost.
func lostAir(t *testing.T, a Application, s *water.Season, phi float64, days ...int) []float64 {
	t.Helper()
	c := Mid()
	a.Date = spring
	shape, err := Prepare(a, s, s.First.AddDate(0, 0, len(s.Days)-1), &c)
	require.NoError(t, err)
	var list []float64
	for _, d := range days {
		list = append(list, shape.balance(100, phi, 0, d).Ammonia)
	}
	return list
}

// A regression against the scheme's own reference output: it shows that the scheme is
// built as it was written down, not that it is right. The share lost of what is
// cleared is 0.298: urea on full residue, 134 kg N/ha, 20 °C.
func TestRegressionOfTheReferenceOutput(t *testing.T) {
	urea := Application{Source: known(t, "urea")}
	got := lostAir(t, urea, moist(60, 20, nil), 0.298, 1, 2, 3, 4, 5, 7, 10, 14, 21, 28)
	require.InDeltaSlice(t, []float64{0.0, 1.8, 5.4, 9.4, 13.0, 18.9, 24.3, 27.6, 29.4, 29.7}, got, 0.05)
	for _, r := range []struct {
		day      int
		mm, lost float64
	}{{3, 12, 6.9}, {4, 12, 10.3}, {6, 15, 15.6}, {7, 15, 18.3}, {8, 15, 20.6}, {1, 7.6, 8.8}, {1, 14.6, 2.9}, {1, 21.6, 0.9}} {
		got := lostAir(t, urea, moist(90, 20, map[int]float64{r.day: r.mm}), 0.298, 90)
		require.InDelta(t, r.lost, got[0], 0.05, "%g mm on day %d", r.mm, r.day)
	}
	nbpt := urea
	nbpt.Inhibitor = Urease
	got = lostAir(t, nbpt, moist(200, 20, nil), 0.298*0.6, 7, 10, 14, 21, 28, 200)
	require.InDeltaSlice(t, []float64{6.3, 9.2, 12.0, 14.9, 16.4, 17.9}, got, 0.05)
	require.InDelta(t, 4.3, lostAir(t, nbpt, moist(200, 20, map[int]float64{4: 12}), 0.298*0.6, 200)[0], 0.05)
	require.InDelta(t, 6.7, lostAir(t, nbpt, moist(200, 20, map[int]float64{7: 15}), 0.298*0.6, 200)[0], 0.05)
	uan := Application{Source: known(t, "uan-32")}
	uan.Source.UreaN, uan.Source.AmmoniumN, uan.Source.NitrateN = 16, 8, 8
	got = lostAir(t, uan, moist(60, 20, nil), 0.1856/0.75, 1, 2, 3, 4, 5, 7, 10, 14, 21, 28)
	require.InDeltaSlice(t, []float64{3.9, 6.9, 9.3, 11.2, 12.7, 14.9, 16.7, 17.8, 18.4, 18.5}, got, 0.06)
	an := Application{Source: known(t, "ammonium-nitrate")}
	got = lostAir(t, an, moist(60, 20, nil), 0.0487/0.5, 1, 2, 3, 4, 5, 60)
	require.InDeltaSlice(t, []float64{2.5, 3.7, 4.3, 4.6, 4.7, 4.9}, got, 0.06)
}

// The same by the rate and the site instead of a given share.
func TestTheSchemeMakesItsOwnShare(t *testing.T) {
	c := Mid()
	for _, r := range []struct {
		source    string
		placement Placement
		cover     float64
		lost      float64
	}{{"urea", Broadcast, 1, 29.8}, {"uan-32", Broadcast, 1, 18.56}, {"uan-32", Dribbled, 1, 14.3}, {"uan-32", Broadcast, 0, 10.92}, {"ammonium-nitrate", Broadcast, 0, 4.87}} {
		a := Application{Source: known(t, r.source), Placement: r.placement, Date: spring}
		course, err := Follow(a, Site{PH: 6.5, Cover: r.cover}, unit.KgNPerHa(134), moist(200, 20, nil), spring.AddDate(0, 0, 199), &c)
		require.NoError(t, err)
		require.InDelta(t, r.lost, 100*course.Days[199].Ammonia/134, 0.05, r.source)
		require.InDelta(t, r.lost, 100*course.Potential, 0.05, r.source)
	}
}
