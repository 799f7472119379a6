package response

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// However steep a straight line is and whatever its rates, no plateau was seen on it: the
// last digits of its sums must not make one just below the highest rate.
func TestAStraightLineHasNoPlateau(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		levels := rapid.IntRange(4, 9).Draw(t, "levels")
		slope := rapid.Float64Range(5, 60).Draw(t, "slope")
		at := rapid.Float64Range(1000, 8000).Draw(t, "at")
		n, again := 0.0, rapid.IntRange(1, 4).Draw(t, "again")
		var obs []Observation
		for range levels {
			for range again {
				obs = append(obs, Observation{unit.KgNPerHa(n), unit.KgGrainPerHa(at + slope*n), ""})
			}
			n += rapid.Float64Range(5, 40).Draw(t, "step")
		}
		for _, m := range []Model{LinearPlateau, QuadraticPlateau} {
			_, err := FitCurve(m, obs, Practice{}, noTest())
			var r *Refusal
			require.ErrorAs(t, err, &r, m)
			require.Equal(t, NoPlateau, r.Reason, m)
		}
	})
}

func TestFitsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	rising := func(n, y float64) []Observation {
		return append(pairs(tonne, 0, 5, 50, 7, 100, 8.5, 150, 9.2, 200, 9.4), pairs(tonne, n, y)...)
	}
	for name, c := range map[string]struct {
		model  Model
		obs    []Observation
		reason Reason
		words  string
	}{
		"nothing":       {Quadratic, nil, TooFewRates, "the trial has 0 distinct rates, and a response curve needs 4 or more"},
		"one plot":      {Quadratic, pairs(tonne, 100, 9), TooFewRates, "1 distinct rate,"},
		"one rate":      {QuadraticPlateau, pairs(tonne, 100, 9, 100, 8, 100, 10, 100, 9), TooFewRates, "1 distinct rate,"},
		"two rates":     {LinearPlateau, pairs(tonne, 0, 5, 0, 6, 150, 10, 150, 9.5), TooFewRates, "2 distinct rates"},
		"three rates":   {Quadratic, pairs(tonne, 0, 5, 75, 8, 75, 8.2, 150, 10, 150, 9.5), TooFewRates, "3 distinct rates"},
		"two scattered": {Quadratic, pairs(tonne, 99, 5, 100, 5.1, 101, 5.3, 149, 8, 150, 8.1, 151, 8.3), TooFewRates, "2 distinct rates"},
		"no rate":       {Quadratic, rising(nan, 9), BadObservation, "observation 6 has a nitrogen rate of n/a"},
		"a huge rate":   {Quadratic, rising(1e300, 9), BadObservation, "check its unit"},
		"minus":         {Quadratic, rising(-5, 9), BadObservation, "observation 6 has a nitrogen rate of -4.461 lb N/ac"},
		"no yield":      {LinearPlateau, rising(100, nan), BadObservation, "observation 6 has a yield of n/a"},
		"endless":       {LinearPlateau, rising(100, inf), BadObservation, "observation 6 has a yield of n/a"},
		"convex":        {Quadratic, pairs(tonne, 0, 5, 50, 5.2, 100, 6, 150, 7.4, 200, 9.6), Convex, "bends upward (is convex)"},
		"straight":      {Quadratic, pairs(tonne, 0, 5, 50, 6, 100, 7, 150, 8, 200, 9), Convex, "no optimum"},
		"straight LP":   {LinearPlateau, pairs(tonne, 0, 5, 50, 6, 100, 7, 150, 8, 200, 9), NoPlateau, "the trial needs higher rates"},
		"straight QP":   {QuadraticPlateau, pairs(tonne, 0, 5, 50, 6, 100, 7, 150, 8, 200, 9), NoPlateau, "no plateau was seen"},
		"convex QP":     {QuadraticPlateau, pairs(tonne, 0, 5, 50, 5.2, 100, 6, 150, 7.4, 200, 9.6), NoPlateau, "no plateau was seen"},
		"kg as bushels": {Quadratic, pairs(62.77, 0, 6000, 50, 8000, 100, 9500, 150, 10500, 200, 10800), BadObservation, "a yield of 6000 bu/ac"},
		"t as kg":       {Quadratic, pairs(1, 0, 6, 50, 8, 100, 9.5, 150, 10.5, 200, 10.8), BadObservation, "check the unit of its yields"},
		"rate as share": {Quadratic, pairs(tonne, 0, 6, 0.25, 8, 0.5, 9.5, 0.75, 10.5, 1, 10.8), BadObservation, "check the unit of its rates"},
		"level":         {Quadratic, pairs(tonne, 0, 9, 50, 9, 100, 9, 150, 9), Unresponsive, "the optimum is 0 or cannot be estimated"},
		"falling":       {QuadraticPlateau, pairs(tonne, 0, 9, 50, 8.5, 100, 8.1, 150, 7.4, 200, 7), Unresponsive, "do not rise with nitrogen"},
		"noise":         {Quadratic, pairs(tonne, 0, 9, 0, 8, 50, 8.7, 50, 9.4, 100, 9.3, 100, 8.2, 150, 8.9, 150, 8.6), Unresponsive, "by chance"},
		"early":         {QuadraticPlateau, pairs(tonne, 0, 5, 0, 5.2, 50, 9, 50, 9.1, 100, 9.05, 100, 8.9, 150, 9.1, 150, 9), JoinTooEarly, "before the second tested rate, 44.6 lb N/ac"},
		"early LP":      {LinearPlateau, pairs(tonne, 0, 5, 0, 5.2, 50, 9, 50, 9.1, 100, 9.05, 100, 8.9, 150, 9.1, 150, 9), JoinTooEarly, "the trial needs lower rates"},
		"no form":       {0, rising(100, 9), BadCurve, "is no form to fit"},
		"best":          {Best, rising(100, 9), BadCurve, "is no form to fit"},
	} {
		_, err := FitCurve(c.model, c.obs, Practice{}, DefaultOptions())
		require.Error(t, err, name)
		r := refused(t, err, c.reason)
		require.Contains(t, r.Why, c.words, name)
		require.NotContains(t, r.Why, "Inf", name)
	}
}

