package response

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
)

// sumAt is the sum of squares of level + k g(N) with the best level, for k within
// bounds.
func sumAt(obs []Observation, g func(n float64) float64, kLow, kHigh float64) float64 {
	n := float64(len(obs))
	var meanG, meanY float64
	for _, ob := range obs {
		meanG += g(ob.Rate.KgNPerHa()) / n
		meanY += ob.Yield.KgPerHa() / n
	}
	var xy, xx, yy float64
	for _, ob := range obs {
		d, y := g(ob.Rate.KgNPerHa())-meanG, ob.Yield.KgPerHa()-meanY
		xy, xx, yy = xy+d*y, xx+d*d, yy+y*y
	}
	k := kLow
	if xx > 0 {
		k = min(max(xy/xx, kLow), kHigh)
	}
	return yy - 2*k*xy + k*k*xx
}

// searched is the least value of f over joins above a rate, by brute force: at places
// close together and, of the least among their neighbours, down to the bottom. Between two
// rates of the trial the sum of squares has a valley of its own.
func searched(f func(join float64) float64, above float64) float64 {
	var joins []float64
	for i := range 1001 {
		joins = append(joins, above+math.Exp(math.Log(1e-9)+float64(i)/1000*math.Log(1e14)))
	}
	for d := 0.25; d < 400; d += 0.5 {
		joins = append(joins, above+d)
	}
	slices.Sort(joins)
	values := make([]float64, len(joins))
	for i, j := range joins {
		values[i] = f(j)
	}
	var valleys []int
	for i := range joins {
		if (i == 0 || values[i] < values[i-1]) && (i+1 == len(joins) || values[i] <= values[i+1]) {
			valleys = append(valleys, i)
		}
	}
	slices.SortFunc(valleys, func(i, j int) int { return cmp.Compare(values[i], values[j]) })
	best := math.Inf(1)
	for _, i := range valleys[:min(len(valleys), 8)] {
		lo, hi := joins[max(i-1, 0)], joins[min(i+1, len(joins)-1)]
		for range 60 {
			x, y := lo+(hi-lo)/3, hi-(hi-lo)/3
			if fx, fy := f(x), f(y); fx <= fy {
				hi, best = y, min(best, fx)
			} else {
				lo, best = x, min(best, fy)
			}
		}
		best = min(best, values[i])
	}
	return best
}

// profileAt is the least sum of squares of a form with a join whose optimum is a
// rate, by brute force; for zero, of all whose optimum is no nitrogen.
func profileAt(obs []Observation, m Model, ratio, optimum float64) float64 {
	bent := func(join float64) func(float64) float64 {
		return func(n float64) float64 { below := max(join-n, 0); return -below * below }
	}
	straight := func(join float64) func(float64) float64 {
		return func(n float64) float64 { return min(n, join) - join }
	}
	switch {
	case m == QuadraticPlateau && optimum == 0:
		return searched(func(j float64) float64 { return sumAt(obs, bent(j), 0, ratio/(2*j)) }, 0)
	case m == QuadraticPlateau:
		return searched(func(j float64) float64 {
			k := ratio / (2 * (j - optimum))
			return sumAt(obs, bent(j), k, k)
		}, optimum)
	case optimum == 0:
		return searched(func(j float64) float64 { return sumAt(obs, straight(j), 0, ratio) }, 0)
	}
	return sumAt(obs, straight(optimum), ratio, math.Inf(1))
}

// A rate is in the profile set where brute force says so, and not elsewhere.
func TestProfileSetsAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		obs := drawTrial(t, 1500)
		m := rapid.SampledFrom([]Model{QuadraticPlateau, LinearPlateau}).Draw(t, "model")
		p := drawPrices(t)
		level := rapid.SampledFrom([]float64{0.5, 0.8, 0.9, 0.95, 0.99}).Draw(t, "level")
		f, err := FitCurve(m, obs, Practice{}, noTest())
		if err != nil || f.SSE < 1 {
			return
		}
		s, err := f.Confidence(p, level)
		require.NoError(t, err)
		tq := tQuantile(level, f.DF)
		most := f.SSE * (1 + tq*tq/float64(f.DF))
		o, err := f.Curve.Optimum(p)
		require.NoError(t, err)
		// That is of the curve's optimum, which is not held where nobody tested so much.
		best := o.ByCurve
		require.True(t, s.Contains(best-1e-7) || s.Contains(best+1e-7) || s.Contains(best), "the estimate is in its set")
		rates := []float64{0, 500, 2000}
		for n := 4.3; n < 330; n += 13 {
			rates = append(rates, n)
		}
		for _, n := range rates {
			sse := profileAt(obs, m, p.Ratio(), n)
			if math.Abs(sse-most) < 1e-4*most {
				continue // too near the edge for brute force to say
			}
			require.Equal(t, sse < most, s.Contains(unit.KgNPerHa(n)), "%g: %g of %g; %s", n, sse, most, s.Words())
		}
		// The ends are where the profile meets the limit; those at the lowest rate
		// are only come near to, by ever steeper curves.
		for _, span := range s.Spans {
			if span.Low > f.Curve.Lowest+0.01 && m == QuadraticPlateau {
				require.InEpsilon(t, most, profileAt(obs, m, p.Ratio(), span.Low.KgNPerHa()), 1e-3)
			}
			if !span.NoHigh && span.High > 0.01 && m == QuadraticPlateau {
				require.InEpsilon(t, most, profileAt(obs, m, p.Ratio(), span.High.KgNPerHa()), 1e-3)
			}
		}
	})
}

