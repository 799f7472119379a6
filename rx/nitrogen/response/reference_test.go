//go:build reference

package response

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// The reference is testdata/reference/response.py, which fits with scipy and
// numpy and shares nothing with this package. Debian's python3-scipy must be
// there; without it these tests fail.

type referenceTrial struct {
	N     []float64 `json:"n"`
	Y     []float64 `json:"y"`
	Ratio float64   `json:"ratio"`
	Level float64   `json:"level"`
	Ends  []float64 `json:"ends"` // of our profile set, above the lowest rate
}

type referenceFit struct {
	Quadratic struct {
		A, B, C, SSE, P, SE float64
		Shape               string
		Ends                []float64
	}
	Plateau, Linear struct{ SSE, Join, Slope float64 }
	Profile         []float64 // sum of squares at our ends over the limit: 1 where we are right
	F               float64
}

func reference(t *testing.T, trials []referenceTrial) (out []referenceFit) {
	t.Helper()
	askScipy(t, "response.py", trials, &out)
	require.Len(t, out, len(trials))
	return out
}

// askScipy gives a script of testdata/reference what it asks for and takes its answer.
func askScipy(t *testing.T, script string, in, out any) {
	t.Helper()
	text, err := json.Marshal(in)
	require.NoError(t, err)
	// Debian's python3-scipy belongs to Debian's own Python.
	cmd := exec.Command("/usr/bin/python3", filepath.Join("testdata", "reference", script))
	var stdout, stderr bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(text), &stdout, &stderr
	require.NoErrorf(t, cmd.Run(), "the reference needs Debian's python3-scipy: %s", stderr.String())
	require.NoError(t, json.Unmarshal(stdout.Bytes(), out))
}

// randomTrial is like drawTrial, the same on every run.
func randomTrial(random *rand.Rand) []Observation {
	var out []Observation
	count, noise := 5+random.IntN(5), 100+2400*random.Float64()
	join := 60 + 220*random.Float64()
	for i := range count {
		for range 1 + random.IntN(4) {
			n := max(0, float64(i)*240/float64(count-1)+6*random.NormFloat64()*float64(random.IntN(2)))
			below := max(join-n, 0) / join
			out = append(out, Observation{Rate: unit.KgNPerHa(n), Yield: unit.KgGrainPerHa(max(0, 11000-6000*below*below+noise*random.NormFloat64()))})
		}
	}
	return out
}

// Fits, F tests, quantiles, Fieller's sets and profile sets of 60 random trials.
func TestFitsAndSetsAgainstScipy(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 15))
	var trials []referenceTrial
	var data [][]Observation
	for range 60 {
		obs := randomTrial(random)
		tr := referenceTrial{Ratio: 2 + 12*random.Float64(), Level: []float64{0.8, 0.9, 0.95}[random.IntN(3)]}
		for _, ob := range obs {
			tr.N, tr.Y = append(tr.N, ob.Rate.KgNPerHa()), append(tr.Y, ob.Yield.KgPerHa())
		}
		if f, err := FitCurve(QuadraticPlateau, obs, Practice{}, noTest()); err == nil {
			s, err := f.Confidence(prices(tr.Ratio, 1), tr.Level)
			require.NoError(t, err)
			for _, span := range s.Spans {
				if span.Low > f.Curve.Lowest+1 {
					tr.Ends = append(tr.Ends, span.Low.KgNPerHa())
				}
				if !span.NoHigh && span.High > f.Curve.Lowest+1 {
					tr.Ends = append(tr.Ends, span.High.KgNPerHa())
				}
			}
		}
		trials, data = append(trials, tr), append(data, obs)
	}
	counts := map[string]int{}
	for i, want := range reference(t, trials) {
		tr := trials[i]
		p := prices(tr.Ratio, 1)
		if f, err := FitCurve(Quadratic, data[i], Practice{}, noTest()); err == nil {
			counts["quadratic"]++
			counts[want.Quadratic.Shape]++
			sameQuadratic(t, f, p, tr.Level, want)
		} else {
			require.GreaterOrEqual(t, want.Quadratic.C, 0.0)
		}
		if f, err := FitCurve(QuadraticPlateau, data[i], Practice{}, noTest()); err == nil {
			counts["plateau"]++
			require.InEpsilon(t, want.Plateau.SSE, f.SSE, 1e-8)
			require.InEpsilon(t, want.Plateau.Join, f.Curve.Join.KgNPerHa(), 1e-3)
			require.InEpsilon(t, want.Plateau.Slope, -f.Curve.C, 2e-3)
		}
		if f, err := FitCurve(LinearPlateau, data[i], Practice{}, noTest()); err == nil {
			counts["linear"]++
			require.InEpsilon(t, want.Linear.SSE, f.SSE, 1e-8)
			require.InEpsilon(t, want.Linear.Slope, f.Curve.B, 1e-4)
		}
		for _, over := range want.Profile {
			counts["profile end"]++
			require.InDelta(t, 1, over, 1e-6, "%v", tr)
		}
		tq := tQuantile(tr.Level, len(tr.N)-coefficients)
		require.InEpsilon(t, want.F, tq*tq, 1e-9)
	}
	t.Log(counts)
	for _, kind := range []string{"quadratic", "plateau", "linear", "profile end", "interval", "complement"} {
		require.Greater(t, counts[kind], 5, kind)
	}
}

func sameQuadratic(t *testing.T, f Fit, p Prices, level float64, want referenceFit) {
	t.Helper()
	q := want.Quadratic
	require.InEpsilon(t, q.A, f.Curve.A, 1e-6)
	require.InEpsilon(t, q.B, f.Curve.B, 1e-5)
	require.InEpsilon(t, q.C, f.Curve.C, 1e-5)
	require.InEpsilon(t, q.SSE, f.SSE, 1e-9)
	require.InDelta(t, q.P, f.ResponseP, 1e-9)
	se, err := f.StandardError(p)
	require.NoError(t, err)
	require.InEpsilon(t, q.SE, se.KgNPerHa(), 1e-5)
	s, err := f.Confidence(p, level)
	require.NoError(t, err)
	require.Equal(t, map[string]Shape{"interval": Interval, "complement": Complement, "whole": WholeLine}[q.Shape], s.Shape)
	var ends []float64
	for _, span := range s.Line {
		if !span.NoLow {
			ends = append(ends, span.Low.KgNPerHa())
		}
		if !span.NoHigh {
			ends = append(ends, span.High.KgNPerHa())
		}
	}
	require.Len(t, ends, len(q.Ends))
	for i := range ends {
		require.InDelta(t, q.Ends[i], ends[i], 1e-5*(1+math.Abs(q.Ends[i])))
	}
}
