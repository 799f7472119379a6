package nitrogen

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// The constants are those of the published table in testdata, whose head names
// its sources; every row of it is a known source.
func TestKnownSourcesAreThoseOfTheTable(t *testing.T) {
	f, err := os.Open("testdata/n_sources.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.LazyQuotes = true
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(Names()))
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	for i, row := range rows[1:] {
		number := func(column string) float64 {
			v, err := strconv.ParseFloat(row[at[column]], 64)
			require.NoError(t, err, "%s of %s", column, row[0])
			return v
		}
		s, ok := Known(row[0])
		require.True(t, ok, row[0])
		assert.Equal(t, Names()[i], s.Name)
		assert.Equal(t, row[at["grade"]], s.Grade)
		assert.Equal(t, number("pct_n"), s.PercentN, s.Name)
		assert.Equal(t, number("pct_urea_n"), s.UreaN, s.Name)
		assert.Equal(t, number("pct_ammonium_n"), s.AmmoniumN, s.Name)
		assert.Equal(t, number("pct_nitrate_n"), s.NitrateN, s.Name)
		if row[at["lb_per_gal"]] == "" {
			assert.False(t, s.HasDensity, s.Name)
			continue
		}
		require.True(t, s.HasDensity, s.Name)
		assert.InEpsilon(t, number("lb_per_gal"), s.Density.LbPerGallon(), 1e-14, s.Name)
		assert.InDelta(t, number("density_kg_l"), s.Density.KgPerLitre(), 0.0005, s.Name)
		n := poundsN(t, s, 1, unit.GallonsPerAcre)
		assert.InDelta(t, number("lb_n_per_gal"), n, 0.0051, s.Name)
	}
}

// Nitrogen of the solutions from their make-up (IPNI no. 7: ammonium nitrate,
// urea, percent of mass) and the pure salts' 34.998 and 46.65 % N.
func TestUANContentsFollowFromTheirMakeUp(t *testing.T) {
	for name, mix := range map[string]struct{ nitrate, urea float64 }{
		"uan-28": {0.40, 0.30}, "uan-30": {0.42, 0.33}, "uan-32": {0.45, 0.35},
	} {
		s := source(t, name, 0)
		assert.InDelta(t, mix.urea*46.65, s.UreaN, 0.05, name)
		assert.InDelta(t, mix.nitrate*34.998/2, s.AmmoniumN, 0.051, name)
		assert.InDelta(t, mix.nitrate*34.998/2, s.NitrateN, 0.051, name)
		assert.InDelta(t, s.PercentN, s.UreaN+s.AmmoniumN+s.NitrateN, 1e-12, name)
	}
}

// Published densities seen for UAN 28: 10.6 (Purdue), 10.65 (spray tables),
// 10.70 (specific gravity 1.283): all within 1 percent, by which sources differ, and the
// spread that the note states covers them to a tenth of a percent.
func TestDensityAndItsNote(t *testing.T) {
	uan := source(t, "uan-28", 0)
	for _, seen := range []float64{10.6, 10.65, 10.70} {
		off := 100 * (seen/uan.Density.LbPerGallon() - 1)
		assert.Less(t, math.Abs(off), 1.0)
		assert.LessOrEqual(t, math.Abs(off), densitySpread+0.1)
	}
	require.Len(t, uan.Notes, 1)
	assert.Equal(t, "density of UAN 28 taken as 10.67 lb/gal (1.279 kg/L), a published typical value near 60 °F; sources differ by ±0.6 % and it moves with temperature, and rates by volume move with it: set the density of your load where you know it", uan.Notes[0])
	assert.Empty(t, source(t, "urea", 0).Notes)

	// Ammonia moves far more: 5.69 lb/gal at -28 °F (Wisconsin Admin. Code SPS
	// 343 appendix) against 5.15 at 60 °F.
	ammonia := source(t, "anhydrous-ammonia", 0)
	perDegree := 100 * (5.69/ammonia.Density.LbPerGallon() - 1) / (60 + 28)
	assert.InDelta(t, ammoniaDegrees, 1/perDegree, 0.5)
	assert.Contains(t, ammonia.Notes[0], "falls by about 1 % for every 8 °F of warming")
	assert.True(t, ammonia.Ammonia)
}

