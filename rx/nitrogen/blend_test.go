package nitrogen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// By hand: 1 gal of UAN 32 (11.06 lb, 3.5392 lb N) with 1 gal of ammonium
// thiosulfate (11.04 lb, 1.3248 lb N) is 22.10 lb in 2 gal with 4.8640 lb N:
// 11.05 lb/gal and 22.009 % N.
func TestBlendByVolume(t *testing.T) {
	parts := []Part{{source(t, "uan-32", 0), 0.5}, {source(t, "ammonium-thiosulfate", 0), 0.5}}
	b, err := Blend("mix", parts, true)
	require.NoError(t, err)
	assert.InEpsilon(t, 11.05, b.Density.LbPerGallon(), 1e-12)
	assert.InEpsilon(t, 100*4.8640/22.10, b.PercentN, 1e-12)
	assert.InEpsilon(t, 100*11.06*0.163/22.10, b.UreaN, 1e-12)
	assert.InEpsilon(t, 100*(11.06*0.0785+11.04*0.12)/22.10, b.AmmoniumN, 1e-12)
	assert.InEpsilon(t, 100*11.06*0.0785/22.10, b.NitrateN, 1e-12)
	assert.InEpsilon(t, 2.432, poundsN(t, b, 1, unit.GallonsPerAcre), 1e-12)
	require.Len(t, b.Notes, 2)
	assert.Equal(t, "mix is 50 % UAN 32 + 50 % Ammonium thiosulfate by volume: 22.01 % N by mass", b.Notes[0])
	assert.Contains(t, b.Notes[1], "density of mix reckoned as 11.05 lb/gal (1.324 kg/L), as if volumes add up, from densities that differ by ±0.6 %")
}

// By hand: 75 lb of UAN 28 (21 lb N, 75/10.67 gal) with 25 lb of 10-34-0
// (2.5 lb N, 25/11.65 gal) is 100 lb with 23.5 lb N.
func TestBlendByMass(t *testing.T) {
	b, err := Blend("starter", []Part{{source(t, "uan-28", 0), 0.75}, {source(t, "ammonium-polyphosphate", 0), 0.25}}, false)
	require.NoError(t, err)
	assert.InEpsilon(t, 23.5, b.PercentN, 1e-12)
	assert.InEpsilon(t, 23.5, b.UreaN+b.AmmoniumN+b.NitrateN, 1e-12)
	assert.InEpsilon(t, 100/(75/10.67+25/11.65), b.Density.LbPerGallon(), 1e-12)
}

// The same mix stated by mass and by volume is the same source, and a blend of
// a source with itself is that source.
func TestBlendLaws(t *testing.T) {
	a, c := source(t, "uan-32", 0), source(t, "ammonium-polyphosphate", 0)
	byVolume, err := Blend("m", []Part{{a, 0.3}, {c, 0.7}}, true)
	require.NoError(t, err)
	massOfA := 0.3 * float64(a.Density) / (0.3*float64(a.Density) + 0.7*float64(c.Density))
	byMass, err := Blend("m", []Part{{c, 1 - massOfA}, {a, massOfA}}, false)
	require.NoError(t, err)
	assert.InEpsilon(t, byVolume.PercentN, byMass.PercentN, 1e-14)
	assert.InEpsilon(t, byVolume.UreaN, byMass.UreaN, 1e-14)
	assert.InEpsilon(t, float64(byVolume.Density), float64(byMass.Density), 1e-14)

	for _, by := range []bool{true, false} {
		same, err := Blend("m", []Part{{a, 0.3334}, {a, 0.3333}, {a, 0.3333}}, by)
		require.NoError(t, err)
		assert.InEpsilon(t, a.PercentN, same.PercentN, 1e-14)
		assert.InEpsilon(t, float64(a.Density), float64(same.Density), 1e-14)
	}
}

// Shares rounded to a tenth of a percent are scaled: three thirds of 33.3 %.
func TestBlendScalesRoundedShares(t *testing.T) {
	a := source(t, "uan-28", 0)
	b, err := Blend("m", []Part{{a, 0.333}, {a, 0.333}, {a, 0.333}}, true)
	require.NoError(t, err)
	assert.InEpsilon(t, 28, b.PercentN, 1e-14)
	assert.Equal(t, "m is 33.33 % UAN 28 + 33.33 % UAN 28 + 33.33 % UAN 28 by volume: 28 % N by mass", b.Notes[0])
}

func TestBlendOfDryPartsHasNoDensity(t *testing.T) {
	for _, parts := range [][]Part{
		{{source(t, "urea", 0), 0.5}, {source(t, "uan-32", 0), 0.5}},
		{{source(t, "uan-32", 0), 0.5}, {source(t, "urea", 0), 0.5}},
	} {
		b, err := Blend("m", parts, false)
		require.NoError(t, err)
		assert.False(t, b.HasDensity)
		assert.Zero(t, b.Density)
		assert.InEpsilon(t, 39, b.PercentN, 1e-14)
	}
}

func TestBlendWithUnknownFormsSaysSo(t *testing.T) {
	vague, err := Define(Source{Name: "vague", PercentN: 20})
	require.NoError(t, err)
	b, err := Blend("m", []Part{{source(t, "urea", 0), 0.5}, {vague, 0.5}}, false)
	require.NoError(t, err)
	assert.InEpsilon(t, 33, b.PercentN, 1e-14)
	assert.Zero(t, b.UreaN)
	assert.Contains(t, b.Notes, "it is not known how the nitrogen of m is bound (urea, ammonium, nitrate)")
}

func TestBlendRefuses(t *testing.T) {
	uan, urea, ammonia := source(t, "uan-32", 0), source(t, "urea", 0), source(t, "anhydrous-ammonia", 0)
	for want, try := range map[string]struct {
		name     string
		parts    []Part
		byVolume bool
	}{
		"a blend without a name; give it one":                                                                                 {"", []Part{{uan, 1}}, false},
		"blend m: the shares sum to 0 %, not 100 %":                                                                           {"m", nil, false},
		"blend m: the shares sum to 95 %, not 100 %":                                                                          {"m", []Part{{uan, 0.5}, {urea, 0.45}}, false},
		"blend m: a share of -50 % of uan-32 is not possible; write a share above 0 %":                                        {"m", []Part{{uan, -0.5}, {urea, 1}}, false},
		`blend m: part "" has no nitrogen; take a known source or define it`:                                                  {"m", []Part{{Source{}, 1}}, false},
		"blend m: urea has no density, so its share cannot be by volume; set its density or give shares by mass":              {"m", []Part{{uan, 0.5}, {urea, 0.5}}, true},
		"blend m: anhydrous-ammonia is a liquid only under pressure and cannot be blended; make it an application of its own": {"m", []Part{{uan, 0.5}, {ammonia, 0.5}}, false},
	} {
		_, err := Blend(try.name, try.parts, try.byVolume)
		assert.EqualError(t, err, want)
	}
}