// slopeSum is the least sum of squares of a quadratic whose slope at a rate is
// the ratio, with its bend: y - rN = a + c (N² - 2 x N).
func slopeSum(obs []Observation, ratio, x float64) (sse, bend float64) {
	turned := make([]Observation, len(obs))
	for i, ob := range obs {
		turned[i] = Observation{Rate: ob.Rate, Yield: ob.Yield - unit.KgGrainPerHa(ratio*ob.Rate.KgNPerHa())}
	}
	g := func(n float64) float64 { return n * (n - 2*x) }
	sse = sumAt(turned, g, math.Inf(-1), math.Inf(1))
	for _, c := range []float64{-1e-9, 1e-9} { // which sign does better
		if sumAt(turned, g, c, c) < sumAt(turned, g, 0, 0) {
			bend = c
		}
	}
	return sse, bend
}

// A rate is in Fieller's set where a quadratic with its optimum there passes the
// F test; and in the rates given where that quadratic bends downward.
func TestFiellerAgainstConstrainedFits(t *testing.T) {
	shapes := map[Shape]int{}
	random := rand.New(rand.NewPCG(5, 4))
	for range 400 {
		var obs []Observation
		noise := 100 + 2500*random.Float64()
		for n := 0.0; n <= 200; n += 25 + 40*random.Float64() {
			for range 2 {
				y := 6000 + 30*n - 0.09*n*n + noise*random.NormFloat64()
				obs = append(obs, Observation{Rate: unit.KgNPerHa(n), Yield: unit.KgGrainPerHa(max(0, y))})
			}
		}
		f, err := FitCurve(Quadratic, obs, Practice{}, noTest())
		if err != nil {
			continue
		}
		p := prices(0.3+2*random.Float64(), 0.15)
		level := []float64{0.5, 0.8, 0.9, 0.95, 0.99}[random.IntN(5)]
		s, err := f.Confidence(p, level)
		require.NoError(t, err)
		shapes[s.Shape]++
		tq := tQuantile(level, f.DF)
		most := f.SSE * (1 + tq*tq/float64(f.DF))
		line := Set{Spans: s.Line}
		for _, x := range []float64{-1e5, -900, -300, -100, -30, 0.01, 30, 60, 90, 120, 150, 180, 210, 240, 300, 500, 1e3, 1e5} {
			sse, bend := slopeSum(obs, p.Ratio(), x)
			if math.Abs(sse-most) < 1e-6*most {
				continue
			}
			in := sse < most
			require.Equal(t, in, line.Contains(unit.KgNPerHa(x)), "%g; %s", x, s.Words())
			if x > 0 && s.Shape != WholeLine {
				require.Equal(t, in && bend < 0, s.Contains(unit.KgNPerHa(x)), "%g; %s", x, s.Words())
			}
		}
	}
	t.Log(shapes)
	for _, shape := range []Shape{Interval, Complement, WholeLine} {
		require.Greater(t, shapes[shape], 10, shape)
	}
}

// A small trial at three prices and levels: what the set is, and how it is said.
func TestShapesAreSaidPlainly(t *testing.T) {
	obs := pairs(tonne, 0, 5.1, 0, 4.8, 60, 8.0, 60, 7.4, 120, 9.1, 120, 9.6, 180, 10.1, 180, 9.4)
	f := fitted(t, Quadratic, obs)
	p := prices(0.9, 0.15)
	for _, c := range []struct {
		level float64
		shape Shape
		words []string
	}{
		{0.9, Interval, []string{"with 90 % confidence (Fieller) the optimum lies between 118.2 lb N/ac", "nothing was tested"}},
		{0.998, Complement, []string{"or above, with no upper limit", "on the whole line the set is all but"}},
	} {
		s, err := f.Confidence(p, c.level)
		require.NoError(t, err)
		require.Equal(t, c.shape, s.Shape, s.Words())
		for _, w := range c.words {
			require.Contains(t, s.Words(), w)
		}
		require.Equal(t, c.shape == Complement, s.Spans[0].NoHigh)
		require.True(t, s.Beyond)
		w, err := f.Wald(p, c.level)
		require.NoError(t, err)
		require.False(t, w.Spans[0].NoHigh)
		require.Contains(t, w.Notes[0], "always finite")
	}
}

