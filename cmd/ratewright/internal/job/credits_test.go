package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestASoybeanBushelIsNoneOfCorn(t *testing.T) {
	for text, want := range map[string]float64{"31 bu/ac": 31, "25 bpa": 25, "1800 lb/ac": 30, "2017.532 kg/ha": 30} {
		got, err := soybeanYield(text)
		require.NoError(t, err)
		require.InDelta(t, want, got, 1e-3, text)
	}
}

func withSources(t *testing.T, sources string) Job {
	t.Helper()
	j, err := Decode("job.yaml", []byte("field: {boundary: b.geojson}\nsources:\n"+sources))
	require.NoError(t, err)
	return j
}

func TestPotashOfASource(t *testing.T) {
	j := withSources(t, `  pop: {nitrogen: 3 %, ammonium: 3 %, grade: 3-18-18}
  half: {blend: {pop: 50 %, ammonium-polyphosphate: 50 %}, by: mass}
  poured: {blend: {pop: 50 %, ammonium-polyphosphate: 50 %}, by: volume}
  mine: {nitrogen: 28 %}
  alike: {like: half}
`)
	for name, want := range map[string]float64{"pop": 0.18, "half": 0.09, "alike": 0.09, "ammonium-polyphosphate": 0} {
		got, ok := j.potash(name)
		require.True(t, ok, name)
		require.InDelta(t, want, got, 1e-12, name)
	}
	for _, name := range []string{"poured", "mine", "none"} {
		_, ok := j.potash(name)
		require.False(t, ok, name)
	}
}

func TestWhatIsTakenOffANitrateTestStandsInIt(t *testing.T) {
	_, j := made(t, "rate: {column: N_LB_AC, unit: lb/ac, of: nitrogen}",
		"rate: {method: nitrate-test, form: iowa, test: 15 ppm, state: IA, credits: {alfalfa: {stand: poor, year: 1}}}")
	r, err := j.Rates("")
	require.NoError(t, err)
	require.InDelta(t, 80-50, r.Result.Zones[0].Rate.LbNPerAcre(), 1e-9)
	require.Len(t, r.Result.Zones[0].Terms, 2)
	require.Contains(t, strings.Join(r.Notes, "\n"), "credits were taken off a soil nitrate test")
}

func TestLittleOrganicMatterCanBeMoved(t *testing.T) {
	_, j := made(t, "rate: {column: N_LB_AC, unit: lb/ac, of: nitrogen}",
		`rate: {method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: "0.55 %"}`)
	_, err := j.Rates("")
	require.NoError(t, err)
}

func TestASoybeanCreditByAnyNameIsNotTakenTwice(t *testing.T) {
	_, err := Decode("job.yaml", []byte(`field: {boundary: b.geojson}
applications:
  - {name: a, source: urea, rate: {method: nitrate-test, form: ohio, test: 12 ppm, base: 156 lb/ac, after_soybean: yes, credits: {other: {soybean: 40 lb/ac}}}}
`))
	require.ErrorContains(t, err, "taken off twice")
}
