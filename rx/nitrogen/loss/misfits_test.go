package loss

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/water"
)

// The scheme against published measurements. Most of these sources were used to set a
// coefficient, which each test says: those are regressions. Where the scheme misses
// what was published, the test holds the miss.

const onResidue = 0.298 // share lost of the cleared: urea, full residue, 134 kg N/ha, 20 °C

func dried(s *water.Season, from, to int) *water.Season {
	for i := from; i <= to; i++ {
		s.Days[i-1].Surface = 0
	}
	return s
}

func urea(t *testing.T, i Inhibitor) Application {
	return Application{Source: known(t, "urea"), Inhibitor: i}
}

// Source: three-year study in no-till corn, 134 kg N/ha, less than 5 mm in the first 6
// days (authors Fox, Piekielek & Macneal 1996, SSSAJ 60: citation from memory): 29.9,
// 16.4 and 12.7 % of urea, sprayed and dribbled UAN. Used to set the factor of residue
// and of bands. Dry to day 11, 12 mm on day 12, at an assumed 20 °C.
func TestNoTillCornOfThreeYears(t *testing.T) {
	c := Mid()
	season := moist(90, 20, map[int]float64{12: 12})
	var got []float64
	for _, r := range []struct {
		source    string
		placement Placement
		low, high float64
	}{{"urea", Broadcast, 20, 32}, {"uan-32", Broadcast, 11, 20}, {"uan-32", Dribbled, 8, 16}} {
		course, err := Follow(Application{Source: known(t, r.source), Placement: r.placement, Date: spring}, Site{PH: 6.5, Cover: 1}, unit.KgNPerHa(134), season, spring.AddDate(0, 0, 89), &c)
		require.NoError(t, err)
		lost := 100 * course.Days[89].Ammonia / 134
		require.GreaterOrEqual(t, lost, r.low)
		require.LessOrEqual(t, lost, r.high)
		got = append(got, lost)
	}
	require.InDeltaSlice(t, []float64{26.4, 17.4, 13.5}, got, 0.1)
}

// Source: Fox, Kern & Piekielek 1986, Agron. J. 78:741-746: below 5 % with 10 mm by day
// 2 to 3; above 30 % with 5 to 7 dry days. MISSED at both ends: right in order and
// direction, too flat.
func TestRainAfterUreaMissesBothBounds(t *testing.T) {
	total := func(day int, mm, phi float64) float64 {
		return lostAir(t, urea(t, NoInhibitor), moist(120, 20, map[int]float64{day: mm}), phi, 120)[0]
	}
	early := []float64{total(3, 12, onResidue), total(4, 12, onResidue)}
	late := []float64{total(6, 15, onResidue), total(7, 15, onResidue), total(8, 15, onResidue)}
	require.InDeltaSlice(t, []float64{6.9, 10.3}, early, 0.05)
	require.InDeltaSlice(t, []float64{15.6, 18.3, 20.6}, late, 0.05)
	require.Greater(t, early[0], 5.0, "the miss: published is below 5")
	require.Less(t, late[2], 30.0, "the miss: published is above 30")
	require.GreaterOrEqual(t, late[0]/early[0], 2.0)
	// At the upper band the late figures come near, and the early ones are further off.
	require.InDelta(t, 26.2, total(6, 15, 0.5), 0.1)
	require.InDelta(t, 34.6, total(8, 15, 0.5), 0.1)
	require.InDelta(t, 11.6, total(3, 12, 0.5), 0.1)
}

// Source: Holcomb et al. 2011, SSSAJ: water right after urea leaves 0.288, 0.10 and
// 0.046 of the loss at 7.6, 14.6 and 21.6 mm. Used to set the wash.
func TestWaterRightAfterUrea(t *testing.T) {
	none := lostAir(t, urea(t, NoInhibitor), moist(120, 20, nil), onResidue, 120)[0]
	for mm, band := range map[float64][2]float64{7.6: {0.25, 0.33}, 14.6: {0.07, 0.13}, 21.6: {0.02, 0.07}} {
		left := lostAir(t, urea(t, NoInhibitor), moist(120, 20, map[int]float64{1: mm}), onResidue, 120)[0] / none
		require.GreaterOrEqual(t, left, band[0])
		require.LessOrEqual(t, left, band[1])
	}
}