func TestWithDensity(t *testing.T) {
	s, err := source(t, "uan-28", 0).WithDensity(unit.LbPerGallon(10.6))
	require.NoError(t, err)
	assert.InEpsilon(t, 10.6, s.Density.LbPerGallon(), 1e-14)
	assert.Equal(t, []string{"density of UAN 28 set to 10.60 lb/gal (1.270 kg/L), -0.7 % from 10.67 lb/gal (1.279 kg/L)"}, s.Notes)
	again, _ := Known("uan-28")
	assert.InEpsilon(t, 10.67, again.Density.LbPerGallon(), 1e-14, "the known source stays as it was")

	dissolved, err := source(t, "urea", 0).WithDensity(unit.KgPerLitre(1.1))
	require.NoError(t, err)
	assert.True(t, dissolved.HasDensity)
	assert.Equal(t, []string{"density of Urea set to 9.18 lb/gal (1.100 kg/L)"}, dissolved.Notes)

	for _, wrong := range []float64{0, -1, 11.06, math.NaN(), math.Inf(1)} {
		_, err := source(t, "uan-32", 0).WithDensity(unit.KgPerLitre(wrong))
		assert.ErrorContains(t, err, "source uan-32: no fertiliser has a density of")
	}
}

func TestKnown(t *testing.T) {
	for _, name := range []string{"uan-32", "UAN 32", " Uan  32 "} {
		s, ok := Known(name)
		require.True(t, ok, name)
		assert.Equal(t, "uan-32", s.Name)
	}
	_, ok := Known("uan-31")
	assert.False(t, ok)
	assert.Equal(t, strings.Fields("anhydrous-ammonia uan-28 uan-30 uan-32 urea ammonium-nitrate ammonium-sulfate ammonium-thiosulfate ammonium-polyphosphate"), Names())
}

func TestDefine(t *testing.T) {
	s, err := Define(Source{Name: "can-17", PercentN: 17, AmmoniumN: 5.4, NitrateN: 11.6, Density: unit.LbPerGallon(12.64), HasDensity: true})
	require.NoError(t, err)
	assert.Equal(t, "can-17", s.Label)
	assert.Empty(t, s.Notes)

	s, err = Define(Source{Name: "slurry", PercentN: 0.5})
	require.NoError(t, err)
	assert.Equal(t, []string{"it is not known how the nitrogen of slurry is bound (urea, ammonium, nitrate)"}, s.Notes)

	for want, s := range map[string]Source{
		"a source without a name; give it one": {PercentN: 10},
		"source a: nitrogen of 0 % is not possible; write the percent of product mass, above 0 and at most 100":                              {Name: "a"},
		"source a: nitrogen of NaN % is not possible; write the percent of product mass, above 0 and at most 100":                            {Name: "a", PercentN: math.NaN()},
		"source a: nitrogen of 101 % is not possible; write the percent of product mass, above 0 and at most 100":                            {Name: "a", PercentN: 101},
		"source a: urea, ammonium or nitrate nitrogen of -1 % is not possible; write percent of product mass":                                {Name: "a", PercentN: 10, UreaN: -1, NitrateN: 11},
		"source a: urea, ammonium and nitrate nitrogen sum to 8 %, but the nitrogen is 10 %; all are percent of product mass and must agree": {Name: "a", PercentN: 10, UreaN: 8},
		"source a: no fertiliser has a density of 0 kg/L; check its unit (UAN 32 is about 11.06 lb/gal or 1.325 kg/L)":                       {Name: "a", PercentN: 10, UreaN: 10, HasDensity: true},
	} {
		_, err := Define(s)
		assert.EqualError(t, err, want)
	}
}

// A label that runs on is cut in errors, as a zone's id is.
func TestALongNameIsCutInErrors(t *testing.T) {
	long := strings.Repeat("starter ", 30)
	cut := long[:37] + "..."
	_, err := Define(Source{Name: long, PercentN: 101})
	require.ErrorContains(t, err, "source "+cut+": nitrogen of 101 % is not possible")
	s, err := Define(Source{Name: long, PercentN: 10})
	require.NoError(t, err)
	require.Equal(t, cut, s.Called())
	_, err = s.WithDensity(100)
	require.ErrorContains(t, err, "source "+cut+": no fertiliser has a density of")
	_, err = Blend(long, []Part{{s, 0.5}}, false)
	require.ErrorContains(t, err, "blend "+cut+": the shares sum to 50 %")
}