// Yields that fall from the start are fitted by a quadratic, and the answer is
// no nitrogen; so it is where nitrogen is dearer than what it brings.
func TestZeroIsAnAnswer(t *testing.T) {
	falls := fitted(t, Quadratic, pairs(tonne, 0, 9.4, 0, 9.5, 50, 9.4, 50, 9.3, 100, 8.9, 100, 9, 150, 8.1, 150, 8.3))
	o, err := falls.Curve.Optimum(prices(1, 0.15))
	require.NoError(t, err)
	require.Zero(t, o.Rate)
	require.Zero(t, o.Return)
	require.Contains(t, o.Why, "no nitrogen pays best")
	require.Contains(t, o.Notes[0], "the optimum is no nitrogen")

	f := fitted(t, QuadraticPlateau, jackson1962)
	for _, c := range []struct {
		ratio float64
		zero  bool
	}{{f.Curve.B * 0.999, false}, {f.Curve.B, true}, {f.Curve.B * 2, true}} {
		p := prices(c.ratio, 1)
		o, err := f.Curve.Optimum(p)
		require.NoError(t, err)
		require.Equal(t, c.zero, o.Rate == 0)
		s, err := f.Confidence(p, 0.9)
		require.NoError(t, err)
		require.True(t, s.Zero)
		r, err := f.Curve.Within(p, 10)
		require.NoError(t, err)
		require.Zero(t, r.Low)
	}
	l := fitted(t, LinearPlateau, jackson1962)
	o, err = l.Curve.Optimum(prices(l.Curve.B*1.01, 1))
	require.NoError(t, err)
	require.Zero(t, o.Rate)
}

func TestPricesSumsAndLevelsAreRefused(t *testing.T) {
	f := fitted(t, QuadraticPlateau, jackson1962)
	for _, p := range []Prices{{}, prices(0, 1), prices(1, 0), prices(-1, 1), prices(1, -1), prices(math.NaN(), 1), prices(1, math.Inf(1)), prices(1e8, 1e-8), prices(110, 0.165), prices(1.1, 9)} {
		_, err := f.Curve.Optimum(p)
		refused(t, err, BadPrice)
		_, err = f.Confidence(p, 0.9)
		refused(t, err, BadPrice)
		_, err = f.Curve.Within(p, 1)
		refused(t, err, BadPrice)
	}
	for _, sum := range []unit.Return{-1, unit.Return(math.NaN()), unit.Return(math.Inf(1))} {
		_, err := f.Curve.Within(engelstadPrices, sum)
		refused(t, err, BadPrice)
	}
	for _, level := range []float64{0, 1, 95, -0.5, math.NaN()} {
		_, err := f.Confidence(engelstadPrices, level)
		refused(t, err, BadPrice)
	}
	_, err := f.Wald(engelstadPrices, 0.9)
	refused(t, err, BadCurve)
	_, err = Fit{Curve: f.Curve}.Confidence(engelstadPrices, 0.9)
	refused(t, err, BadCurve)
}

