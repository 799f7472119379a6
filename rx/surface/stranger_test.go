package surface

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestASampleWithoutAValueMovesNothing(t *testing.T) {
	base := hilly(120, 0.5, 6)
	want, err := Fit(base, DefaultOptions())
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20 {
		holed := append([]Sample{}, base...)
		for i := range 30 {
			holed = append(holed, Sample{At: orb.Point{math.NaN(), float64(i)}, Value: 1}, Sample{At: orb.Point{400, 20 * float64(i)}, Value: math.NaN()})
		}
		rng.Shuffle(len(holed), func(i, j int) { holed[i], holed[j] = holed[j], holed[i] })
		got, err := Fit(holed, DefaultOptions())
		require.NoError(t, err)
		require.Equal(t, want.Variogram, got.Variogram)
		require.Equal(t, want.Skills, got.Skills)
	}
}

func TestNotesNameSamples(t *testing.T) {
	s := hilly(20, 0.5, 6)
	for i := range s {
		s[i].ID = "S" + string(rune('a'+i))
	}
	s[4].Value = math.NaN()
	s[7].At = s[2].At
	f, err := Fit(s, DefaultOptions())
	require.NoError(t, err)
	notes := strings.Join(f.Notes, "\n")
	require.Contains(t, notes, "1 of 20 samples have no value or no place and are left out: Se\n")
	require.Contains(t, notes, "their mean was taken: Sc, Sh\n")
	for i := range s {
		s[i].Value = math.Inf(1)
		if i < 4 {
			s[i].Value = float64(i)
		}
	}
	f, err = Fit(s, DefaultOptions())
	require.NoError(t, err)
	require.Contains(t, f.Notes[0], "16 of 20 samples have no value or no place and are left out: Se, Sf, Sg, Sh, Si, Sj and 10 more")
}

func TestNoValueIsWithoutANumber(t *testing.T) {
	sound := func(f Surface, places ...orb.Point) {
		for _, k := range f.Skills {
			require.False(t, math.IsNaN(k.RMSE-k.RMSE), f.Words())
		}
		for _, p := range places {
			v, se := f.At(p)
			require.False(t, math.IsNaN(v-v), "%v %s", p, f.Words())
			require.False(t, f.Method == Kriging && math.IsNaN(se-se), "%v %s", p, f.Words())
		}
	}
	far := []orb.Point{{3, 3}, {1e9, 1e9}, {1e300, 0}, {math.NaN(), 0}, {0, math.Inf(-1)}}
	for _, scale := range []float64{1e-200, 1e-30, 1, 1e98} {
		s := hilly(60, 0.5, 6)
		for i := range s {
			s[i].Value *= scale
		}
		f, err := Fit(s, DefaultOptions())
		require.NoError(t, err)
		for _, m := range []Method{Mean, InverseDistance, Kriging} {
			if _, tried := f.Skill(m); tried {
				f.Method = m
				sound(f, far...)
			}
		}
	}
	huge := hilly(60, 0.5, 6)
	for i := range huge {
		huge[i].Value *= 1e150
	}
	_, err := Fit(huge, DefaultOptions())
	require.ErrorContains(t, err, "0 places", "squares of such values are beyond all numbers")

	line := hilly(60, 0, 6)
	for i := range line {
		line[i].At[1] = 0
	}
	f, err := Fit(line, DefaultOptions())
	require.NoError(t, err)
	sound(f, append(far, line[3].At)...)
}

func TestAGreatPowerIsTheNearestSample(t *testing.T) {
	o := DefaultOptions()
	o.Powers = []float64{2000}
	s := hilly(60, 0, 6)
	f, err := Fit(s, o)
	require.NoError(t, err)
	f.Method = InverseDistance
	for i := range s { // a tenth of a metre away, and far beyond all others
		v, _ := f.At(orb.Point{s[i].At[0] + 0.1, s[i].At[1]})
		require.InDelta(t, s[i].Value, v, 1e-9)
	}
	for _, power := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		o.Powers = []float64{2, power}
		_, err = Fit(s, o)
		require.ErrorContains(t, err, "must be above zero")
	}
	o.Neighbours, o.Powers, o.Examined = 0, nil, 0
	f, err = Fit(s, o)
	require.NoError(t, err)
	_, tried := f.Skill(InverseDistance)
	require.False(t, tried)
}

// Plants per acre are in the tens of thousands, and their semivariances in the millions.
func TestTheUnitOfValuesDoesNotMatter(t *testing.T) {
	base := hilly(150, 0.3, 3)
	want, err := Fit(base, DefaultOptions())
	require.NoError(t, err)
	for _, scale := range []float64{1e-20, 1e5, 1e20} {
		scaled := make([]Sample, len(base))
		for i, s := range base {
			scaled[i] = Sample{At: s.At, Value: scale * s.Value}
		}
		got, err := Fit(scaled, DefaultOptions())
		require.NoError(t, err)
		require.Equal(t, want.Method, got.Method)
		for _, p := range []orb.Point{{10, 10}, {400, 300}, {790, 20}} {
			v, se := want.At(p)
			w, te := got.At(p)
			require.InEpsilon(t, scale*v, w, 1e-9)
			require.InEpsilon(t, scale*se, te, 1e-9)
		}
	}
}

