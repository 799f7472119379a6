package loss

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// Rules of thumb of the trade, "common practice", beside what the scheme says.

// Common practice: bare surface urea has lost 10 % after about 2 days, after about 11
// with an inhibitor. A warm worst case: Fox, Kern & Piekielek 1986 found less than 5 %
// where 10 mm came by day 2 to 3. The scheme is slower and does NOT MEET the 2 days:
// it has 7 on bare ground at 20 °C, 5 on residue, and 3 with high losses at 28 °C. The
// 11 days with an inhibitor it has on residue alone; on bare ground they are 34.
func TestDaysToATenPercentLoss(t *testing.T) {
	days := func(c Coefficients, warmth, cover float64, i Inhibitor) float64 {
		a := urea(t, i)
		a.Date = spring
		course, err := Follow(a, Site{PH: 6.5, Cover: cover}, unit.KgNPerHa(134), moist(400, warmth, nil), spring.AddDate(0, 0, 399), &c)
		require.NoError(t, err)
		for n, d := range course.Days {
			if d.Ammonia >= 13.4 {
				return float64(n + 1)
			}
		}
		return 401
	}
	for _, r := range []struct {
		name           string
		c              Coefficients
		warmth, cover  float64
		plain, delayed float64
	}{
		{"bare, 20 °C", Mid(), 20, 0, 7, 34},
		{"residue, 20 °C", Mid(), 20, 1, 5, 11},
		{"residue, 28 °C", Mid(), 28, 1, 4, 8},
		{"residue, 28 °C, high losses", High(), 28, 1, 3, 4},
	} {
		plain, delayed := days(r.c, r.warmth, r.cover, NoInhibitor), days(r.c, r.warmth, r.cover, Urease)
		require.Equal(t, r.plain, plain, r.name)
		require.Equal(t, r.delayed, delayed, r.name)
		require.Greater(t, plain, 2.0, "the difference to the rule: never as fast as 2 days")
	}
}

// Common practice: about 1 in of rain takes urea in. Published: 7.6 mm (0.3 in) cut the
// loss by 71 %, 14.6 mm (0.6 in) by 90 % (Holcomb et al. 2011); 0.25 to 0.50 in within
// two days is enough (Iowa State 2018). The scheme agrees with either.
func TestRainThatTakesUreaIn(t *testing.T) {
	none := lostAir(t, urea(t, NoInhibitor), moist(120, 20, nil), onResidue, 120)[0]
	for inches, left := range map[float64]float64{0.25: 0.36, 0.5: 0.13, 1: 0.02} {
		got := lostAir(t, urea(t, NoInhibitor), moist(120, 20, map[int]float64{1: 25.4 * inches}), onResidue, 120)[0]
		require.InDelta(t, left, got/none, 0.01, "%g in", inches)
	}
}

// Common practice ranks broadcast UAN last among the forms. The measurements do not
// bear that out for ammonia: UAN loses less than urea broadcast (Maenpaa & Hutchings
// 2025; the three-year no-till study), and so does the scheme. It is last among the ways
// to apply UAN.
func TestBroadcastUANIsLastOfUANOnly(t *testing.T) {
	c := Mid()
	left := map[string]float64{}
	for name, a := range map[string]Application{
		"injected UAN":  {Source: known(t, "uan-32"), Placement: Injected, Depth: unit.Inches(4)},
		"dribbled UAN":  {Source: known(t, "uan-32"), Placement: Dribbled},
		"broadcast UAN": {Source: known(t, "uan-32")},
		"urea":          {Source: known(t, "urea")},
		"nitrate":       {Source: known(t, "ammonium-nitrate")},
	} {
		a.Date = spring
		course, err := Follow(a, Site{PH: 6.5, Cover: 0.8}, unit.KgNPerHa(134), moist(60, 18, map[int]float64{12: 12}), spring.AddDate(0, 0, 59), &c)
		require.NoError(t, err)
		left[name] = course.Days[59].StillThere()
	}
	require.Greater(t, left["injected UAN"], left["dribbled UAN"])
	require.Greater(t, left["dribbled UAN"], left["broadcast UAN"])
	require.Greater(t, left["nitrate"], left["broadcast UAN"])
	require.Greater(t, left["broadcast UAN"], left["urea"], "the difference to the rule")
}
