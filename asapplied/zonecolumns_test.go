package asapplied

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// shapes writes squares side by side as a file of polygons, one for each text of
// properties.
func shapes(t *testing.T, properties ...string) string {
	t.Helper()
	var features []string
	for i, p := range properties {
		features = append(features, fmt.Sprintf(`{"type":"Feature","geometry":%s,"properties":%s}`, square(-93.6+float64(i)*0.001, 42.03), p))
	}
	return written(t, "shapes.geojson", `{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`)
}

// A rate map, ours among them, is not read by the roles of a log, so that these
// are no faults in it.
func TestARateMapHasNoFaultsOfALog(t *testing.T) {
	for _, properties := range []string{
		`{"GAL_AC":%d,"ZONE_ID":"A","PRODUCT":"UAN 32"}`,
		`{"GAL_AC":%d,"ZONE_ID":"A","PRODUCT":"UAN 32","n_rate":1%[1]d,"n_rate_unit":"kg N/ha","product_rate":%[1]d,"product_rate_unit":"gal/ac","reasons":["a"]}`,
		`{"GAL_AC":%d,"ZONE_ID":"A","DEPTH":"deep","TIME":"2026-06-05T13:00:00Z","MACHINE":"applicator"}`,
	} {
		in := inspected(t, shapes(t, fmt.Sprintf(properties, 40), fmt.Sprintf(properties, 50)))
		require.Equal(t, KindZones, in.Kind, properties)
		require.Empty(t, in.Faults)
		for _, c := range in.Columns {
			require.Equal(t, map[bool]string{true: RoleRate}[c.Name == "GAL_AC"], c.Role, c.Name)
		}
	}
	one := inspected(t, shapes(t, `{"product":"corn","time":"2026-06-05T13:00:00Z","depth":"deep"}`))
	require.Equal(t, KindBoundary, one.Kind, "the time may be that of its drawing")
	require.Empty(t, one.Faults)
}

// A log of polygons stays a log, and what stands against its columns a fault.
func TestALogOfPolygonsIsJudgedAsALog(t *testing.T) {
	for _, properties := range []string{
		`{"Time":"2026-06-05T13:00:0%dZ","PRODUCT":"UAN 32","RATE":40}`,
		`{"Date":"6/5/2026","Speed mph":%d,"Applied Rate gal/ac":40,"PRODUCT":"UAN 32"}`,
		`{"heading":9%d,"working":1,"PRODUCT":"UAN 32"}`,
		`{"Created":"2026-06-05T13:00:0%dZ","Swath Width (ft)":60,"PRODUCT":"UAN 32"}`,
	} {
		in := inspected(t, shapes(t, fmt.Sprintf(properties, 1), fmt.Sprintf(properties, 2)))
		require.Equal(t, KindLog, in.Kind, properties)
		require.Len(t, in.Faults, 1)
		require.Contains(t, in.Faults[0], `column "PRODUCT" has the name of the role product, but its values, such as "UAN 32", do not fit it`)
	}
}

func TestPlacesHaveNoFaultsOfALog(t *testing.T) {
	in := inspected(t, written(t, "well.geojson", `{"type":"Feature","geometry":{"type":"Point","coordinates":[-93.6,42.03]},"properties":{"depth":"deep","product":"water"}}`))
	require.Equal(t, KindPlaces, in.Kind)
	require.Empty(t, in.Faults)
}
