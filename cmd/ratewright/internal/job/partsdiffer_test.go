package job

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Parts of one zone whose soil differs have no one soil, for the losses as for the rates;
// one whose first part has none is no zone without it.
func TestPartsWhoseSoilDiffersHaveNoOneSoil(t *testing.T) {
	square := func(from, to, props string) string {
		return `{"type":"Feature","properties":{` + props + `},"geometry":{"type":"Polygon","coordinates":[[[` + from + `,42],[` + to + `,42],[` + to + `,42.01],[` + from + `,42.01],[` + from + `,42]]]}}`
	}
	for name, c := range map[string]struct{ first, second, want string }{
		"alike":   {`"pH":6.5`, `"pH":6.5`, ""},
		"differ":  {`"pH":6.5`, `"pH":7.5`, "differ in column pH: 6.5 in record 1, 7.5 in record 2"},
		"lacking": {`"pH":null`, `"pH":7.5`, "differ in column pH: empty in record 1, 7.5 in record 2"},
	} {
		j, err := trialJob(t, "zones: {file: z.geojson, id: Z, columns: {ph: pH}}", everyMethod()["iowa"], map[string]string{
			"boundary.geojson": `{"type":"FeatureCollection","features":[` + square("-93.6", "-93.59", `"x":1`) + `]}`,
			"z.geojson":        `{"type":"FeatureCollection","features":[` + square("-93.6", "-93.595", `"Z":"A",`+c.first) + `,` + square("-93.595", "-93.59", `"Z":"A",`+c.second) + `]}`,
		})
		require.NoError(t, err, name)
		g, err := j.Open()
		require.NoError(t, err, name)
		_, err = j.groundsOf(g.Zones)
		if c.want == "" {
			require.NoError(t, err, name)
			continue
		}
		require.ErrorContains(t, err, c.want, name)
	}
}
