package response

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// sample is yield without noise but for a fixed pattern of which nothing is left
// over a replicate pair.
func sample(zone string, c Curve, rates ...float64) []Observation {
	var out []Observation
	for i, n := range rates {
		for _, e := range []float64{-60, 60} {
			y := c.Yield(unit.KgNPerHa(n)).KgPerHa() + e*float64(1+i%2)
			out = append(out, Observation{unit.KgNPerHa(n), unit.KgGrainPerHa(y), zone})
		}
	}
	return out
}

var (
	richCurve = Curve{Model: Quadratic, A: 8000, B: 24, C: -0.1}
	poorCurve = Curve{Model: Quadratic, A: 4000, B: 48, C: -0.12}
	rates6    = []float64{0, 40, 80, 120, 160, 200}
)

// Two zones whose curves are known: r = 6 gives (6-24)/-0.2 = 90 and (6-48)/-0.24
// = 175 kg/ha. One rate for 1 ha of the first and 3 ha of the second has slope
// 42 - 2 x 0.115 N = 6: 156.5217. The gain of a zone rate over another rate d off
// is P |C| d². By hand.
func TestValueOfZoneRates(t *testing.T) {
	obs := append(sample("rich", richCurve, rates6...), sample("poor", poorCurve, rates6...)...)
	z, err := FitZones(Quadratic, obs, Practice{Form: "uan-32"}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, "uan-32", z.Zones[0].Fit.Practice.Form)
	p := prices(0.9, 0.15)
	v, err := z.Value(p, map[string]unit.Area{"rich": unit.Hectares(1), "poor": unit.Hectares(3)})
	require.NoError(t, err)
	require.Equal(t, "poor", v.Zones[0].ID)
	require.InDelta(t, 175, v.Zones[0].Optimum.Rate.KgNPerHa(), 1e-6)
	require.InDelta(t, 90, v.Zones[1].Optimum.Rate.KgNPerHa(), 1e-6)
	require.InDelta(t, 0.75, v.Zones[0].Share, 1e-12)
	one := (42 - 6) / 0.23
	require.InDelta(t, one, v.OneRate.Rate.KgNPerHa(), 1e-6)
	poor, rich := 0.15*0.12*math.Pow(175-one, 2), 0.15*0.1*math.Pow(90-one, 2)
	require.InDelta(t, poor, v.Zones[0].Gain.PerHa(), 1e-6)
	require.InDelta(t, rich, v.Zones[1].Gain.PerHa(), 1e-6)
	require.InDelta(t, 0.75*poor+0.25*rich, v.Value.PerHa(), 1e-6)
	// The field as one: the mean of both curves, 36 - 0.22 N = 6.
	require.True(t, v.HasField)
	require.InDelta(t, 30/0.22, v.FieldRate.Rate.KgNPerHa(), 1e-6)
	require.InDelta(t, 0.75*0.018*math.Pow(175-30/0.22, 2)+0.25*0.015*math.Pow(90-30/0.22, 2), v.OverField.PerHa(), 1e-6)
	require.Contains(t, v.Notes, InSample)

	// Without areas both weigh alike, and the one rate is the field's.
	v, err = z.Value(p, nil)
	require.NoError(t, err)
	require.InDelta(t, 30/0.22, v.OneRate.Rate.KgNPerHa(), 1e-6)
	require.InDelta(t, v.Value.PerHa(), v.OverField.PerHa(), 1e-6)
	require.Contains(t, v.Notes[0], "no areas of zones are given")

	for _, a := range []map[string]unit.Area{{}, {"rich": 1}, {"rich": 1, "poor": unit.Area(math.NaN())}, {"rich": -1, "poor": 2}} {
		_, err = z.Value(p, a)
		refused(t, err, BadObservation)
	}
	_, err = z.Value(Prices{}, nil)
	refused(t, err, BadPrice)
}

