package loss

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/coefficient"
	"ratewright/rx/nitrogen/water"
)

// Source: Maenpaa & Hutchings 2025, published coefficients, by a calculator; the
// figures are arithmetic of the formula, not measurements.
func TestPotentialLossOfTheMixedModel(t *testing.T) {
	c := Mid()
	c.InjectedFloor = 1 // so that the model's own figure of injected UAN shows
	for _, r := range []struct {
		source    string
		placement Placement
		pH        float64
		rate      float64
		warmth    float64
		percent   float64
	}{
		{"urea", Broadcast, 6.5, 100, 15, 15.607},
		{"urea", Broadcast, 6.5, 134, 20, 17.541},
		{"urea", Broadcast, 7.5, 134, 20, 16.970},
		{"uan-32", Broadcast, 6.5, 134, 20, 10.919},
		{"uan-32", Broadcast, 7.5, 134, 20, 16.942},
		{"uan-32", Injected, 6.5, 134, 20, 5.392},
		{"ammonium-nitrate", Broadcast, 6.5, 134, 20, 4.870},
		{"ammonium-nitrate", Broadcast, 7.5, 134, 20, 6.836},
		{"ammonium-sulfate", Broadcast, 6.5, 134, 20, 7.211},
		{"ammonium-sulfate", Broadcast, 7.5, 134, 20, 17.338},
		{"urea", Broadcast, 6.5, 200, 25, 20.471},
	} {
		a := Application{Source: known(t, r.source), Placement: r.placement, Date: spring}
		if r.placement == Injected {
			a.Depth = unit.Inches(5)
		}
		p, err := c.Potential(a, Site{PH: r.pH}, unit.KgNPerHa(r.rate), r.warmth)
		require.NoError(t, err)
		require.InDelta(t, r.percent, 100*p, 0.01, "%+v", r)
	}
	// The model's own "incorporated" is not used: depth takes its place, on the
	// broadcast loss. 3.794 - 0.5467 + 0.002884*134 + 0.02304*20 = 4.0946.
	const incorporated = -0.5467
	require.InDelta(t, 12.765, percent(c.root(ureaGroup, false, 134, 20)+incorporated), 0.01)
}

// Source: Maenpaa & Hutchings 2025: 0.895 between studies turns 17.5 % into 10 to 27 %;
// (4.6413 +- 0.895)^2 - 4.
func TestSpreadBetweenStudies(t *testing.T) {
	a := Application{Source: known(t, "urea"), Date: spring}
	for shift, want := range map[float64]float64{-0.895: 10.0, 0: 17.5, 0.895: 26.65} {
		c := Mid()
		c.StudyShift = shift
		p, err := c.Potential(a, Site{PH: 6.5}, unit.KgNPerHa(134), 20)
		require.NoError(t, err)
		require.InDelta(t, want, 100*p, 0.05)
	}
}

// Injected UAN leaks: a third of the model's 5.392 % at the least, where depth alone
// would leave nothing.
func TestInjectedUANKeepsAFloor(t *testing.T) {
	a := Application{Source: known(t, "uan-32"), Placement: Injected, Depth: unit.Inches(5), Date: spring}
	for c, want := range map[Coefficients]float64{Mid(): 5.392 / 3, with(func(p coefficient.One) float64 {
		if p.Name == "injected_floor" {
			return p.Low
		}
		return p.Mid
	}): 0.5392} {
		p, err := c.Potential(a, Site{PH: 6.5}, unit.KgNPerHa(134), 20)
		require.NoError(t, err)
		require.InDelta(t, want, 100*p, 0.001)
	}
}

// Source: Rochette et al. 2011: 50, 37, 7 and no percent at 0, 2.5, 5 and 7.5 cm. The
// factors were taken from it, so this shows no more than that they were.
func TestDepthOfBandedUrea(t *testing.T) {
	c := Mid()
	for cm, want := range map[float64]float64{0: 50, 2.5: 37, 5: 7, 7.5: 0, 10: 0} {
		require.InDelta(t, want, 50*c.depthFactor(cm), 1, "%g cm", cm)
	}
	// Source: Ernst & Massey 1960: mixed into a quarter of an inch, urea lost about as
	// much as on top.
	require.Greater(t, c.depthFactor(0.25*2.54), 0.9)
	// Source: Souza et al. 2017: 24 of 38 % at 2 cm, 0.63. A misfit: 0.79 here.
	require.InDelta(t, 0.79, c.depthFactor(2), 0.01)
}

