package rates

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/budget"
	"ratewright/rx/nitrogen/response"
)

// zonesOf makes zones of 1 ha side by side.
func zonesOf(t *testing.T, ids ...string) []rx.Zone {
	t.Helper()
	const lat, step = 42.0, 0.0009
	square := func(from, to float64) orb.Polygon {
		return orb.Polygon{{{-93.6 + from*step, lat}, {-93.6 + to*step, lat}, {-93.6 + to*step, lat + step}, {-93.6 + from*step, lat + step}, {-93.6 + from*step, lat}}}
	}
	boundary, err := geo.NewOutline(square(0, float64(len(ids))))
	require.NoError(t, err)
	f, err := rx.NewField("made up", boundary, nil, nil)
	require.NoError(t, err)
	var features []vector.Feature
	for i, id := range ids {
		o, err := geo.NewOutline(square(float64(i), float64(i+1)))
		require.NoError(t, err)
		features = append(features, vector.Feature{Outline: o, Attributes: []vector.Attribute{{Name: "ZONE", Value: vector.NewText(id)}}})
	}
	zones, _, err := rx.NewZones(f, features, "ZONE", rx.DefaultZoneOptions())
	require.NoError(t, err)
	return zones
}

// jackson is Jackson 1962 of Engelstad & Parks 1971, Agron. J. 63:21-23, kg/ha and
// q/ha, whose quadratic-plateau has its economic optimum at 140 kg/ha (140.78, cut)
// at 0.11 for nitrogen and 1.15 for grain, and its join at 225 (Schabenberger & Pierce
// 2002, pp. 254-259).
func jackson(zone string, lift float64) []response.Observation {
	var obs []response.Observation
	for i, y := range []float64{46.5, 59.0, 71.9, 73.1, 74.5, 75.5} {
		obs = append(obs, response.Observation{Rate: unit.KgNPerHa(67 * float64(i)), Yield: unit.KgGrainPerHa(100*y + lift*float64(i)), Zone: zone})
	}
	return obs
}

func published(t *testing.T) response.Prices {
	t.Helper()
	n, err := unit.ParseNPrice("0.11 $/kg")
	require.NoError(t, err)
	g, err := unit.ParseGrainPrice("1.15 $/q")
	require.NoError(t, err)
	return response.Prices{N: n, Grain: g}
}

func TestOneCurveGivesEveryZoneItsOptimum(t *testing.T) {
	r, err := FromResponse(zonesOf(t, "A", "B"), Response{
		Model: response.QuadraticPlateau, Trial: jackson("", 0), Prices: published(t), Within: 2.471, Level: 0.95,
		Practice: response.Practice{Form: "ammonium nitrate", Placement: "broadcast"}, Options: response.DefaultOptions(),
	})
	require.NoError(t, err)
	require.Len(t, r.Zones, 2)
	for _, z := range r.Zones {
		require.InDelta(t, 140, z.Rate.KgNPerHa(), 1)
		require.Contains(t, z.Terms[0].Source, "6 observations at 6 rates")
		require.Contains(t, z.Reasons[len(z.Reasons)-2], "ammonium nitrate")
	}
	require.Len(t, r.Changes, 2)
	for _, c := range r.Changes {
		require.Positive(t, c.Swing())
	}
	require.GreaterOrEqual(t, r.Changes[0].Swing(), r.Changes[1].Swing())

	rule := r.Rule(unit.US)
	require.InDelta(t, 125.6, rule.Worked["B"].Value, 1)
	require.Contains(t, string(rule.Worked["B"].Reasons[0]), "lb N/ac worked out by response curve")
	require.InDelta(t, 140.78, r.Rule(unit.SI).Worked["B"].Value, 1)
}

