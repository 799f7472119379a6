package response

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// noTest fits whatever the response.
func noTest() Options {
	o := DefaultOptions()
	o.ResponseLevel = 0
	return o
}

// drawTrial makes a trial that rises to a plateau or falls off, with noise, on
// planned rates or on scattered ones.
func drawTrial(t *rapid.T, mostNoise float64) []Observation {
	count := rapid.IntRange(4, 12).Draw(t, "rates")
	lowest := rapid.SampledFrom([]float64{0, 0, 0, 30}).Draw(t, "lowest")
	join := rapid.Float64Range(20, 320).Draw(t, "join")
	noise := rapid.Float64Range(0, mostNoise).Draw(t, "noise")
	scatter := rapid.Float64Range(0, 15).Draw(t, "scatter")
	draw := rapid.Float64Range(-1, 1)
	var out []Observation
	for i := range count {
		for range rapid.IntRange(1, 4).Draw(t, "plots") {
			n := max(0, lowest+float64(i)*240/float64(count-1)+scatter*draw.Draw(t, "off"))
			below := max(join-n, 0) / join
			y := 11000 - 6000*below*below + noise*draw.Draw(t, "error")
			out = append(out, Observation{Rate: unit.KgNPerHa(n), Yield: unit.KgGrainPerHa(max(0, y))})
		}
	}
	return out
}

func drawPrices(t *rapid.T) Prices {
	return prices(rapid.Float64Range(0.3, 2).Draw(t, "N price"), rapid.Float64Range(0.08, 0.3).Draw(t, "grain price"))
}

// sumAtJoin is the least sum of squares for one join, by plain regression on the
// regressor of that join; and its slope.
func sumAtJoin(obs []Observation, m Model, join float64) (sse, k float64) {
	n := float64(len(obs))
	g := make([]float64, len(obs))
	var meanG, meanY float64
	for i, ob := range obs {
		below := max(join-ob.Rate.KgNPerHa(), 0)
		g[i] = -below
		if m == QuadraticPlateau {
			g[i] = -below * below / join
		}
		meanG += g[i] / n
		meanY += ob.Yield.KgPerHa() / n
	}
	var xy, xx, yy float64
	for i, ob := range obs {
		d, y := g[i]-meanG, ob.Yield.KgPerHa()-meanY
		xy, xx, yy = xy+d*y, xx+d*d, yy+y*y
	}
	if !(xy > 0 && xx > 0) {
		return yy, 0
	}
	return yy - xy*xy/xx, xy / xx
}

// No join of a fine search, up to far beyond the rates, does better than the fit.
func TestNoJoinDoesBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := drawTrial(t, 1500)
		m := rapid.SampledFrom([]Model{QuadraticPlateau, LinearPlateau}).Draw(t, "model")
		f, err := FitCurve(m, obs, Practice{}, noTest())
		if err != nil {
			return
		}
		best, _ := sumAtJoin(obs, m, f.Curve.Join.KgNPerHa())
		require.InDelta(t, best, f.SSE, 1e-9*(1+f.trial.total))
		for join := 1.0; join < 600; join += 0.25 {
			sse, _ := sumAtJoin(obs, m, join)
			require.GreaterOrEqual(t, sse-f.SSE, -1e-9*(1+f.trial.total), join)
		}
	})
}

// The quadratic's residuals are orthogonal to 1, N and N²: the normal equations.
func TestQuadraticSolvesItsNormalEquations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := drawTrial(t, 1500)
		f, err := FitCurve(Quadratic, obs, Practice{}, noTest())
		if err != nil {
			return
		}
		var s [3]float64
		sse := 0.0
		for _, ob := range obs {
			x := ob.Rate.KgNPerHa() / 240
			e := (ob.Yield - f.Curve.Yield(ob.Rate)).KgPerHa()
			s[0], s[1], s[2] = s[0]+e, s[1]+e*x, s[2]+e*x*x
			sse += e * e
		}
		for _, v := range s {
			require.InDelta(t, 0, v, 1e-6)
		}
		require.InDelta(t, sse, f.SSE, 1e-6*(1+sse))
	})
}