// Source: Black, Sherlock & Smith 1987, J. Soil Sci.: 73 ± 14 % of urea on air-dry soil
// was there after 30 days; repeated light wetting made the loss worse, 39 against 28 to
// 33 %. Used to set the hydrolysis of a dry surface.
func TestUreaOnDrySoil(t *testing.T) {
	c := Mid()
	a := urea(t, NoInhibitor)
	a.Date = spring
	s, err := Prepare(a, dried(moist(40, 20, nil), 1, 40), spring.AddDate(0, 0, 39), &c)
	require.NoError(t, err)
	require.InDelta(t, 0.707, s.rows[30].urea, 0.005, "30 days after the day of application")
	without := lostAir(t, a, dried(moist(31, 20, nil), 1, 31), onResidue, 31)[0]
	wetted := dried(moist(31, 20, map[int]float64{5: 2}), 1, 31)
	for i, moisture := range []float64{1, 1, 1, 0.8, 0.6, 0.4, 0.2} {
		wetted.Days[4+i].Surface = moisture
	}
	with := lostAir(t, a, wetted, onResidue, 31)[0]
	require.InDelta(t, 8.4, without, 0.1)
	require.InDelta(t, 16.8, with, 0.2)
	require.Greater(t, with, 1.5*without, "light rain on dry urea does harm")
}

// Source: Silva et al. 2017, Agron. J.: half of the loss by 4.8 days, 8.3 with an
// inhibitor. Used to set the clearing, at an assumed 25 °C.
func TestHalfLossTimes(t *testing.T) {
	for at, want := range map[float64][2]float64{10: {7.64, 14.56}, 15: {6.48, 11.79}, 20: {5.58, 9.67}, 25: {4.86, 8.04}} {
		for i, inhibitor := range []Inhibitor{NoInhibitor, Urease} {
			require.InDelta(t, want[i], daysTo(t, urea(t, inhibitor), moist(400, at, nil), 0.2, 10), 0.01, "%g °C", at)
		}
	}
}

// daysTo is when so many percent are lost, with a straight line within the day.
func daysTo(t *testing.T, a Application, s *water.Season, phi, percent float64) float64 {
	c := Mid()
	a.Date = spring
	shape, err := Prepare(a, s, spring.AddDate(0, 0, len(s.Days)-1), &c)
	require.NoError(t, err)
	before := 0.0
	for d := 1; d <= shape.Days(); d++ {
		now := shape.balance(100, phi, 0, d).Ammonia
		if now >= percent {
			return float64(d-1) + (percent-before)/(now-before)
		}
		before = now
	}
	return float64(shape.Days())
}

// Source: Silva et al. 2017: -52 %; Engel et al. 2011 and 17 paired trials in Montana:
// -64 to -66 %. The dry figure is below both. Used to set the factor.
func TestEffectOfUreaseInhibitor(t *testing.T) {
	for day, want := range map[int]float64{4: -58, 7: -63, 0: -40} {
		rain := map[int]float64{day: map[int]float64{4: 12, 7: 15}[day]}
		plain := lostAir(t, urea(t, NoInhibitor), moist(300, 20, rain), onResidue, 300)[0]
		kept := lostAir(t, urea(t, Urease), moist(300, 20, rain), onResidue*0.6, 300)[0]
		require.InDelta(t, want, 100*(kept/plain-1), 1, "rain on day %d", day)
	}
}