// Source: Hanna, Boyd, Baker & Colvin 2004/2005, ranges of the abstract.
func TestInjectionLossOfAmmonia(t *testing.T) {
	c := Mid()
	for _, r := range []struct {
		cm        float64
		coarse    bool
		low, high float64
	}{{15, false, 1, 2}, {15, true, 1, 2}, {20, true, 1, 2}, {5, false, 3, 7}, {7.5, false, 3, 7}, {10, false, 3, 7}, {5, true, 21, 52}, {7.5, true, 21, 52}, {10, true, 21, 52}} {
		got := 100 * c.InjectionLoss(unit.Metres(r.cm/100), r.coarse)
		require.GreaterOrEqual(t, got, r.low-1e-9, "%+v", r)
		require.LessOrEqual(t, got, r.high+1e-9, "%+v", r)
	}
	high := High()
	require.InDelta(t, 0.78, high.InjectionLoss(unit.Metres(0.05), true), 1e-12, "half more")
}

// Source: arithmetic of extension examples. Univ. of Kentucky: 175 lb N/ac of urea,
// half of it nitrate after 3 weeks, 7 days saturated, 4 % a day after the first 2; 180
// lb of ammonium nitrate, 144 lb of it nitrate, 5 days. Sawyer (Iowa State Univ.): 120
// lb of UAN, 95 % nitrate, 10 days at 4 % (45.6, printed as 45).
func TestWetSpellsOfExtension(t *testing.T) {
	for _, r := range []struct{ nitrate, days, first, share, lost float64 }{
		{175 * 0.50, 7, 2, 0.04, 17.5},
		{180 * 0.80, 5, 2, 0.04, 17.3},
		{120 * 0.95, 10, 0, 0.04, 45.6},
	} {
		got, err := WetSpell(unit.LbNPerAcre(r.nitrate), r.days, r.first, r.share)
		require.NoError(t, err)
		require.InDelta(t, r.lost, got.LbNPerAcre(), 0.05)
	}
	got, err := WetSpell(unit.LbNPerAcre(100), 60, 2, 0.04)
	require.NoError(t, err)
	require.InDelta(t, 100, got.LbNPerAcre(), 1e-9, "no more than there is")
}

// Source: arithmetic at 0.76 m and 1,300 kg/m3. Colliver & Welch 1970: growth hurt at
// 944 ppm, stopped at 1,628; Woli et al. 2014: stands hurt at 180 and 225 kg N/ha alone.
func TestBandConcentration(t *testing.T) {
	for radius, rows := range map[float64]map[float64]float64{
		6.35: {112: 517, 168: 775, 180: 831, 200: 923, 225: 1038},
		7.6:  {112: 361, 168: 541, 180: 580, 200: 644, 225: 725},
	} {
		for rate, ppm := range rows {
			got, err := BandPPM(unit.KgNPerHa(rate), unit.Metres(0.76), unit.Metres(radius/100), unit.KgPerLitre(1.3))
			require.NoError(t, err)
			require.InDelta(t, ppm, got.MgPerKg(), 1, "%g kg in %g cm", rate, radius)
		}
	}
}

// Source: Parton et al. 1996: 1.00 at 30 °C. Tiessen et al. 2003 via Manitoba
// Agriculture, days to half: 40, 20, 13, 10 at 5, 10, 15, 20 °C, 190 at 1 °C; the rate
// was fitted to them.
func TestNitrificationByTemperature(t *testing.T) {
	c := Mid()
	require.InDelta(t, 0.16, c.nitrification(30), 0.001)
	for at, days := range map[float64]float64{5: 34.8, 10: 21.5, 15: 13.9, 20: 9.3} {
		require.InDelta(t, days, math.Ln2/c.nitrification(at), 0.05)
	}
	require.InDelta(t, 190, math.Ln2/c.nitrification(1), 3)
	require.Zero(t, c.nitrification(0), "Simpson & Melsted 1963; Iowa State Univ.: none at freezing")
}

// Source: Univ. of Kentucky, percent of the nitrogen that is nitrate after 0, 3 and 6
// weeks. The lags were fitted to it, at 0.033 a day; that the rate by Tiessen et al. is
// 0.0323 at 10 °C was not. Within 7 points, of ammonium in the soil from the first day.
func TestNitrateSharesOfKentucky(t *testing.T) {
	c := Mid()
	share := func(nitrate, lag float64, days float64) float64 {
		k := max(0, days*c.nitrification(10)-lag)
		return 100 * (nitrate + (1-nitrate)*-math.Expm1(-k))
	}
	for name, r := range map[string]struct{ nitrate, lag, weeks3, weeks6 float64 }{
		"anhydrous":           {0, c.LagAmmonia, 20, 65},
		"anhydrous inhibited": {0, c.LagAmmonia + c.LagInhibitorAmmonia, 10, 50},
		"urea":                {0, 0, 50, 75},
		"urea inhibited":      {0, c.LagInhibitor, 30, 70},
		"UAN":                 {0.25, 0, 60, 80},
		"ammonium nitrate":    {0.5, 0, 80, 90},
	} {
		require.InDelta(t, r.weeks3, share(r.nitrate, r.lag, 21), 7, name)
		require.InDelta(t, r.weeks6, share(r.nitrate, r.lag, 42), 7, name)
	}
}