func TestCurvesByZoneNameTheZonesOfTheField(t *testing.T) {
	in := Response{
		Model: response.Quadratic, Trial: append(jackson("1", 0), jackson("2", 150)...), ByZone: true,
		Prices: published(t), Level: 0.9, Options: response.DefaultOptions(),
	}
	r, err := FromResponse(zonesOf(t, "1.0", "2.0"), in)
	require.NoError(t, err)
	require.Greater(t, r.Zones[1].Rate, r.Zones[0].Rate, "the steeper curve")
	require.Contains(t, r.Notes, `every zone id is a number, so ids were compared by value ("1.0" is written otherwise on the other side)`)
	require.Contains(t, r.Findings[len(r.Findings)-1], "rates by zone bring")

	_, err = FromResponse(zonesOf(t, "1", "3"), in)
	require.ErrorContains(t, err, "zone 3 is not in the trial, whose zones are [1 2]")

	flat := in
	flat.Trial = jackson("1", 0)
	for i := range 6 {
		flat.Trial = append(flat.Trial, response.Observation{Rate: unit.KgNPerHa(67 * float64(i)), Yield: 7000, Zone: "2"})
	}
	var refusal *response.Refusal
	_, err = FromResponse(zonesOf(t, "1", "2"), flat)
	require.ErrorAs(t, err, &refusal)
	require.Contains(t, refusal.Why, "zone 2: ")
}

func TestACurveThatIsGivenNeedsNoTrial(t *testing.T) {
	c, err := response.New(response.Quadratic, response.Coefficients{A: 4000, B: 30, C: -0.1}, response.Units{RateKgHa: 1, YieldKgHa: 1}, 0, 0)
	require.NoError(t, err)
	r, err := FromResponse(zonesOf(t, "A"), Response{Curve: &c, Prices: published(t), Options: response.DefaultOptions()})
	require.NoError(t, err)
	// (30 - 0.11/0.0115) / (2 x 0.1)
	require.InDelta(t, 102.174, r.Zones[0].Rate.KgNPerHa(), 1e-3)
}

// Of parabolas that differ in their slope alone, on zones of one size, the best one rate
// has the mean of the slopes; what zones bring over it is P |c| times the mean square of how
// far their optima lie from it.
func TestCurvesGivenByZone(t *testing.T) {
	curve := func(b float64) response.Curve {
		c, err := response.New(response.Quadratic, response.Coefficients{A: 4000, B: b, C: -0.1}, response.Units{RateKgHa: 1, YieldKgHa: 1}, 0, 0)
		require.NoError(t, err)
		return c
	}
	in := Response{Curves: map[string]response.Curve{"A": curve(30), "B": curve(34)}, Prices: published(t), Options: response.DefaultOptions()}
	r, err := FromResponse(zonesOf(t, "A", "B"), in)
	require.NoError(t, err)
	require.InDelta(t, 102.174, r.Zones[0].Rate.KgNPerHa(), 1e-3)
	require.InDelta(t, 122.174, r.Zones[1].Rate.KgNPerHa(), 1e-3)
	value := unit.Return(0.0115 * 0.1 * 10 * 10)
	require.Contains(t, r.Findings[0], "bring "+unit.US.Return(value)+" more")
	require.Len(t, r.Changes, 2)
	require.Positive(t, r.Changes[0].Swing())
	_, err = FromResponse(zonesOf(t, "A", "C"), in)
	require.ErrorContains(t, err, "zone C has no curve; there are those of [A B]")
}

func TestTheMeanOverTrialsIsOneRate(t *testing.T) {
	r, curve, err := FromMean(zonesOf(t, "A", "B"), Mean{
		Model: response.QuadraticPlateau, Prices: published(t), Within: 2.471, Options: response.DefaultOptions(),
		Sites: []response.Site{{Name: "one", Observations: jackson("", 0)}, {Name: "two", Observations: jackson("", 100)}},
	})
	require.NoError(t, err)
	require.Equal(t, r.Zones[0].Rate, r.Zones[1].Rate)
	require.Greater(t, r.Zones[0].Rate.KgNPerHa(), 140.0)
	points := curve.Chart
	require.Len(t, points, chartPoints)
	require.Equal(t, r.Zones[0].Rate, curve.Best.Rate)
	require.Less(t, curve.Near.Low, curve.Best.Rate)
	best := points[0]
	for _, p := range points {
		if p.Return > best.Return {
			best = p
		}
	}
	require.InDelta(t, r.Zones[0].Rate.KgNPerHa(), best.Rate.KgNPerHa(), float64(points[1].Rate))
}