// Source: Engel, Jones & Wallander 2011, SSSAJ 75:2348-2357, 100 kg N/ha near 5 °C: 10
// to 20 % with less than 8 mm on a dry surface, below 10 % with more than 18 mm; mean
// of trials 20.5 %; Montana means 18.1 %, 6.5 % with an inhibitor. Not used to set
// anything. Met with heavy rain and in the mean; MISSED with light rain (too low) and
// with an inhibitor in dry cold (-40 % against -64 %).
func TestUreaInTheCold(t *testing.T) {
	c := Mid()
	for cover, want := range map[float64][]float64{0: {1.1, 1.3, 4.2, 7.5, 13.6, 8.1}, 1: {1.8, 2.2, 7.1, 12.7, 23.2, 13.8}} {
		a := urea(t, NoInhibitor)
		a.Date = spring
		phi, err := c.Potential(a, Site{PH: 6.5, Cover: cover}, unit.KgNPerHa(100), 5)
		require.NoError(t, err)
		var got []float64
		for _, mm := range []float64{20, 18, 8, 4} {
			got = append(got, lostAir(t, a, dried(moist(200, 5, map[int]float64{10: mm}), 1, 9), phi, 200)[0])
		}
		got = append(got, lostAir(t, a, moist(300, 5, nil), phi, 300)[0])
		got = append(got, lostAir(t, urea(t, Urease), moist(300, 5, nil), 0.6*phi, 300)[0])
		require.InDeltaSlice(t, want, got, 0.3)
		require.Less(t, got[0], 10.0, "met: heavy rain")
		require.Less(t, got[2], 10.0, "the miss: published is 10 to 20 at 8 mm")
		require.Greater(t, got[5]/got[4], 0.55, "the miss: published is 0.36")
	}
}

// Source: Rochette et al. 2009 (citation from memory), cores with 140 kg N/ha of urea:
// 21.4 % lost under no-till, 3.7 % ploughed, urease 4.2 times. The direction holds;
// MISSED in size: here residue makes it 1.7 times, not 5.8.
func TestUreaseUnderNoTill(t *testing.T) {
	c := Mid()
	a := urea(t, NoInhibitor)
	a.Date = spring
	var lost [2]float64
	for i, cover := range []float64{0, 1} {
		course, err := Follow(a, Site{PH: 6.5, Cover: cover}, unit.KgNPerHa(140), moist(30, 20, nil), spring.AddDate(0, 0, 29), &c)
		require.NoError(t, err)
		lost[i] = course.Days[29].Ammonia
	}
	require.InDelta(t, 1.7, lost[1]/lost[0], 1e-9, "published: 5.8")
	fast := c
	fast.Hydrolysis *= 4.2
	slow, err := Follow(a, Site{PH: 6.5}, unit.KgNPerHa(140), moist(30, 20, map[int]float64{5: 10}), spring.AddDate(0, 0, 29), &c)
	require.NoError(t, err)
	quick, err := Follow(a, Site{PH: 6.5}, unit.KgNPerHa(140), moist(30, 20, map[int]float64{5: 10}), spring.AddDate(0, 0, 29), &fast)
	require.NoError(t, err)
	require.Greater(t, quick.Days[29].Ammonia, slow.Days[29].Ammonia, "more urease, more loss before rain")
}

// Source: Maddux et al. 1991, SSSAJ 55 (two years, urea of UAN labelled with 15N): the crop
// recovered 61 and 68 % of what was banded and 39 and 44 % of what was broadcast and worked
// in, 22 and 24 points less; 58 and 14 % more was immobilized broadcast. Not used to set
// the pathways; the larger share of tie-up for broadcast leans on it. MISSED in size: what is
// still there differs by 7 points under full residue, in this order, and on bare ground by
// 0.4 in the other, for slots are reckoned to leak. The study's rate, depths, residue, soil
// and weather are not at hand (167 kg N/ha, 5 cm, moist at 20 °C are assumed), and recovery
// is uptake, which the scheme does not have: a crop that finds a band takes more of it.
func TestBandedOverBroadcastIsTooFlat(t *testing.T) {
	c := Mid()
	const rate, days = 167, 60
	left := func(p Placement, cover float64) (still, held float64) {
		a := Application{Source: known(t, "uan-32"), Placement: p, Depth: unit.Metres(0.05), Date: spring}
		course, err := Follow(a, Site{PH: 6.5, Cover: cover}, unit.KgNPerHa(rate), moist(days, 20, nil), spring.AddDate(0, 0, days-1), &c)
		require.NoError(t, err)
		b := course.Days[days-1]
		return 100 * b.StillThere() / rate, 100 * b.Held / rate
	}
	for cover, want := range map[float64]float64{0: -0.36, 1: 6.72} {
		banded, heldBand := left(Injected, cover)
		broadcast, heldBroadcast := left(Incorporated, cover)
		require.InDelta(t, want, banded-broadcast, 0.05, "points, at a cover of %g", cover)
		require.Less(t, banded-broadcast, 10.0, "the miss: published is 22 to 24")
		require.GreaterOrEqual(t, heldBroadcast, heldBand)
	}
}
