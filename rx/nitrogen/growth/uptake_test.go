package growth

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Sources: Bender et al. 2013, Agron. J. 105:161-170 (V10, R1), seed-company agronomy
// pages (V6, V14, VT); V4, V8, R2 and R4 are from memory.
func TestBandAtItsStages(t *testing.T) {
	for _, c := range []struct {
		s         Stage
		low, high float64
	}{
		{-1, 0, 0},
		{0, 0, 0},
		{4, 2, 3},
		{6, 5, 11},
		{8, 15, 22},
		{10, 30, 37},
		{14, 60, 67},
		{VT, 63, 70},
		{R1, 63, 70},
		{R2, 71.5, 78.5},
		{R4, 81.5, 88.5},
		{R6, 100, 100},
		{7, 10, 16.5},
		{R3, 76.5, 83.5},
	} {
		low, high, err := DefaultBand().At(c.s, c.s)
		require.NoError(t, err)
		require.InDelta(t, c.low, low, 1e-9, c.s.String())
		require.InDelta(t, c.high, high, 1e-9, c.s.String())
	}
}

// Source: Bender et al. 2013, Agron. J. 105:161-170: 8.8 kg/ha/d over the ten days
// from V10 to V14 of 286 kg/ha in all, and 65 % by R1.
func TestBandAgainstPublishedRates(t *testing.T) {
	low10, high10, err := DefaultBand().At(10, 10)
	require.NoError(t, err)
	low14, high14, err := DefaultBand().At(14, 14)
	require.NoError(t, err)
	require.InDelta(t, 100*8.8*10/286, low14-low10, 1)
	require.InDelta(t, 100*8.8*10/286, high14-high10, 1)
	low, high, err := DefaultBand().At(R1, R1)
	require.NoError(t, err)
	require.True(t, low <= 65 && 65 <= high)
}

func TestBandNeverFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-2, 30).Draw(t, "a")
		b := rapid.Float64Range(a, 30).Draw(t, "b")
		l1, h1, err := DefaultBand().At(Stage(a), Stage(a))
		require.NoError(t, err)
		l2, h2, err := DefaultBand().At(Stage(b), Stage(b))
		require.NoError(t, err)
		require.True(t, 0 <= l1 && l1 <= h1 && h1 <= 100 && l1 <= l2 && h1 <= h2)
		if a > 0.01 && a < float64(R6) {
			require.Less(t, l1, h1, "a band, not a line")
		}
		low, high, err := DefaultBand().At(Stage(a), Stage(b))
		require.NoError(t, err)
		require.Equal(t, []float64{l1, h2}, []float64{low, high})
	})
}

func TestOwnBand(t *testing.T) {
	b := Band{{6, 5, 10}, {R1, 60, 70}}
	low, high, err := b.At(3, R3)
	require.NoError(t, err)
	require.Equal(t, []float64{0, 100}, []float64{low, high}, "outside its stages the band does not know")
	low, high, err = b.At(-1, -1)
	require.NoError(t, err)
	require.Equal(t, []float64{0, 0}, []float64{low, high})
}

func TestRefusedBands(t *testing.T) {
	nan := math.NaN()
	for _, b := range []Band{
		nil,
		{{6, 5, 10}},
		{{6, 5, 10}, {6, 6, 11}},
		{{6, 5, 10}, {8, 4, 11}},
		{{6, 5, 10}, {8, 6, 9}},
		{{6, 10, 5}, {8, 11, 12}},
		{{6, -1, 5}, {8, 11, 12}},
		{{6, 1, 5}, {8, 11, 112}},
		{{6, nan, 5}, {8, 11, 12}},
		{{Stage(nan), 1, 5}, {8, 11, 12}},
	} {
		_, _, err := b.At(6, 6)
		require.ErrorContains(t, err, "band of uptake")
	}
	_, _, err := DefaultBand().At(7, 6)
	require.ErrorContains(t, err, "earlier stage first")
	_, _, err = DefaultBand().At(Stage(nan), Stage(nan))
	require.Error(t, err)
	_, err = TimingNote(on(2001, 6, 5), Spread{Low: 7, High: 6}, DefaultBand())
	require.Error(t, err)
}

func TestTimingNote(t *testing.T) {
	c := Purdue()
	c.EmergenceLowF = 120
	note := func(f float64, models ...Model) string {
		s, err := Stages(f, FromPlanting, models)
		require.NoError(t, err)
		text, err := TimingNote(on(2001, 6, 5), s, DefaultBand())
		require.NoError(t, err)
		return text
	}
	require.Equal(t, "on 5 June about V6: 5 to 11 % of the season's N is taken up", note(120+6*82, c.Model()))
	require.Equal(t, "on 5 June not emerged: none of the season's N is taken up", note(50, Models()...))
	require.Equal(t, "on 5 June about R6: 100 % of the season's N is taken up", note(2700, Delaware()))
	// From (600-120)/84 = 5.71 leaves, 2 + 3 x 1.71/2 = 4.6 %, to (600-100)/82 = 6.10
	// leaves, 11 + 11 x 0.10/2 = 11.5 %; rounded outwards.
	require.Equal(t, "on 5 June V5 to V6: 4 to 12 % of the season's N is taken up", note(600, Purdue().Model(), Iowa().Model()))
}