// The F test by hand for the quadratic, and both ways: zones that differ, and one field cut
// in two. Both zones have the same rates and plots, so that curves of one shape have the mean
// of both slopes and bends, and each is off by half the difference.
func TestWhetherZonesDiffer(t *testing.T) {
	obs := append(sample("rich", richCurve, rates6...), sample("poor", poorCurve, rates6...)...)
	z, err := FitZones(Quadratic, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	apart := z.Zones[0].Fit.SSE + z.Zones[1].Fit.SSE
	require.Equal(t, 2, z.Test.DF1)
	require.Equal(t, 24-6, z.Test.DF2)
	mean, more := 0.0, 0.0
	half := func(n float64) float64 { return ((48-24)*n - (0.12-0.1)*n*n) / 2 }
	for _, n := range rates6 {
		mean += half(n) / 6
	}
	for _, n := range rates6 {
		more += 4 * math.Pow(half(n)-mean, 2)
	}
	require.InEpsilon(t, more/2/(apart/18), z.Test.F, 1e-9)
	require.Contains(t, z.Test.Words(), "the zones respond differently to nitrogen: one shape of response for all zones, each with a yield level of its own, was tested against a shape for each")

	same := append(sample("a", poorCurve, rates6...), sample("b", poorCurve, rates6...)...)
	z, err = FitZones(Quadratic, same, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.InDelta(t, 0, z.Test.F, 1e-9)
	require.InDelta(t, 1, z.Test.P, 1e-9)
	require.Contains(t, z.Test.Words(), "cannot be told apart")
	v, err := z.Value(prices(0.9, 0.15), nil)
	require.NoError(t, err)
	require.InDelta(t, 0, v.Value.PerHa(), 1e-6)
}

// Zones of one response on different levels of yield respond alike, whatever the form: the
// test is one of the shape, and their rates are the same.
func TestZonesOnDifferentLevelsRespondAlike(t *testing.T) {
	for m, c := range map[Model]Curve{
		Quadratic:        poorCurve,
		QuadraticPlateau: {Model: QuadraticPlateau, A: 4000, B: 48, C: -0.16, Join: unit.KgNPerHa(150)},
		LinearPlateau:    {Model: LinearPlateau, A: 4000, B: 30, Join: unit.KgNPerHa(110)},
	} {
		var obs []Observation
		for i, zone := range []string{"a", "b", "c"} {
			d := c
			d.A += 2500 * float64(i)
			obs = append(obs, sample(zone, d, rates6[:6-i%2]...)...)
		}
		z, err := FitZones(m, obs, Practice{}, DefaultOptions())
		require.NoError(t, err)
		require.True(t, z.HasTest)
		require.Equal(t, 4, z.Test.DF1)
		require.InDelta(t, 0, z.Test.F, 1e-6, "%s", m)
		require.Contains(t, z.Test.Words(), "cannot be told apart by how they respond", m)
	}
}

// Whatever the zones, one shape fits no better than one for each, and levels of the zones
// change nothing.
func TestLevelsOfZonesChangeNoTest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom([]Model{Quadratic, QuadraticPlateau, LinearPlateau}).Draw(t, "m")
		var obs, lifted []Observation
		for i, zone := range []string{"a", "b", "c"} {
			join := rapid.Float64Range(90, 170).Draw(t, "join")
			c := Curve{Model: QuadraticPlateau, A: 4000, B: 0.3 * join, C: -0.15, Join: unit.KgNPerHa(join)}
			for _, n := range rates6 {
				for range 2 {
					y := c.Yield(unit.KgNPerHa(n)) + unit.KgGrainPerHa(rapid.Float64Range(-300, 300).Draw(t, "e"))
					obs = append(obs, Observation{unit.KgNPerHa(n), y, zone})
					lifted = append(lifted, Observation{unit.KgNPerHa(n), y + unit.KgGrainPerHa(1500*float64(i)), zone})
				}
			}
		}
		a, err := FitZones(m, obs, Practice{}, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		b, err := FitZones(m, lifted, Practice{}, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		if a.HasTest != b.HasTest || math.Abs(a.Test.F-b.Test.F) > 1e-6*(1+a.Test.F) {
			t.Fatalf("%+v and %+v", a.Test, b.Test)
		}
	})
}

// A zone that cannot be fitted says so and does not stop the others.
func TestAZoneWithoutACurve(t *testing.T) {
	up := pairs(1, 0, 4000, 40, 4100, 80, 4500, 120, 5200, 160, 6300, 200, 7700)
	for i := range up {
		up[i].Zone = "convex"
	}
	two := sample("two rates", poorCurve, 0, 100)
	obs := append(append(up, two...), sample("poor", poorCurve, rates6...)...)
	z, err := FitZones(Quadratic, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, Convex, z.Zones[0].Refusal.Reason)
	require.Nil(t, z.Zones[1].Refusal)
	require.Equal(t, TooFewRates, z.Zones[2].Refusal.Reason)
	require.False(t, z.HasTest)
	require.Contains(t, strings.Join(z.Notes, "\n"), "zone convex has no curve: the fitted quadratic bends upward")
	v, err := z.Value(prices(0.9, 0.15), nil)
	require.NoError(t, err)
	require.Len(t, v.Zones, 1)
	require.Contains(t, strings.Join(v.Notes, "\n"), "zone two rates takes no part")

	only := append(append([]Observation{}, up...), two...)
	z, err = FitZones(Quadratic, only, Practice{}, DefaultOptions())
	require.NoError(t, err)
	_, err = z.Value(prices(0.9, 0.15), nil)
	refused(t, err, NothingLeft)

	for _, bad := range [][]Observation{nil, sample("", poorCurve, rates6...), sample("one", poorCurve, rates6...), {{1, unit.Yield(math.NaN()), "a"}}} {
		_, err := FitZones(Quadratic, bad, Practice{}, DefaultOptions())
		refused(t, err, BadObservation)
	}
	_, err = FitZones(0, obs, Practice{}, DefaultOptions())
	refused(t, err, BadCurve)
}

// Best is one form for every zone.
func TestBestByZone(t *testing.T) {
	a := Curve{Model: LinearPlateau, A: 4000, B: 40, Join: 100}
	b := Curve{Model: LinearPlateau, A: 4500, B: 38, Join: 105}
	obs := append(sample("a", a, rates6...), sample("b", b, rates6...)...)
	z, err := FitZones(Best, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, LinearPlateau, z.Model)
	require.Equal(t, ZoneRule, z.Choice.Rule)
	for _, f := range z.Zones {
		require.Equal(t, LinearPlateau, f.Fit.Curve.Model)
	}
}

// Where nothing scatters the form is known, and no AICc can be told.
func TestBestByZoneWithoutScatter(t *testing.T) {
	var obs []Observation
	for id, c := range map[string]Curve{"a": {Model: LinearPlateau, A: 4000, B: 40, Join: 100}, "b": {Model: LinearPlateau, A: 4500, B: 38, Join: 140}} {
		for _, n := range rates6 {
			obs = append(obs, Observation{unit.KgNPerHa(n), c.Yield(unit.KgNPerHa(n)), id})
		}
	}
	z, err := FitZones(Best, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, "linear-plateau has the least AICc", z.Choice.Why)
}

// Zones that each rise straight to a plateau of their own look bent in one heap: the form
// is that of the zones and not of the mixture.
func TestBestIsOfTheZonesAndNotOfTheirMixture(t *testing.T) {
	var obs []Observation
	for k, off := range []float64{0, 60, -60} { // replications
		for i, n := range []float64{0, 40, 80, 120, 160, 200, 240} {
			e := off + float64((i*7+k*5)%9-4)*20
			obs = append(obs,
				Observation{unit.KgNPerHa(n), unit.KgGrainPerHa(6000 + 50*min(n, 90) + e), "early"},
				Observation{unit.KgNPerHa(n), unit.KgGrainPerHa(5000 + 32*min(n, 200) - e), "late"})
		}
	}
	c, err := Choose(obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.NotEqual(t, LinearPlateau, c.Fit.Curve.Model, "the mixture misleads")
	z, err := FitZones(Best, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, LinearPlateau, z.Model)
	require.Contains(t, z.Choice.Why, "linear-plateau has the least AICc; quadratic has an AICc higher by ")
	require.InDelta(t, 90, float64(z.Zones[0].Fit.Curve.Join), 8)
	require.InDelta(t, 200, float64(z.Zones[1].Fit.Curve.Join), 12)
}

// A zone without a curve of any form does not stop the others, nor does a heap of all
// plots that has none.
func TestBestByZoneWithoutACurve(t *testing.T) {
	up := Curve{Model: LinearPlateau, A: 4000, B: 40, Join: 100}
	obs := sample("up", up, rates6...)
	for i, n := range rates6 {
		obs = append(obs, Observation{unit.KgNPerHa(n), unit.KgGrainPerHa(9000 - 45*min(n, 100) - 3*float64(i)), "down"})
	}
	z, err := FitZones(Best, obs, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.NotNil(t, z.FieldWhy)
	require.Equal(t, "down", z.Zones[0].ID)
	require.NotNil(t, z.Zones[0].Refusal)
	require.Nil(t, z.Zones[1].Refusal)
	require.Equal(t, LinearPlateau, z.Zones[1].Fit.Curve.Model)
}

// The least sum of squares is taken, the others are told, and where a plateau
// was never seen the plain quadratic is.
func TestChoice(t *testing.T) {
	c, err := Choose(jackson1962, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, LinearPlateau, c.Fit.Curve.Model)
	require.Len(t, c.Tried, 3)
	// 6 ln(8.5305/2.9333) = 6.4, 6 ln(15.5926/2.9333) = 10.0
	require.InDelta(t, 6*math.Log(15.5926/2.9333), c.Tried[0].DeltaAICc, 0.001)
	require.Zero(t, c.Tried[1].DeltaAICc)
	require.InDelta(t, 6*math.Log(8.5305/2.9333), c.Tried[2].DeltaAICc, 0.001)
	require.Equal(t, "linear-plateau has the least AICc; quadratic has an AICc higher by 10.0; quadratic-plateau has an AICc higher by 6.4", c.Why)

	open := pairs(tonne, 0, 5, 0, 5.3, 50, 6.9, 50, 7.2, 100, 8.9, 100, 8.5, 150, 10.2, 150, 9.7)
	c, err = Choose(open, Practice{}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, Quadratic, c.Fit.Curve.Model, "a tie: the join lies beyond the highest rate")
	require.Equal(t, "quadratic has the least AICc; linear-plateau has an AICc higher by 0.5; quadratic-plateau fits alike", c.Why)
	require.Contains(t, strings.Join(c.Fit.Notes, "\n"), "the data hardly tell quadratic from quadratic-plateau")

	straight := pairs(tonne, 0, 5, 0, 5.3, 50, 6.4, 50, 6.7, 100, 7.9, 100, 8.2, 150, 9.4, 150, 9.7)
	_, err = Choose(straight, Practice{}, DefaultOptions())
	require.False(t, refused(t, err, NothingLeft).Level)

	_, err = Choose(pairs(tonne, 0, 9, 50, 8.5, 100, 8.1, 150, 7.9, 200, 7.8), Practice{}, DefaultOptions())
	r := refused(t, err, Unresponsive)
	require.Contains(t, r.Why, "no form of curve can be used: quadratic: ")
	_, err = Choose(pairs(tonne, 0, 6, 0, 6.1, 50, 11, 50, 11.1, 100, 11, 100, 11.1, 150, 11.1, 150, 10.9), Practice{}, DefaultOptions())
	require.Contains(t, refused(t, err, JoinTooEarly).Why, "a quadratic fits worse")
	_, err = Choose(nil, Practice{}, DefaultOptions())
	refused(t, err, TooFewRates)
}

// A trial that is left out tells which way that moves the mean rate: one that rises still at
// its highest rate asks for more than that, one level from the second rate for less.
func TestATrialLeftOutTellsWhichWay(t *testing.T) {
	level := Curve{Model: LinearPlateau, A: 4000, B: 90, Join: 30}
	rising := Curve{Model: Quadratic, A: 4000, B: 20, C: 0.01}
	usual := Curve{Model: LinearPlateau, A: 4000, B: 40, Join: 110}
	s, err := FitSites(LinearPlateau, []Site{
		{Name: "u", Observations: sample("", usual, rates6...)},
		{Name: "l", Observations: sample("", level, rates6...)},
		{Name: "r1", Observations: sample("", rising, rates6...)},
		{Name: "r2", Observations: sample("", rising, rates6...)},
	}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, []string{"l", "r1", "r2"}, s.Left)
	notes := strings.Join(s.Notes, "\n")
	require.Contains(t, notes, "trial l is left out, which raises the mean rate: the plateau begins before the second tested rate")
	require.Contains(t, notes, "trial r1 is left out, which lowers the mean rate: the yields rise to the highest tested rate")
	require.Contains(t, notes, "3 of 4 trials are left out of the mean: for 2 that lowers the mean rate, for 1 that raises the mean rate")
}

// A site without response counts as level: two sites, one flat, have half the
// slope of the other at every rate.
func TestASiteWithoutResponseCounts(t *testing.T) {
	sites := []Site{
		{Name: "poor", Observations: sample("", poorCurve, rates6...)},
		{Name: "level", Observations: pairs(tonne, 0, 9, 0, 9.4, 50, 9.3, 50, 9.1, 100, 9.3, 100, 9.0, 150, 9.1, 150, 9.3)},
		{Name: "two", Observations: sample("", poorCurve, 0, 100)},
	}
	s, err := FitSites(Quadratic, sites, DefaultOptions())
	require.NoError(t, err)
	require.Len(t, s.Members, 2)
	require.Equal(t, NoResponse, s.Members[1].Curve.Model)
	require.Equal(t, []string{"two"}, s.Left)
	require.Len(t, s.Notes, 2)
	m, err := NewMean(s.Members)
	require.NoError(t, err)
	o, err := m.Optimum(prices(0.9, 0.15))
	require.NoError(t, err)
	require.InDelta(t, (24-6)/0.12, o.Rate.KgNPerHa(), 1e-6) // 24 - 0.12 N = 6
	require.Contains(t, s.Notes[0], "trial level counts as level at its mean yield")
	require.Contains(t, s.Notes[1], "trial two is left out, which moves the mean rate a way that cannot be told")

	_, err = FitSites(Quadratic, sites[2:], DefaultOptions())
	refused(t, err, NothingLeft)
	_, err = FitSites(Quadratic, []Site{{Name: "bad", Observations: []Observation{{Rate: -1}}}}, DefaultOptions())
	require.ErrorContains(t, err, "trial bad: observation 1 has a nitrogen rate of -0.8922 lb N/ac")
	best, err := FitSites(Best, sites[:2], DefaultOptions())
	require.NoError(t, err)
	require.Len(t, best.Members, 2)
}

// One price at a time: optima of 36/0.23 at ratio 6, and so on by hand.
func TestSensitivity(t *testing.T) {
	got, err := poorCurve.AtRatios([]float64{3, 6, 48, 60})
	require.NoError(t, err)
	for i, want := range []float64{45 / 0.24, 42 / 0.24, 0, 0} {
		require.InDelta(t, want, got[i].Rate.KgNPerHa(), 1e-9)
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := poorCurve.AtRatios([]float64{bad})
		refused(t, err, BadPrice)
	}
	changes, err := poorCurve.PriceChanges(prices(0.9, 0.15), [2]unit.NPrice{0.6, 1.2}, [2]unit.GrainPrice{0.1, 0.2})
	require.NoError(t, err)
	require.Equal(t, "nitrogen price", changes[0].What)
	require.InDelta(t, 44/0.24, changes[0].RateLow.KgNPerHa(), 1e-9)
	require.InDelta(t, 40/0.24, changes[0].RateHigh.KgNPerHa(), 1e-9)
	require.InDelta(t, 39/0.24, changes[1].RateLow.KgNPerHa(), 1e-9)
	require.InDelta(t, 43.5/0.24, changes[1].RateHigh.KgNPerHa(), 1e-9)
	require.InDelta(t, 4.5/0.24, changes[1].Swing().KgNPerHa(), 1e-9)
	_, err = poorCurve.PriceChanges(prices(0.9, 0.15), [2]unit.NPrice{0, 1.2}, [2]unit.GrainPrice{0.1, 0.2})
	refused(t, err, BadPrice)
}

// Points of the mean return begin at nothing and add up.
func TestPoints(t *testing.T) {
	m, err := NewMean([]Member{{Curve: poorCurve, Weight: 1}})
	require.NoError(t, err)
	p := prices(0.9, 0.15)
	points, err := m.Points(p, 200, 5)
	require.NoError(t, err)
	require.Len(t, points, 5)
	require.Zero(t, points[0].Return)
	for i, pt := range points {
		require.InDelta(t, 50*float64(i), pt.Rate.KgNPerHa(), 1e-12)
		require.InDelta(t, 0.9*50*float64(i), pt.NCost.PerHa(), 1e-9)
		require.InDelta(t, pt.Return.PerHa(), (pt.Grain - pt.NCost).PerHa(), 1e-9)
		r, err := m.Return(pt.Rate, p)
		require.NoError(t, err)
		require.Equal(t, r, pt.Return)
	}
	for _, bad := range []struct {
		to    unit.NRate
		count int
	}{{0, 5}, {unit.NRate(math.NaN()), 5}, {100, 1}} {
		_, err := m.Points(p, bad.to, bad.count)
		refused(t, err, BadPrice)
	}
	_, err = m.Return(-1, p)
	refused(t, err, BadPrice)
}