// A trial that can tell no rate from another says so.
func TestWholeLineIsSaidPlainly(t *testing.T) {
	obs := pairs(tonne, 0, 7, 0, 9, 60, 8, 60, 9.5, 120, 8.2, 120, 9.9, 180, 8, 180, 9.6)
	f, err := FitCurve(Quadratic, obs, Practice{}, noTest())
	require.NoError(t, err)
	s, err := f.Confidence(prices(0.9, 0.15), 0.95)
	require.NoError(t, err)
	require.Equal(t, WholeLine, s.Shape)
	require.Equal(t, "with 95 % confidence (Fieller) the optimum may be any rate: this trial cannot tell which rate is best", s.Words())
	require.True(t, s.Zero)
	require.True(t, s.Contains(0))
	require.True(t, s.Contains(1e6))
	_, err = FitCurve(Quadratic, obs, Practice{}, DefaultOptions())
	refused(t, err, Unresponsive)
}

// No nitrogen is said to be in the set, or not.
func TestNoNitrogenInASet(t *testing.T) {
	f := fitted(t, Quadratic, jackson1962)
	for ratio, words := range map[float64]string{
		20: "66.4 lb N/ac or below; no nitrogen at all is not ruled out",
		40: "with 90 % confidence (Fieller) the optimum is no nitrogen",
	} {
		s, err := f.Confidence(prices(ratio, 1), 0.9)
		require.NoError(t, err)
		require.True(t, s.Zero)
		require.Contains(t, s.Words(), words)
	}
	s, err := f.Confidence(prices(9, 1), 0.9)
	require.NoError(t, err)
	require.False(t, s.Contains(0))
}

// Where the bend is exactly at its limit, Fieller's set is a half line.
func TestHalfLine(t *testing.T) {
	f := fitted(t, Quadratic, pairs(tonne, 0, 5.1, 0, 4.8, 60, 8.0, 60, 7.4, 120, 9.1, 120, 9.6, 180, 10.1, 180, 9.4))
	tq := math.Abs(f.para.d2) * math.Sqrt(f.para.s2) / f.Sigma
	level := 2*distuv.StudentsT{Sigma: 1, Nu: float64(f.DF)}.CDF(tq) - 1
	for step := -1e-9; step <= 1e-9; step += 1e-9 { // the limit to within rounding
		s, err := f.Confidence(prices(0.9, 0.15), level+step)
		require.NoError(t, err)
		require.True(t, s.Spans[0].NoHigh || s.Spans[0].High > 1e5)
		require.Greater(t, s.Spans[0].Low, unit.KgNPerHa(90))
	}
}

// Sites where every join fits alike: the set of a trial that saw no plateau is
// open and says so; its estimate is beyond what was tested.
func TestProfileRunsOverTheHighestRate(t *testing.T) {
	obs := pairs(tonne, 0, 5, 0, 5.3, 50, 6.9, 50, 7.2, 100, 8.9, 100, 8.5, 150, 10.2, 150, 9.7)
	f := fitted(t, QuadraticPlateau, obs)
	require.Contains(t, f.Notes[0], "no plateau was seen")
	s, err := f.Confidence(prices(0.9, 0.15), 0.95)
	require.NoError(t, err)
	require.True(t, s.Spans[len(s.Spans)-1].NoHigh)
	require.Contains(t, s.Words(), "with no upper limit")
	require.Contains(t, s.Words(), "above 133.8 lb N/ac nothing was tested")
	o, err := f.Curve.Optimum(prices(0.9, 0.15))
	require.NoError(t, err)
	require.True(t, o.Beyond)
}

// Points of the profile of site 5 of Hernandez & Mulla 2008, Agron. J.
// 100:1221-1229, by R 4.2.2 (profile.nls: optimum and signed root of F): a level
// whose t is that root has its end there.
func TestProfilePointsOfSite5(t *testing.T) {
	f := fitted(t, Quadratic, hernandez(t, "S5"))
	for _, c := range []struct{ root, optimum float64 }{
		{-0.7167343, 167.7667},
		{-1.6153174, 148.8420},
		{-2.4539986, 136.9159},
		{0.8513463, 244.7126},
		{1.5600547, 353.1530},
		{1.8648495, 462.6299},
		{2.3358998, 1106.1456},
	} {
		level := 2*distuv.StudentsT{Sigma: 1, Nu: 21}.CDF(math.Abs(c.root)) - 1
		s, err := f.Confidence(hernandezPrices, level)
		require.NoError(t, err)
		got := s.Spans[0].Low
		if c.root > 0 {
			got = s.Spans[0].High
		}
		require.InEpsilon(t, c.optimum, got.KgNPerHa(), 1e-5)
	}
}
