package budget

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func TestDepthOfSamplingIsNoted(t *testing.T) {
	for _, c := range []struct {
		inches float64
		ppm    unit.PPM
		want   string
	}{
		{8, 16, "or more"},
		{12, 3, "or more"},
		{23.6, 3, ""}, // 60 cm
		{24, 16, "sample deeper"},
		{36, 16, "sample deeper"},
		{24, 15, ""},
		{47.2, 16, ""}, // 120 cm
		{48, 16, ""},
	} {
		got, err := Published().ResidualNitrate([]Layer{{unit.Inches(c.inches), c.ppm}}, nil, nil)
		require.NoError(t, err)
		if c.want == "" {
			require.Empty(t, got.Notes, "%+v", c)
			continue
		}
		require.Len(t, got.Notes, 1, "%+v", c)
		require.Contains(t, got.Notes[0], c.want)
	}
}

func TestRegionAndManureAreGates(t *testing.T) {
	base := unit.LbNPerAcre(156)
	for state, f := range map[string]func(Sampled) (Budget, error){
		"IA": func(s Sampled) (Budget, error) { return Published().LateSpring(s, Iowa{}) },
		"PA": func(s Sampled) (Budget, error) {
			return Published().PreSidedress(s, bu(150), PennHistory{PreviousCrop: "corn"})
		},
		"OH": func(s Sampled) (Budget, error) { return Published().OhioReduction(s, base) },
		"IL": func(s Sampled) (Budget, error) { return Published().IllinoisReduction(s, base) },
	} {
		for _, home := range []string{"", state, strings.ToLower(state)} {
			b, err := f(Sampled{Test: 20, State: home})
			require.NoError(t, err)
			require.Empty(t, b.Notes, state)
		}
		b, err := f(Sampled{Test: 20, State: "TX"})
		require.NoError(t, err)
		require.Len(t, b.Notes, 1)
		require.Contains(t, b.Notes[0], "made for "+state)

		b, err = f(Sampled{Test: 20, Manured: true})
		require.NoError(t, err)
		require.Equal(t, state != "PA", len(b.Notes) == 1, "Penn State's formula counts manure itself: %v", b.Notes)
		_, err = f(Sampled{Test: 20, State: "Iowa"})
		require.ErrorContains(t, err, "two letters")
		for _, h := range []float64{math.NaN(), -1, 1e9} {
			_, err = f(Sampled{Test: 20, CornHeight: new(unit.Length(h))})
			require.ErrorContains(t, err, "height of corn")
		}
	}
	b, err := Published().LateSpring(Sampled{Test: 10, Manured: true}, Iowa{Critical: new(unit.PPM(15))})
	require.NoError(t, err)
	require.Empty(t, b.Notes)
	_, err = Published().LateSpring(Sampled{Test: 10}, Iowa{Cap: new(unit.NRate(math.NaN()))})
	require.ErrorContains(t, err, "cap")
}

func TestPartsThatContradictThemselvesAreRefused(t *testing.T) {
	for name, p := range map[string]Part{
		"share and rate": {Name: "a", Share: 0.5, Rate: 40},
		"share and rest": {Name: "a", Share: 0.5, Rest: true},
		"rate and rest":  {Name: "a", Rate: 40, Rest: true},
		"endless rate":   {Name: "a", Rate: unit.NRate(math.Inf(1))},
		"endless share":  {Name: "a", Share: math.Inf(1)},
	} {
		_, _, err := Split(100, []Part{p}, unit.US)
		require.Error(t, err, name)
	}
	got, _, err := Split(100, []Part{{Name: "none"}, {Name: "rest", Rest: true}}, unit.US)
	require.NoError(t, err, "zero is a rate")
	require.Equal(t, []Took{{}, {Asked: 100, Put: 100}}, got)
}

func TestHalfOfAFairStandIsSaidToBeReckoned(t *testing.T) {
	good, err := Published().Alfalfa(AlfalfaBefore{Stand: Good, Year: 2})
	require.NoError(t, err)
	fair, err := Published().Alfalfa(AlfalfaBefore{Stand: Fair, Year: 2})
	require.NoError(t, err)
	require.Len(t, fair.Notes, len(good.Notes)+1)
}