// Order, units of yield and repeating every plot change no curve.
func TestFitsDependOnTheDataAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := drawTrial(t, 1500)
		m := rapid.SampledFrom([]Model{Quadratic, QuadraticPlateau, LinearPlateau}).Draw(t, "model")
		f, err := FitCurve(m, obs, Practice{}, noTest())
		shuffled := rapid.Permutation(obs).Draw(t, "order")
		g, again := FitCurve(m, shuffled, Practice{}, noTest())
		require.Equal(t, err, again)
		if err != nil || f.Curve.Join > 1e4 { // so nearly straight that rounding says where it joins
			return
		}
		require.Equal(t, f.Curve, g.Curve)
		twice, err := FitCurve(m, slices.Concat(obs, obs), Practice{}, noTest())
		require.NoError(t, err)
		if f.Curve.hasJoin() {
			// Near its least the sum of squares is level, so that rounding of it moves the join
			// by the root of that; at the join found from the plots twice it must be the least
			// to rounding. Far joins are known by 1/J, the bend over the slope.
			sse, _ := sumAtJoin(obs, m, twice.Curve.Join.KgNPerHa())
			require.InDelta(t, f.SSE, sse, 1e-9*(1+f.trial.total))
			require.InDelta(t, 1/f.Curve.Join.KgNPerHa(), 1/twice.Curve.Join.KgNPerHa(), 1e-6)
		}
		require.InDelta(t, 2*f.SSE, twice.SSE, 1e-6*(1+f.SSE))
	})
}

// A curve without noise is found again.
func TestExactCurvesAreFoundAgain(t *testing.T) {
	for _, c := range []Curve{
		{Model: Quadratic, A: 5000, B: 45, C: -0.12},
		{Model: QuadraticPlateau, A: 5000, B: 60, C: -0.2, Join: 150},
		{Model: LinearPlateau, A: 5000, B: 40, Join: 133},
	} {
		var obs []Observation
		for n := 0.0; n <= 250; n += 25 {
			obs = append(obs, Observation{Rate: unit.KgNPerHa(n), Yield: c.Yield(unit.KgNPerHa(n))})
		}
		f := fitted(t, c.Model, obs)
		require.InEpsilon(t, c.A, f.Curve.A, 1e-9)
		require.InEpsilon(t, c.B, f.Curve.B, 1e-8)
		require.InDelta(t, c.C, f.Curve.C, 1e-10)
		require.InDelta(t, c.Join.KgNPerHa(), f.Curve.Join.KgNPerHa(), 1e-5)
		require.Zero(t, f.SSE)
		p := prices(1, 0.15)
		s, err := f.Confidence(p, 0.95)
		require.NoError(t, err)
		require.Equal(t, Unjudged, s.Shape)
		require.Empty(t, s.Spans)
		require.True(t, s.Contains(0))
		require.NotContains(t, s.Words(), "confidence")
		require.Contains(t, s.Words(), "no scatter to judge the error")
		if c.Model == Quadratic {
			w, err := f.Wald(p, 0.95)
			require.NoError(t, err)
			require.Equal(t, Unjudged, w.Shape)
			_, err = f.StandardError(p)
			require.ErrorContains(t, err, "no standard error")
		}
		require.Contains(t, strings.Join(f.Notes, " "), "goes through every observation")
		choice, err := Choose(obs, Practice{}, DefaultOptions())
		require.NoError(t, err)
		require.Equal(t, c.Model, choice.Fit.Curve.Model, choice.Why)
	}
}

// Yields off a curve by rounding alone are no scatter either, on one degree of freedom as
// on many; a hundredth of a percent is.
func TestRoundedCurvesAreNotJudged(t *testing.T) {
	c := Curve{Model: QuadraticPlateau, A: 5000, B: 60, C: -0.15, Join: 200}
	off := func(share float64) []Observation {
		var obs []Observation
		for i, n := range []float64{0, 90, 180, 270} {
			y := c.Yield(unit.KgNPerHa(n)).KgPerHa()
			obs = append(obs, Observation{Rate: unit.KgNPerHa(n), Yield: unit.KgGrainPerHa(y * (1 + share*float64(i%2*2-1)))})
		}
		return obs
	}
	for share, want := range map[float64]Shape{0: Unjudged, 1e-8: Unjudged, 1e-4: Interval} {
		s, err := fitted(t, c.Model, off(share)).Confidence(prices(1, 0.15), 0.95)
		require.NoError(t, err)
		require.Equal(t, want, s.Shape, "off by %g", share)
	}
}