// The whole course of ammonia has no hydrolysis and gives the table itself.
func TestNitrateSharesOfTheCourse(t *testing.T) {
	c := Mid()
	for i, want := range map[Inhibitor][2]float64{NoInhibitor: {20, 65}, Nitrification: {10, 50}} {
		a := Application{Source: known(t, "anhydrous-ammonia"), Placement: Injected, Depth: unit.Inches(7), Inhibitor: i, Date: spring}
		s, err := Prepare(a, moist(60, 10, nil), spring.AddDate(0, 0, 59), &c)
		require.NoError(t, err)
		require.InDelta(t, want[0], 100*s.rows[20].nitrate, 7)
		require.InDelta(t, want[1], 100*s.rows[41].nitrate, 7)
	}
	// A misfit kept in view: urea on the surface must hydrolyse first, and at 10 °C
	// falls 18 and 11 points short of the table's 50 and 75 % (which gives no
	// temperature); at 15 °C it is within 7.
	for at, got := range map[float64][2]float64{10: {31.5, 64.2}, 15: {47.5, 81.1}} {
		s, err := Prepare(Application{Source: known(t, "urea"), Date: spring}, moist(60, at, nil), spring.AddDate(0, 0, 59), &c)
		require.NoError(t, err)
		require.InDelta(t, got[0], 100*s.rows[20].nitrate, 0.1)
		require.InDelta(t, got[1], 100*s.rows[41].nitrate, 0.1)
	}
}

// Source: Univ. of Minnesota (Waseca): nitrate moves 6 in per inch drained, up to 12 in
// coarse soil; Univ. of Nebraska 2013: 6 in of water through silt loam spread it through
// 36 in, twice as deep in sandy loam.
func TestFrontOfNitrate(t *testing.T) {
	c := Mid()
	w := water.Mid()
	for _, r := range []struct {
		group  string
		soil   water.Texture
		inches float64
	}{{"medium", w.Medium, 6}, {"coarse", w.Coarse, 12}} {
		s := &water.Season{Soil: water.Soil{Group: r.group}, AvailableShare: r.soil.Capacity - r.soil.Wilting}
		sh := Shape{c: c}
		g := sh.start(Application{Source: known(t, "urea")}, s)
		require.InDelta(t, r.inches, 1000*c.RootDepth/g.frontMM, 0.3, r.group)
	}
}

// A pulse of nitrate under 2 ft of front for each foot of roots has lost half.
func TestLeachingInClosedForm(t *testing.T) {
	c := Mid()
	s := moist(10, 0.0, nil) // frozen: nothing else moves
	front := 1000 * c.RootDepth * s.AvailableShare
	for i, mm := range []float64{0, front / 2, front / 2, front, front} {
		s.Days[i].DrainedMM = mm
	}
	a := Application{Source: known(t, "ammonium-nitrate"), Date: spring}
	sh, err := Prepare(a, s, spring.AddDate(0, 0, 9), &c)
	require.NoError(t, err)
	for day, left := range map[int]float64{1: 1, 2: 1, 3: 1, 4: 1.0 / 2, 5: 1.0 / 3, 10: 1.0 / 3} {
		require.InDelta(t, 0.5*left, sh.rows[day-1].nitrate, 1e-12, "day %d", day)
		require.InDelta(t, 0.5*(1-left), sh.rows[day-1].leached, 1e-12, "day %d", day)
	}
}

// A saturated spell takes the published share of what is left each day after the
// second; sand none.
func TestDenitrificationInClosedForm(t *testing.T) {
	c := Mid()
	for _, group := range []string{"fine", "coarse"} {
		for at, share := range map[float64]float64{5: 0, 10: 0.01, 15: 0.025, 20: 0.045} {
			s := moist(10, at, nil)
			s.Soil.Group = group
			for i := range s.Days {
				s.Days[i].WetDays = i + 1
			}
			source := known(t, "ammonium-nitrate")
			source.AmmoniumN, source.NitrateN = 0, source.PercentN // all nitrate
			sh, err := Prepare(Application{Source: source, Date: spring}, s, spring.AddDate(0, 0, 9), &c)
			require.NoError(t, err)
			want := 1 - math.Pow(1-share, 8)
			if group == "coarse" {
				want = 0
			}
			require.InDelta(t, want, sh.rows[9].denitrified, 1e-12)
		}
	}
}
