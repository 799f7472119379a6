package job

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/rx"
	"ratewright/rx/surface"
)

func TestSamplesKeepToWhatTheirColumnCanBe(t *testing.T) {
	none := []surface.Sample{{Value: 3}, {Value: 0}}
	below := []surface.Sample{{Value: 3}, {Value: -2}}
	inf := math.Inf(1)
	for _, c := range []struct {
		spec    SampleSpec
		samples []surface.Sample
		want    span
	}{
		{SampleSpec{Name: "residue_cover"}, none, span{0, 100}},
		{SampleSpec{Name: "RES_PCT"}, below, span{0, 100}},
		{SampleSpec{Name: "COVER", TableSpec: TableSpec{Columns: map[string]string{"marks": "M"}}}, none, span{0, 100}},
		{SampleSpec{Name: "pH"}, none, span{2, 12}},
		{SampleSpec{Name: "NO3"}, none, span{0, 1200}},
		{SampleSpec{Name: "ECA"}, none, span{0, inf}},
		{SampleSpec{Name: "ELEVATION"}, below, span{-inf, inf}},
	} {
		require.Equal(t, c.want, c.spec.span(c.samples), c.spec.Name)
	}
}

// A made-up square in Iowa, bare in the west and under residue in the east: kriging goes
// below 0 and above 100 beside the edge between them.
func TestCoverBetweenSamplesStaysCover(t *testing.T) {
	outline, err := geo.NewOutline(orb.Polygon{{{-93.6, 42}, {-93.59, 42}, {-93.59, 42.01}, {-93.6, 42.01}, {-93.6, 42}}})
	require.NoError(t, err)
	field, err := rx.NewField("F", outline, nil, nil)
	require.NoError(t, err)
	var rows strings.Builder
	rows.WriteString("X,Y,V\n")
	for i := range 144 {
		x, y := i%12, i/12
		cover := 0
		if float64(x)+0.3*float64(y) > 7 {
			cover = 100
		}
		fmt.Fprintf(&rows, "%.5f,%.5f,%d\n", -93.5995+0.0008*float64(x), 42.0005+0.0008*float64(y), cover)
	}
	file := filepath.Join(t.TempDir(), "cover.csv")
	require.NoError(t, os.WriteFile(file, []byte(rows.String()), 0o600))
	spec := SampleSpec{Name: "RES_PCT", TableSpec: TableSpec{File: file, Columns: map[string]string{"lon": "X", "lat": "Y", "value": "V"}}}

	o := &opener{}
	zones := []rx.Zone{{ID: "all", Region: field.Ground}}
	require.NoError(t, o.samples([]SampleSpec{spec}, field, zones))
	notes := strings.Join(o.notes, "\n")
	require.Contains(t, notes, "144 samples by kriging")
	require.Regexp(t, `cover.csv: RES_PCT: [1-9][0-9]* of [0-9]+ values between the samples came out beyond 0 to 100 and were set to that limit`, notes)

	// The same zeros and hundreds as a pH: no soil has it.
	spec.Name = "PH"
	err = (&opener{}).samples([]SampleSpec{spec}, field, zones)
	require.ErrorContains(t, err, "cannot be: soils have 2 to 12")
	require.ErrorContains(t, err, "line ")
}
