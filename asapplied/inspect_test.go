package asapplied

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

func inspected(t *testing.T, path string) Inspection {
	t.Helper()
	in, err := InspectFile(path)
	require.NoError(t, err)
	_, err = json.Marshal(in) // fails on NaN and infinity
	require.NoError(t, err)
	dropped := 0
	for _, n := range in.Dropped {
		dropped += n
	}
	require.Equal(t, in.Read, in.Records+dropped)
	return in
}

func column(t *testing.T, in Inspection, name string) ColumnReport {
	t.Helper()
	for _, c := range in.Columns {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no column %s", name)
	return ColumnReport{}
}

// testdata/harvest.csv is an invented harvest log of 24 records every 2 s, with
// one gap of 42 s and one step 1 s back.
func TestInspectALog(t *testing.T) {
	in := inspected(t, "testdata/harvest.csv")
	require.Equal(t, KindLog, in.Kind)
	require.Equal(t, 24, in.Records)
	require.Equal(t, "CSV, comma separated", in.Format)
	require.Equal(t, &TimeReport{
		First: "2023-11-14T22:13:20Z", Last: "2023-11-14T22:14:43Z", MedianIntervalS: 2, Gaps: 1, GapS: 6, LongestGapS: 42, Backward: 1,
	}, in.Time)
	require.Empty(t, in.Faults)
	swath := column(t, in, "Swath")
	require.Equal(t, RoleWidth, swath.Role)
	require.Contains(t, swath.Missing, `the unit of column "Swath" (role width) is not known; write units: {width: UNIT}`)
	require.Equal(t, []string{"240", "120"}, swath.Samples)
	require.Equal(t, []float64{120, 240}, []float64{*swath.Min, *swath.Max})
	require.Equal(t, "", column(t, in, "Crop").Role)
	require.Nil(t, column(t, in, "Crop").Min)
	text := in.String()
	for _, want := range []string{
		"a machine log, CSV, comma separated", "the file names none", "24 read, 24 with what they need",
		"lon -93.6000020 to -93.6000000", "median 2 s; gaps above 6 s: 1, the longest 42 s", "1 backward", "to say: Swath: the unit of column \"Swath\"",
	} {
		require.Contains(t, text, want)
	}
}

func TestInspectCountsWhatALogWouldDrop(t *testing.T) {
	in := inspected(t, written(t, "log.csv", strings.Join([]string{
		"time,lon,lat,sections,rate_lb_n_ac,rate_gal_ac",
		"2024-05-06 12:00:00,-93.5,42.5,1100,1,2", "2024-05-06 12:00:00,-93.5,42.5,1100,1,2", "2024-05-06 12:00:00,-93.51,42.5,1100,1,2",
		"2024-05-06 12:00:01,-93.52,42.5,1100,1,2", "2024-05-06 12:00:02,-93.53,42.5,1100,1,2", "2024-05-06 12:00:03,-93.54,42.5,1100,1,2",
		"2024-05-06 12:00:04,-93.55,42.5,1100,1,2", "2024-05-06 12:00:05,-93.56,42.5,1100,1,2",
		"2024-05-06 12:00:01,,,1100,1,2", "x,-93.5,42.5,1100,1,2", "short", "2024-05-06 12:00:02,-91.5,42.5,1100,NaN,",
	}, "\n")))
	require.Equal(t, 12, in.Read)
	require.Equal(t, map[string]int{DropNoPosition: 1, DropNoTime: 1, DropRagged: 1}, in.Dropped)
	require.Equal(t, 2, in.Time.SameTime)
	require.Equal(t, 1, in.Time.Duplicates)
	require.Equal(t, 1, in.SamePlace)
	require.Equal(t, 4, in.Sections)
	require.Len(t, in.Faults, 2)
	require.Contains(t, in.Faults[0], `columns "rate_lb_n_ac" and "rate_gal_ac" fit the role rate equally well`)
	require.Contains(t, in.Faults[1], "the positions span more than one degree")
	require.Contains(t, strings.Join(in.Notes, "\n"), "name no zone")
}

func TestInspectShapes(t *testing.T) {
	bow := `{"type":"Polygon","coordinates":[[[-93.6,42.03],[-93.59,42.04],[-93.59,42.03],[-93.6,42.04],[-93.6,42.03]]]}`
	feature := func(geometry, properties string) string {
		return `{"type":"Feature","geometry":` + geometry + `,"properties":` + properties + `}`
	}
	collect := func(features ...string) string {
		return written(t, "shapes.geojson", `{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`)
	}
	one := inspected(t, collect(feature(square(-93.6, 42.03), `{"name":"home"}`)))
	require.Equal(t, KindBoundary, one.Kind)
	require.Equal(t, "WGS84", one.Datum)
	// 0.001 degrees: 111.2 m north, 82.7 m east at 42 N
	require.InEpsilon(t, 111.07*82.80, *one.AreaM2, 2e-3)
	require.Contains(t, one.String(), "0.9198 ha (2.27 ac), polygons added up")
	require.InDelta(t, -93.6, one.Bounds.West, 1e-12)
	require.InDelta(t, 42.031, one.Bounds.North, 1e-12)

	two := inspected(t, collect(feature(square(-93.6, 42.03), `{"ZONE":"A","N_LB_AC":150}`), feature(bow, `{"ZONE":"B","N_LB_AC":180}`)))
	require.Equal(t, KindZones, two.Kind)
	require.Nil(t, two.AreaM2)
	require.Len(t, two.Faults, 1)
	require.Contains(t, two.Faults[0], "record 2: ")

	well := inspected(t, collect(feature(`{"type":"Point","coordinates":[-93.6,42.03]}`, `{}`)))
	require.Equal(t, KindPlaces, well.Kind)
	line := inspected(t, collect(feature(`{"type":"LineString","coordinates":[[-93.6,42.03],[-93.6,42.04]]}`, `{}`)))
	require.Equal(t, KindPlaces, line.Kind)
	require.Equal(t, 1, line.Records)
	require.Equal(t, KindLog, inspected(t, written(t, "log.geojson", pointLog)).Kind)
}

func TestInspectWhatIsNoInput(t *testing.T) {
	in := inspected(t, written(t, "trial.csv", "plot,yield\n1,10\n2,11\n"))
	require.Equal(t, KindTable, in.Kind)
	require.Equal(t, map[string]int{DropNoPosition: 2}, in.Dropped)
	require.Contains(t, in.Faults[0], `no columns look like lon and lat (the columns are "plot" and "yield")`)
	in = inspected(t, written(t, "log.csv", "lon,lat\n"))
	require.Equal(t, []string{"the file has no rows"}, in.Faults)
	gone := filepath.Join(t.TempDir(), "gone.csv")
	_, err := InspectFile(gone)
	require.EqualError(t, err, gone+": there is no such file; check the name") // there is no job file
	_, err = InspectFile(written(t, "photo.jpg", "x"))
	require.ErrorContains(t, err, `the ending ".jpg" names no format that is read`)
}

// TestSkeleton: the skeleton is YAML; what the files say is in it, and what they
// do not say is left open, so that it cannot run by accident.
func TestSkeleton(t *testing.T) {
	zones := written(t, "zones.geojson", `{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":`+square(-93.6, 42.03)+`,"properties":{"ZONE":"A","N_LB_AC":150}},
{"type":"Feature","geometry":`+square(-93.5, 42.03)+`,"properties":{"ZONE":"B: low","N_LB_AC":180}}]}`)
	boundary := written(t, "home.geojson", square(-93.6, 42.03))
	log := written(t, "log.csv", "time,lon,lat,section_2,section_10,section_1,rate_lb_ac,depth,cycle\n"+
		"2024-05-06 12:00:00,-93.5,42.5,1,1,1,1,2,1\n")
	var files []Inspection
	for _, p := range []string{log, zones, boundary} {
		files = append(files, inspected(t, p))
	}
	files[0].Columns = append(files[0].Columns, ColumnReport{Name: "say: what?", Role: RoleSpeed, Unit: "mph"})
	var job struct {
		Field        struct{ Boundary string }
		Zones        struct{ File, ID string }
		Machines     map[string]map[string]any
		Applications []struct {
			Source *string
			Rate   map[string]any
			Logs   []struct {
				Files   []string
				Columns map[string]any
				Units   map[string]*string
				Of      *string
				Zone    *string
			}
		}
	}
	text := Skeleton(files)
	require.NoError(t, yaml.Unmarshal([]byte(text), &job), text)
	require.Equal(t, boundary, job.Field.Boundary)
	require.Equal(t, zones, job.Zones.File)
	require.Equal(t, "ZONE", job.Zones.ID)
	require.Contains(t, job.Machines["bar"], "width")
	require.Nil(t, job.Machines["bar"]["width"])
	app := job.Applications[0]
	require.Nil(t, app.Source)
	require.Equal(t, map[string]any{"column": "N_LB_AC", "unit": "lb/ac", "of": "nitrogen"}, app.Rate)
	l := app.Logs[0]
	require.Equal(t, []string{log}, l.Files)
	require.Equal(t, "say: what?", l.Columns["speed"])
	require.Equal(t, "depth", l.Columns["depth"])
	require.Nil(t, l.Columns["duration"]) // decides nothing and lacks its unit
	require.Equal(t, "lb/ac", *l.Units["rate"])
	require.Contains(t, l.Units, "depth")
	require.Nil(t, l.Units["depth"])
	require.Nil(t, l.Of)
	require.Contains(t, text, "zone:                 # say")
}

func TestSkeletonOfNothingIsAForm(t *testing.T) {
	var job map[string]any
	require.NoError(t, yaml.Unmarshal([]byte(Skeleton(nil)), &job))
	require.Contains(t, job, "field")
	require.Contains(t, job, "applications")
}

func TestNothingIsChangedByInspecting(t *testing.T) {
	path := written(t, "log.csv", "lon,lat\n-93.5,42.5\n")
	before, err := os.Stat(path)
	require.NoError(t, err)
	inspected(t, path)
	after, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, before.ModTime(), after.ModTime())
}