// A refusal speaks in the units asked for, coefficients and rates alike. 0.003 bu/ac per
// lb/ac squared are 0.003 x 62.77 / 1.12085² = 0.1499 kg/ha per kg/ha squared.
func TestRefusalsAreToldInTheUnitsAskedFor(t *testing.T) {
	for _, c := range []struct {
		told unit.System
		m    Model
		c    Coefficients
		want string
	}{
		{unit.US, Quadratic, Coefficients{A: 80, B: 1, C: 0.003}, "(C is 0.003 bu/ac per lb/ac squared)"},
		{unit.SI, Quadratic, Coefficients{A: 80, B: 1, C: 0.003}, "(C is 0.1499 kg/ha per kg/ha squared)"},
		{unit.US, LinearPlateau, Coefficients{A: 80, B: -0.5, Join: 150}, "(B is -0.5 bu of grain per lb N)"},
		{unit.SI, LinearPlateau, Coefficients{A: 80, B: 0.5}, "it is 0.0 kg N/ha"},
		{unit.SI, LinearPlateau, Coefficients{A: 80, B: 0.5, Join: 5}, "turns level at 5.6"},
	} {
		u := perAcre
		u.Told = c.told
		_, err := New(c.m, c.c, u, 0, 0)
		require.ErrorContains(t, err, c.want)
	}
	up := pairs(tonne, 0, 5, 50, 5.2, 100, 6, 150, 7.4, 200, 9.6)
	o := noTest()
	for system, want := range map[unit.System]string{unit.US: "bu/ac per lb/ac squared", unit.SI: "kg/ha per kg/ha squared"} {
		o.Units = system
		_, err := FitCurve(Quadratic, up, Practice{}, o)
		require.ErrorContains(t, err, want)
	}
}

func TestGivenCurves(t *testing.T) {
	us := Units{RateKgHa: unit.PoundsPerAcre.PerHa(), YieldKgHa: unit.BushelsPerAcre(1).KgPerHa()}
	c, err := New(QuadraticPlateau, Coefficients{A: 80, B: 1, C: -0.0025}, us, 0, unit.LbNPerAcre(240))
	require.NoError(t, err)
	require.InDelta(t, 200, c.Join.LbNPerAcre(), 1e-9)
	require.InDelta(t, 80+100-25, c.Yield(unit.LbNPerAcre(100)).BushelsPerAcre(), 1e-9)
	y, ok := c.Plateau()
	require.True(t, ok)
	require.InDelta(t, 180, y.BushelsPerAcre(), 1e-9)
	require.InDelta(t, 0.5*56, c.Slope(unit.LbNPerAcre(100)), 1e-9)
	require.Zero(t, c.Slope(unit.LbNPerAcre(201)))
	// (0.14 - 1) / (2 x -0.0025) = 172 lb/ac at 0.14 bu/lb, by hand.
	o, err := c.Optimum(prices(0.14*56, 1))
	require.NoError(t, err)
	require.InDelta(t, 172, o.Rate.LbNPerAcre(), 1e-9)
	require.Empty(t, o.Notes)

	unknown, err := New(LinearPlateau, Coefficients{A: 80, B: 0.6, Join: 150}, us, 0, 0)
	require.NoError(t, err)
	o, err = unknown.Optimum(prices(0.14*56, 1))
	require.NoError(t, err)
	require.InDelta(t, 150, o.Rate.LbNPerAcre(), 1e-9)
	require.Contains(t, strings.Join(o.Notes, ""), "not known")

	for _, bad := range []struct {
		m      Model
		c      Coefficients
		u      Units
		reason Reason
	}{
		{Quadratic, Coefficients{A: 80, B: 1, C: 0.001}, us, Convex},
		{Quadratic, Coefficients{A: 80, B: 1}, us, Convex},
		{QuadraticPlateau, Coefficients{A: 80, B: -1, C: -0.001}, us, Unresponsive},
		{QuadraticPlateau, Coefficients{A: 80, B: 1, C: -0.0025, Join: 150}, us, BadCurve},
		{QuadraticPlateau, Coefficients{A: 80, B: 1, C: 0}, us, BadCurve},
		{LinearPlateau, Coefficients{A: 80, B: 0.6}, us, BadCurve},
		{LinearPlateau, Coefficients{A: 80, B: -0.6, Join: 100}, us, Unresponsive},
		{LinearPlateau, Coefficients{A: 80, B: 1, C: -1, Join: 100}, us, BadCurve},
		{Quadratic, Coefficients{A: math.NaN(), B: 1, C: -0.001}, us, BadCurve},
		{Quadratic, Coefficients{A: 80, B: math.Inf(1), C: -0.001}, us, BadCurve},
		{Quadratic, Coefficients{A: 80, B: 1, C: -0.001}, Units{}, BadCurve},
		{Best, Coefficients{A: 80, B: 1, C: -0.001}, us, BadCurve},
	} {
		_, err := New(bad.m, bad.c, bad.u, 0, 0)
		refused(t, err, bad.reason)
	}
	_, err = New(Quadratic, Coefficients{A: 80, B: 1, C: -0.001}, us, 100, 50)
	refused(t, err, BadCurve)
	_, err = Curve{}.Optimum(engelstadPrices)
	refused(t, err, BadCurve)
	_, err = Mean{}.Optimum(engelstadPrices)
	refused(t, err, NothingLeft)
	_, err = Mean{}.Return(100, engelstadPrices)
	refused(t, err, NothingLeft)
	_, err = Mean{}.Points(engelstadPrices, 100, 3)
	refused(t, err, NothingLeft)
	_, err = Mean{}.Within(engelstadPrices, 1)
	refused(t, err, NothingLeft)
	_, err = Mean{}.AtRatios([]float64{5})
	refused(t, err, NothingLeft)
	require.Zero(t, Mean{}.Yield(100))
	_, err = NewMean(nil)
	refused(t, err, NothingLeft)
	_, err = NewMean([]Member{{Name: "x", Curve: c}})
	refused(t, err, BadCurve)
}

