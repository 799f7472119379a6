package residue

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func points(pairs ...[2]float64) []Point {
	var list []Point
	for i, p := range pairs {
		list = append(list, Point{ID: fmt.Sprintf("p%d", i+1), Index: p[0], CoverPct: p[1]})
	}
	return list
}

// By hand: index 0 to 4, cover 10, 22, 29, 42, 47. Means 2 and 30; sum of squares 10 of the
// index, 898 of the cover; of the products 94: slope 9.4, intercept 11.2. What is left:
// 898 - 94²/10 = 14.4; standard error (14.4/3)^½ = 2.19089; R² 1 - 14.4/898 = 0.983964.
// Errors -1.2, 1.4, -1, 2.6, -1.8; a place holds 0.6, 0.3, 0.2, 0.3, 0.6 of its own value,
// so left out they are off by -3, 2, -1.25, 26/7, -4.5.
func TestTheLineByHand(t *testing.T) {
	c, err := Fit(points([2]float64{0, 10}, [2]float64{1, 22}, [2]float64{2, 29}, [2]float64{3, 42}, [2]float64{4, 47}), DefaultOptions())
	require.NoError(t, err)
	assert.InDelta(t, 9.4, c.Slope, 1e-12)
	assert.InDelta(t, 11.2, c.Intercept, 1e-12)
	assert.Equal(t, 5, c.N)
	assert.InDelta(t, math.Sqrt(14.4/3), c.SE, 1e-12)
	assert.InDelta(t, 1-14.4/898, c.R2, 1e-12)
	assert.InDelta(t, math.Sqrt((9+4+1.25*1.25+676.0/49+20.25)/5), c.LeaveOneOut, 1e-12)
	assert.InDelta(t, math.Sqrt(898.0/5)*5/4, c.MeanOfOthers, 1e-12)
	assert.Equal(t, [2]float64{0, 4}, [2]float64{c.Low, c.High})
	assert.Empty(t, c.Notes)
	assert.Contains(t, c.Words(), "cover in % = 11.2 +9.4 x index, fitted to 5 places: standard error 2.2 %, R2 0.98")
	// At the mean of the index the line has the error of a mean of five.
	assert.InDelta(t, c.SE/math.Sqrt(5), c.standardError(2), 1e-12)
	assert.InDelta(t, c.SE*math.Sqrt(0.2+0.4), c.standardError(4), 1e-12)
}

// Anscombe's first set: slope 0.500091, intercept 3.000091, R² 0.666542, residual standard
// error 1.236603, probability of the slope 0.002170. Source: Anscombe 1973, Am. Stat.
// 27:17-21; the last digits by any program of statistics, from memory.
func TestAnscombe(t *testing.T) {
	x := []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	y := []float64{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68}
	var list []Point
	for i := range x {
		list = append(list, Point{Index: x[i], CoverPct: y[i]})
	}
	c, err := Fit(list, DefaultOptions())
	require.NoError(t, err)
	assert.InDelta(t, 0.500091, c.Slope, 1e-6)
	assert.InDelta(t, 3.000091, c.Intercept, 1e-6)
	assert.InDelta(t, 0.666542, c.R2, 1e-6)
	assert.InDelta(t, 1.236603, c.SE, 1e-6)
	assert.InDelta(t, 0.002170, c.P, 1e-6)
}

func TestWhatIsNoCalibration(t *testing.T) {
	same := [2]float64{1, 30}
	for text, list := range map[string][]Point{
		"4 places with a count and a pixel make no line; it takes 5": points([2]float64{0, 10}, [2]float64{1, 22}, [2]float64{2, 29}, [2]float64{3, 42}),
		"0 places":                                                nil,
		"the index is 1 at every place":                           points(same, same, same, same, [2]float64{1, 60}),
		"the cover is 30 % at every place":                        points(same, same, same, same, [2]float64{2, 30}),
		"without p5 the index is the same at every place":         points(same, [2]float64{1, 31}, [2]float64{1, 32}, [2]float64{1, 33}, [2]float64{2, 60}),
		"the cover counted at 5 places does not follow the image": points([2]float64{0, 30}, [2]float64{1, 60}, [2]float64{2, 20}, [2]float64{3, 70}, [2]float64{4, 35}),
		"p5: a cover of 101 % is none":                            points(same, same, same, same, [2]float64{2, 101}),
		"p5: a cover of NaN % is none":                            points(same, same, same, same, [2]float64{2, math.NaN()}),
		"p5: a cover of -1 % is none":                             points(same, same, same, same, [2]float64{2, -1}),
		"p5: its index is NaN":                                    points(same, same, same, same, [2]float64{math.NaN(), 2}),
		"no cover is above 0.9, which looks like shares":          points([2]float64{0, 0.1}, [2]float64{1, 0.2}, [2]float64{2, 0.4}, [2]float64{3, 0.7}, [2]float64{4, 0.9}),
		"an index from -1.7e+308 to 1.7e+308 is beyond reckoning": points([2]float64{-1.7e308, 10}, [2]float64{0, 22}, [2]float64{0, 29}, [2]float64{1, 42}, [2]float64{1.7e308, 47}),
	} {
		_, err := Fit(list, DefaultOptions())
		require.ErrorContains(t, err, text)
	}
	_, err := Fit(nil, Options{})
	require.Error(t, err)
	four := points([2]float64{0, 10}, [2]float64{1, 22}, [2]float64{2, 29}, [2]float64{3, 42})
	_, err = Fit(four, Options{LeastPoints: 4, Level: 0.05})
	require.NoError(t, err, "the rules can be set")
	_, err = Fit(four, Options{LeastPoints: 4, Level: 1e-6})
	require.ErrorContains(t, err, "does not follow")
}