// The optimum beats every other rate, falls as nitrogen gets dearer, and the
// rates within a sum are those and no others.
func TestOptimaAndRanges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var members []Member
		for range rapid.IntRange(1, 6).Draw(t, "curves") {
			members = append(members, Member{Curve: drawCurve(t), Weight: rapid.Float64Range(0.1, 10).Draw(t, "weight")})
		}
		m, err := NewMean(members)
		require.NoError(t, err)
		p := drawPrices(t)
		o, err := m.Optimum(p)
		require.NoError(t, err)
		sum := unit.Return(rapid.Float64Range(0, 60).Draw(t, "sum"))
		r, err := m.Within(p, sum)
		require.NoError(t, err)
		require.LessOrEqual(t, r.Low, o.Rate)
		require.GreaterOrEqual(t, r.High, o.Rate)
		for n := 0.0; n < 500; n += 2.5 {
			got, err := m.Return(unit.KgNPerHa(n), p)
			require.NoError(t, err)
			require.LessOrEqual(t, got.PerHa(), o.Return.PerHa()+1e-8)
			inside := n >= r.Low.KgNPerHa()+1e-4 && n <= r.High.KgNPerHa()-1e-4
			outside := n < r.Low.KgNPerHa()-1e-4 || n > r.High.KgNPerHa()+1e-4
			if inside {
				require.GreaterOrEqual(t, got.PerHa(), o.Return.PerHa()-sum.PerHa()-1e-7)
			}
			if outside {
				require.Less(t, got.PerHa(), o.Return.PerHa()-sum.PerHa()+1e-7)
			}
		}
		dearer, err := m.Optimum(Prices{p.N * 1.2, p.Grain})
		require.NoError(t, err)
		require.LessOrEqual(t, dearer.Rate, o.Rate)
		// What grain adds to the return is its price times the grain: the return
		// moves with the price of grain by that grain (envelope theorem).
		const step = 1e-6
		more, err := m.Optimum(Prices{p.N, p.Grain + step})
		require.NoError(t, err)
		grain := (m.Yield(o.Rate) - m.Yield(0)).KgPerHa()
		require.InDelta(t, grain, (more.Return-o.Return).PerHa()/step, 0.01*grain+1)
		require.InDelta(t, o.Return.PerHa(), (o.Grain - o.NCost).PerHa(), 1e-9)
	})
}

func drawCurve(t *rapid.T) Curve {
	c := Curve{Model: rapid.SampledFrom([]Model{Quadratic, QuadraticPlateau, LinearPlateau, NoResponse}).Draw(t, "form")}
	c.A = rapid.Float64Range(2000, 10000).Draw(t, "A")
	switch c.Model {
	case Quadratic:
		c.B, c.C = rapid.Float64Range(-5, 60).Draw(t, "B"), -rapid.Float64Range(0.02, 0.5).Draw(t, "C")
	case QuadraticPlateau:
		c.B, c.C = rapid.Float64Range(1, 60).Draw(t, "B"), -rapid.Float64Range(0.02, 0.5).Draw(t, "C")
		c.Join = unit.KgNPerHa(-c.B / (2 * c.C))
	case LinearPlateau:
		c.B, c.Join = rapid.Float64Range(1, 60).Draw(t, "B"), unit.KgNPerHa(rapid.Float64Range(10, 300).Draw(t, "join"))
	}
	return c
}

// The range about a quadratic's optimum is N* ± sqrt(sum / (P |C|)), cut at zero.
func TestClosedFormOfTheRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Curve{Model: Quadratic, A: 5000, B: rapid.Float64Range(10, 60).Draw(t, "B"), C: -rapid.Float64Range(0.05, 0.5).Draw(t, "C")}
		p := drawPrices(t)
		sum := rapid.Float64Range(0.1, 50).Draw(t, "sum")
		o, err := c.Optimum(p)
		require.NoError(t, err)
		if o.Rate == 0 {
			return
		}
		require.InDelta(t, (p.Ratio()-c.B)/(2*c.C), o.Rate.KgNPerHa(), 1e-9)
		half := math.Sqrt(sum / (p.Grain.PerKg() * -c.C))
		r, err := c.Within(p, unit.Return(sum))
		require.NoError(t, err)
		require.InDelta(t, max(0, o.Rate.KgNPerHa()-half), r.Low.KgNPerHa(), 1e-6)
		require.InDelta(t, o.Rate.KgNPerHa()+half, r.High.KgNPerHa(), 1e-6)
	})
}

// Beyond a plateau a kilogram costs its price: the range ends sum / W above the
// join where the optimum is the join.
func TestRangeBeyondAPlateau(t *testing.T) {
	c := Curve{Model: LinearPlateau, A: 4000, B: 30, Join: 140}
	p := prices(1.1, 0.16)
	r, err := c.Within(p, 5)
	require.NoError(t, err)
	require.InDelta(t, 140+5/1.1, r.High.KgNPerHa(), 1e-9)
	require.InDelta(t, 140-5/(0.16*30-1.1), r.Low.KgNPerHa(), 1e-9)
	require.Contains(t, r.Words(), "2.02 $/ac of the best")
}