func TestPracticeIsNamed(t *testing.T) {
	require.Equal(t, "the curve stands for the practice of its trial: UAN 28, coulter", Practice{Form: "UAN 28", Placement: "coulter", Date: " "}.Words())
	require.Contains(t, Practice{}.Words(), "nothing is stated")
	f, err := FitCurve(Quadratic, jackson1962, Practice{Form: "urea"}, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, "urea", f.Practice.Form)
}

func TestModelsAreRead(t *testing.T) {
	for _, m := range []Model{Quadratic, QuadraticPlateau, LinearPlateau, Best} {
		got, err := ParseModel(" " + strings.ToUpper(m.String()))
		require.NoError(t, err)
		require.Equal(t, m, got)
	}
	for _, s := range []string{"", "cubic", "no response"} {
		_, err := ParseModel(s)
		require.ErrorContains(t, err, "write quadratic, quadratic-plateau, linear-plateau or best")
	}
	require.Equal(t, "unknown", Model(0).String())
}

// Whatever the numbers, what comes back is finite or refused in words.
func TestNothingComesBackThatIsNoNumber(t *testing.T) {
	rate := rapid.OneOf(rapid.SampledFrom([]float64{0, 0, 50, 100, 1e-300, 5e-324, 1e4, 1999.999, 100.0000001}), rapid.Float64Range(0, 2000))
	yield := rapid.OneOf(rapid.SampledFrom([]float64{0, 1e6, 5e4, 1e-300, 9000}), rapid.Float64Range(0, 5e4))
	rapid.Check(t, func(t *rapid.T) {
		var obs []Observation
		for range rapid.IntRange(0, 14).Draw(t, "count") {
			obs = append(obs, Observation{unit.NRate(rate.Draw(t, "N")), unit.Yield(yield.Draw(t, "yield")), rapid.SampledFrom([]string{"a", "b"}).Draw(t, "zone")})
		}
		m := rapid.SampledFrom([]Model{Quadratic, QuadraticPlateau, LinearPlateau}).Draw(t, "model")
		grain := rapid.Float64Range(1e-4, 1e4).Draw(t, "grain")
		p := prices(grain*rapid.Float64Range(leastRatio*1.001, mostRatio*0.999).Draw(t, "ratio"), grain)
		if z, err := FitZones(m, obs, Practice{}, noTest()); err == nil {
			_, _ = z.Value(p, nil)
		}
		f, err := FitCurve(m, obs, Practice{}, noTest())
		if err != nil {
			var r *Refusal
			require.ErrorAs(t, err, &r)
			return
		}
		o, err := f.Curve.Optimum(p)
		require.NoError(t, err)
		s, err := f.Confidence(p, 0.9)
		require.NoError(t, err)
		r, err := f.Curve.Within(p, 2.5)
		require.NoError(t, err)
		values := []float64{
			f.SSE, f.Sigma, f.RSquared, f.ResponseP, f.Curve.A, f.Curve.B, f.Curve.C, f.Curve.Join.KgNPerHa(),
			o.Rate.KgNPerHa(), o.Return.PerHa(), o.Yield.KgPerHa(), r.Low.KgNPerHa(), r.High.KgNPerHa(),
		}
		require.Equal(t, f.Exact, len(s.Spans) == 0)
		for _, span := range append(s.Spans, s.Line...) {
			values = append(values, span.Low.KgNPerHa(), span.High.KgNPerHa())
		}
		for i, v := range values {
			require.True(t, finite(v), "value %d is %v", i, v)
		}
		for _, text := range append([]string{s.Words(), o.Why, r.Words()}, append(f.Notes, s.Notes...)...) {
			require.NotContains(t, text, "NaN")
			require.NotContains(t, text, "Inf")
			require.NotContains(t, text, "%!")
		}
	})
}