func TestVeryManySamplesAreExaminedInPart(t *testing.T) {
	s := hilly(6000, 0.5, 6)
	f, err := Fit(s, DefaultOptions())
	require.NoError(t, err)
	notes := strings.Join(f.Notes, "\n")
	require.Contains(t, notes, "5000 of 6000 samples, drawn by the seed 1, make the variogram and are left out one at a time")
	require.Contains(t, notes, "of more than 1000 samples inverse distance weighs the 24 nearest")
	again, err := Fit(s, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, f.Skills, again.Skills)
	o := DefaultOptions()
	o.Examined = len(s)
	whole, err := Fit(s, o)
	require.NoError(t, err)
	for _, k := range whole.Skills {
		part, ok := f.Skill(k.Method)
		require.True(t, ok)
		require.NotEqual(t, k, part)
		// The errors of 5000 of 6000: their mean square is off by a standard error of some
		// sqrt(2/5000 - 2/6000), and the root by half of it.
		require.InEpsilon(t, k.RMSE, part.RMSE, 4*0.5*math.Sqrt(2.0/5000-2.0/6000), k.Method)
	}
	o.Seed, o.Examined = 2, 5000
	other, err := Fit(s, o)
	require.NoError(t, err)
	require.NotEqual(t, f.Skills, other.Skills)
}

// A step from none to all, which kriging overshoots on both sides.
func TestValuesStayWithinTheirLimits(t *testing.T) {
	var s []Sample
	for i := range 144 {
		p := orb.Point{50 * float64(i%12), 50 * float64(i/12)}
		v := 0.0
		if p[0]+0.3*p[1] > 400 {
			v = 100
		}
		s = append(s, Sample{At: p, Value: v, ID: fmt.Sprint("row ", i+2)})
	}
	places := make([]orb.Point, 0, 4000)
	for i := range 4000 {
		places = append(places, orb.Point{9.7 * float64(i%60), 8.3 * float64(i/60)})
	}
	free, err := Fit(s, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, Kriging, free.Method)
	o := DefaultOptions()
	o.Low, o.High = 0, 100
	held, err := Fit(s, o)
	require.NoError(t, err)
	require.Equal(t, Kriging, held.Method)
	require.Empty(t, held.LimitNote())
	want := 0
	for _, p := range places {
		f, _ := free.At(p)
		h, _ := held.At(p)
		require.InDelta(t, min(max(f, 0), 100), h, 1e-12)
		if f < -1e-6 || f > 100+1e-6 {
			want++
		}
	}
	require.Positive(t, want)
	require.Empty(t, free.LimitNote())
	require.Equal(t, fmt.Sprintf("%d of 4000 values between the samples came out beyond 0 to 100 and were set to that limit", want), held.LimitNote())

	held.Method = InverseDistance
	again := held.LimitNote()
	_, _, err = held.MeanOver(places)
	require.NoError(t, err)
	require.Contains(t, again, fmt.Sprint(want, " of 4000"))
	require.Contains(t, held.LimitNote(), fmt.Sprint(want, " of 8000"), "inverse distance never leaves the range")

	s[5].Value = 140
	_, err = Fit(s, o)
	require.ErrorContains(t, err, "1 of 144 samples have a value that is not within 0 to 100: row 7 140")
	o.Low = math.NaN()
	_, err = Fit(s, o)
	require.ErrorContains(t, err, "limits")
}

// Samples in a heap, on a line, all but on one another, some in another unit; fields far
// from the plane's origin and of any size.
func TestSamplesAsTheyNeverShouldLie(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 60).Draw(t, "samples")
		offset := rapid.SampledFrom([]float64{0, 5e6, 9e7}).Draw(t, "offset")
		size := rapid.SampledFrom([]float64{1e-3, 1, 500, 1e6}).Draw(t, "size")
		share := rapid.Float64Range(0, 1)
		s := make([]Sample, n)
		least, most := math.Inf(1), math.Inf(-1)
		for i := range s {
			x, y := share.Draw(t, "x"), share.Draw(t, "y")
			switch rapid.IntRange(0, 3).Draw(t, "lie") {
			case 0:
				y = 0
			case 1:
				if i > 0 {
					x = (s[i-1].At[0]-offset)/size + 1e-7*share.Draw(t, "beside")
				}
			}
			v := math.Round(10*share.Draw(t, "value")) * rapid.SampledFrom([]float64{1, 1, 1, 1e6}).Draw(t, "unit")
			least, most = min(least, v), max(most, v)
			s[i] = Sample{At: orb.Point{offset + size*x, offset + size*y}, Value: v}
		}
		f, err := Fit(s, DefaultOptions())
		if err != nil {
			require.ErrorContains(t, err, "make no surface")
			return
		}
		for _, k := range f.Skills {
			require.False(t, math.IsNaN(k.RMSE-k.RMSE), f.Words())
			f.Method = k.Method
			for _, p := range []orb.Point{s[0].At, {offset + size*share.Draw(t, "px"), offset + size*share.Draw(t, "py")}, {offset - 3*size, offset}} {
				v, se := f.At(p)
				require.False(t, math.IsNaN(v-v), f.Words())
				require.Equal(t, k.Method != Kriging, math.IsNaN(se-se), f.Words())
				if k.Method != Kriging {
					require.InDelta(t, (least+most)/2, v, (most-least)/2+1e-9*most, "beyond the samples")
				}
			}
		}
	})
}