// One trial is said to be no mean; a chart reaches a rate above what was tested.
func TestAMeanOfOneTrial(t *testing.T) {
	var obs []response.Observation
	for i := range 5 {
		n := float64(i * 30)
		obs = append(obs, response.Observation{Rate: unit.KgNPerHa(n), Yield: unit.KgGrainPerHa(5000 + 60*n - 0.17*n*n)})
	}
	r, curve, err := FromMean(zonesOf(t, "A"), Mean{Model: response.Quadratic, Prices: published(t), Options: response.DefaultOptions(), Sites: []response.Site{{Name: "one", Observations: obs}}})
	require.NoError(t, err)
	require.Equal(t, "mean of 1 trial", r.Zones[0].Terms[0].Source)
	require.Contains(t, strings.Join(r.Notes, "\n"), "one trial is no mean over trials")
	require.Greater(t, r.Zones[0].Rate.KgNPerHa(), 120.0)
	require.InDelta(t, r.Zones[0].Rate.KgNPerHa(), curve.Chart[len(curve.Chart)-1].Rate.KgNPerHa(), 1e-9)
}

func TestBudgetsKeepTheirTermsAndNotes(t *testing.T) {
	zones := zonesOf(t, "A", "B")
	yields := []float64{200, 30}
	work := func(scale float64) Work {
		return func(i int) (budget.Budget, error) {
			return budget.Published().YieldGoal(unit.BushelsPerAcre(yields[i]*scale), budget.Published().YieldGoalForms()[0], []budget.Credit{budget.Given("x", unit.LbNPerAcre(40))})
		}
	}
	r, err := FromBudgets("yield goal", zones, work(1), []Varied{{What: "yield", Low: work(0.9), High: work(1.1)}})
	require.NoError(t, err)
	require.InDelta(t, 200, r.Zones[0].Rate.LbNPerAcre(), 1e-9)
	require.Zero(t, r.Zones[1].Rate)
	require.Len(t, r.Zones[0].Terms, 2)
	require.Equal(t, []string{"zone B: the terms come to less than zero, so the rate is zero"}, r.Notes)
	// Zone A moves by 48 lb and B stays at none; both have the same area.
	require.InDelta(t, 24, r.Changes[0].Swing().LbNPerAcre(), 0.01)

	fails := func(int) (budget.Budget, error) { return budget.Budget{}, errors.New("no yield") }
	_, err = FromBudgets("yield goal", zones, fails, nil)
	require.EqualError(t, err, "zone A: no yield")
}

func TestATargetSharedKeepsItsArithmetic(t *testing.T) {
	n := unit.LbNPerAcre(195)
	target := Result{Method: "yield goal", Zones: []ZoneRate{{ID: "A", Rate: n, Terms: []Term{{"yield", unit.LbNPerAcre(240), "x"}, {"soybean", unit.LbNPerAcre(-45), "y"}}}}}
	parts := []budget.Part{{Name: "starter", Rate: unit.LbNPerAcre(5)}, {Name: "preplant", Share: 0.2}, {Name: "sidedress", Rest: true}}
	var sum unit.NRate
	for at := range parts {
		r, err := Shared(target, parts, at, unit.US)
		require.NoError(t, err)
		var terms unit.NRate
		for _, term := range r.Zones[0].Terms {
			terms += term.N
		}
		require.InDelta(t, float64(r.Zones[0].Rate), float64(terms), 1e-9, "the terms add up")
		require.Contains(t, fmt.Sprint(r.Zones[0]), "soybean", "the target's terms are told with every part")
		sum += r.Zones[0].Rate
	}
	require.InDelta(t, float64(n), float64(sum), 1e-9)

	target.Zones[0].Rate = unit.LbNPerAcre(3)
	target.Zones[0].Terms = []Term{{"little", unit.LbNPerAcre(3), "x"}}
	r, err := Shared(target, parts, 2, unit.US)
	require.NoError(t, err)
	require.Zero(t, r.Zones[0].Rate)
	require.Len(t, r.Notes, 1)
}