// A line that chance explains no better, yet no better than the mean, says so.
func TestALineThatAddsNothingIsNoted(t *testing.T) {
	c, err := Fit(points([2]float64{0, 50}, [2]float64{0.1, 20}, [2]float64{0.2, 45}, [2]float64{0.1, 25}, [2]float64{1, 75}), Options{LeastPoints: 5, Level: 0.2})
	require.NoError(t, err)
	assert.InDelta(t, 32.6354, c.LeaveOneOut, 1e-4)
	assert.InDelta(t, 24.5586, c.MeanOfOthers, 1e-4)
	require.Len(t, c.Notes, 1)
	assert.Contains(t, c.Notes[0], "the image adds nothing to the counts")
}

// Left out in truth: the shortcut by the leverage is what refitting gives. A scaled or moved
// index changes nothing but the coefficients, and an exact line is found.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5, 20).Draw(t, "n")
		var list []Point
		for i := range n {
			x := rapid.Float64Range(-1, 1).Draw(t, "x")
			list = append(list, Point{ID: fmt.Sprint(i), Index: x, CoverPct: min(max(50+30*x+rapid.Float64Range(-15, 15).Draw(t, "e"), 0), 100)})
		}
		o := Options{LeastPoints: 3, Level: 1}
		c, err := Fit(list, o)
		if err != nil || c.spread < 0.1 {
			t.Skip("the draw has no line")
		}
		sum, mean, rounding := 0.0, 0.0, 0.0
		for i := range list {
			others := append(append([]Point{}, list[:i]...), list[i+1:]...)
			m := 0.0
			for _, p := range others {
				m += p.CoverPct / float64(n-1)
			}
			mean += (list[i].CoverPct - m) * (list[i].CoverPct - m) / float64(n)
			d, err := Fit(others, o)
			if err != nil {
				t.Skip("without one the draw has no line")
			}
			e := list[i].CoverPct - d.At(list[i].Index)
			sum += e * e / float64(n)
			rounding = max(rounding, roundingLeftOut(list, i, e))
		}
		require.InDelta(t, math.Sqrt(sum), c.LeaveOneOut, rounding)
		require.InEpsilon(t, math.Sqrt(mean), c.MeanOfOthers, 1e-9)

		a, b := rapid.Float64Range(0.001, 1e6).Draw(t, "a"), rapid.Float64Range(-10, 10).Draw(t, "b")
		var moved []Point
		for _, p := range list {
			moved = append(moved, Point{ID: p.ID, Index: a * (p.Index + b), CoverPct: p.CoverPct})
		}
		d, err := Fit(moved, o)
		require.NoError(t, err)
		require.InDelta(t, c.At(0.3), d.At(a*(0.3+b)), 1e-6)
		require.InDelta(t, c.R2, d.R2, 1e-9)
		require.InDelta(t, c.P, d.P, 1e-9)

		for i := range list {
			list[i].CoverPct = 50 - 20*list[i].Index
		}
		e, err := Fit(list, DefaultOptions())
		require.NoError(t, err)
		require.InDelta(t, -20, e.Slope, 1e-9)
		require.InDelta(t, 50, e.Intercept, 1e-9)
		require.InDelta(t, 1, e.R2, 1e-12)
	})
}

// roundingLeftOut is what rounding may do to the error e of place i by the line of the
// others. The cover is rounded at 100 %, however small the errors are, and both this and e
// itself are divided by the part of a place's value that the line does not hold, which is a
// difference of numbers near 1; each of the n places adds one rounding to the sums.
func roundingLeftOut(list []Point, i int, e float64) float64 {
	const epsilon = 0x1p-52
	n, mean, spread := float64(len(list)), 0.0, 0.0
	for _, p := range list {
		mean += p.Index / n
	}
	for _, p := range list {
		spread += (p.Index - mean) * (p.Index - mean)
	}
	free := 1 - 1/n - (list[i].Index-mean)*(list[i].Index-mean)/spread
	return n * epsilon * (100 + math.Abs(e)) / free
}

// Every constant says where it is from.
func TestConstantsAreCited(t *testing.T) {
	text, err := os.ReadFile("constants.go")
	require.NoError(t, err)
	constants := regexp.MustCompile(`(?m)^\t\w+ += `).FindAllStringIndex(string(text), -1)
	require.Len(t, constants, 2)
	from := 0
	for _, at := range constants {
		for _, tag := range []string{"// Source: ", "// Range: ", "// Unit: "} {
			require.Contains(t, string(text)[from:at[0]], tag)
		}
		from = at[1]
	}
	for _, file := range []string{"fit.go", "image.go"} {
		other, err := os.ReadFile(file)
		require.NoError(t, err)
		require.False(t, strings.Contains(string(other), "\nconst ") || strings.Contains(string(other), "\nvar "), "constants stand in constants.go")
	}
}
