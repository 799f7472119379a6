package asapplied

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// lateLog writes a log as CSV and as GeoJSON, which leaves out a property that has
// no value: rate and work begin at record 150, the depth at record 1,100.
func lateLog(t *testing.T, records int) (csv, geojson string) {
	t.Helper()
	var rows, features strings.Builder
	rows.WriteString("lon,lat,time,heading,rate,working,depth\n")
	for i := range records {
		lon, lat := fmt.Sprintf("%.9f", -93.6+float64(i%200)*1e-5), fmt.Sprintf("%.6f", 42.03+float64(i/200)*1e-4)
		stamp := fmt.Sprintf("2024-05-06T12:%02d:%02dZ", i/60, i%60)
		rate, working, depth := "", "", ""
		properties := fmt.Sprintf(`"time":%q,"heading":90`, stamp)
		if i >= 150 {
			rate, working = fmt.Sprint(100+i%7), fmt.Sprint(i/50%2)
			properties += fmt.Sprintf(`,"working":%s,"rate":%s`, working, rate)
		}
		if i >= 1100 {
			depth = "0.1"
			properties += `,"depth":0.1`
		}
		fmt.Fprintf(&rows, "%s,%s,%s,90,%s,%s,%s\n", lon, lat, stamp, rate, working, depth)
		if i > 0 {
			features.WriteString(",\n")
		}
		fmt.Fprintf(&features, `{"type":"Feature","geometry":{"type":"Point","coordinates":[%s,%s]},"properties":{%s}}`, lon, lat, properties)
	}
	return written(t, "late.csv", rows.String()), written(t, "late.geojson", `{"type":"FeatureCollection","features":[`+features.String()+`]}`)
}

// TestPropertiesThatComeLateCount holds a GeoJSON log whose first features lack
// the rate and the work against the same log as CSV.
func TestPropertiesThatComeLateCount(t *testing.T) {
	for name, c := range map[string]struct {
		records int
		columns map[string][]string
	}{
		"guessed":           {400, nil},
		"mapped":            {400, map[string][]string{"rate": {"rate"}, "working": {"working"}}},
		"beyond the sample": {1200, map[string][]string{"depth": {"depth"}}},
	} {
		t.Run(name, func(t *testing.T) {
			csv, features := lateLog(t, c.records)
			spec := LogSpec{Columns: c.columns, Units: map[string]string{"rate": "kg/ha", "heading": "deg", "depth": "m"}, Of: unit.Nitrogen, HasOf: true}
			spec.Files = []string{csv}
			want, err := ReadLog(spec)
			require.NoError(t, err)
			spec.Files = []string{features}
			got, err := ReadLog(spec)
			require.NoError(t, err)
			requireWhole(t, &got)
			require.Equal(t, c.records, got.Len())
			require.NotNil(t, got.Working)
			require.Equal(t, 1, got.Rate.N)
			require.Equal(t, c.records > 1100, got.Depth.N == 1)
			for i := range want.Len() {
				require.Zero(t, compareValues(&want, i, &got, i), "record %d", i)
			}
			require.Equal(t, want.Lon, got.Lon)
			require.Equal(t, want.Lat, got.Lat)
			require.Equal(t, want.TimeNS, got.TimeNS)
			require.Equal(t, want.Lacking, got.Lacking)
		})
	}
}

func TestInspectNamesColumnsThatComeLate(t *testing.T) {
	_, features := lateLog(t, 1200)
	in := inspected(t, features)
	require.Equal(t, RoleRate, column(t, in, "rate").Role)
	require.Equal(t, 0, column(t, in, "depth").Filled, "described by the first 1,000 rows")
}
