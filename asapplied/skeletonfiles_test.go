package asapplied

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// ground writes a file of boxes, in thousandths of a degree from a corner of a
// field: west, south, east, north.
func ground(t *testing.T, dir, name, properties string, boxes ...[4]float64) string {
	t.Helper()
	var features []string
	for _, b := range boxes {
		w, s, e, n := -93.6+b[0]/1000, 42+b[1]/1000, -93.6+b[2]/1000, 42+b[3]/1000
		features = append(features, fmt.Sprintf(
			`{"type":"Feature","properties":%s,"geometry":{"type":"Polygon","coordinates":[[[%[2]v,%[3]v],[%[4]v,%[3]v],[%[4]v,%[5]v],[%[2]v,%[5]v],[%[2]v,%[3]v]]]}}`,
			properties, w, s, e, n))
	}
	path := filepath.Join(dir, name)
	require.NoError(t, os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[`+strings.Join(features, ",")+`]}`), 0o600))
	return path
}

// eachOrder calls f with the paths turned round by one each time, and backward.
func eachOrder(paths []string, f func([]string)) {
	for i := range paths {
		turned := append(append([]string{}, paths[i:]...), paths[:i]...)
		f(turned)
		backward := make([]string, len(turned))
		for k, p := range turned {
			backward[len(turned)-1-k] = p
		}
		f(backward)
	}
}

type fieldOfJob struct {
	Field struct {
		Boundary string
		Exclude  []string
		Setbacks []struct{ Around string }
	}
	Zones        struct{ File string }
	Applications []struct{ Logs []struct{ Files []string } }
}

func skeletonOf(t *testing.T, paths []string) (fieldOfJob, string) {
	t.Helper()
	var files []Inspection
	for _, p := range paths {
		files = append(files, inspected(t, p))
	}
	text := Skeleton(files)
	var job fieldOfJob
	require.NoError(t, yaml.Unmarshal([]byte(text), &job), text)
	for _, p := range paths {
		require.Contains(t, text, p)
	}
	return job, text
}

// Every file has its place in the job, whatever the order of the files.
func TestEveryFileIsInTheJob(t *testing.T) {
	dir := t.TempDir()
	boundary := ground(t, dir, "boundary.geojson", `{}`, [4]float64{0, 0, 8, 8})
	waterway := ground(t, dir, "waterway.geojson", `{}`, [4]float64{2, 2, 3, 9}) // reaches beyond the boundary
	ponds := ground(t, dir, "ponds.geojson", `{}`, [4]float64{5, 5, 6, 6}, [4]float64{6, 1, 7, 2})
	zones := ground(t, dir, "zones.geojson", `{"ZONE":"A","N_LB_AC":150}`, [4]float64{-1, -1, 4, 9}, [4]float64{4, -1, 9, 9})
	rates := ground(t, dir, "map.geojson", `{"GAL_AC":40,"ZONE_ID":"A","PRODUCT":"UAN 32"}`, [4]float64{0, 0, 4, 8}, [4]float64{4, 0, 8, 8})
	well := filepath.Join(dir, "well.geojson")
	require.NoError(t, os.WriteFile(well, []byte(`{"type":"Point","coordinates":[-93.599,42.001]}`), 0o600))
	table := filepath.Join(dir, "trial.csv")
	require.NoError(t, os.WriteFile(table, []byte("plot,yield\n1,10\n"), 0o600))
	log := filepath.Join(dir, "log.csv")
	require.NoError(t, os.WriteFile(log, []byte("lon,lat\n-93.599,42.001\n"), 0o600))
	eachOrder([]string{boundary, waterway, ponds, zones, rates, well, table, log}, func(paths []string) {
		job, text := skeletonOf(t, paths)
		require.Equal(t, boundary, job.Field.Boundary)
		require.ElementsMatch(t, []string{waterway, ponds}, job.Field.Exclude)
		require.Equal(t, well, job.Field.Setbacks[0].Around)
		require.Equal(t, zones, job.Zones.File, "a rate map is made from zones")
		require.Equal(t, log, job.Applications[0].Logs[0].Files[0])
		require.Contains(t, text, "exclude:                    # say: is this ground off limits? take out what is not\n")
		require.Contains(t, text, "# prescription: {file: "+rates+", column: GAL_AC, unit: gal/ac, of: product}  # say: ")
		require.Contains(t, text, "# say what it is for: "+table+": a table without positions\n")
	})
}

// Polygons without rates: what holds the others is the boundary, what fills it is
// zones, and what would cut nothing or half of it is left to the user.
func TestPolygonsWithoutRates(t *testing.T) {
	dir := t.TempDir()
	boundary := ground(t, dir, "boundary.geojson", `{}`, [4]float64{0, 0, 8, 8})
	waterway := ground(t, dir, "waterway.geojson", `{}`, [4]float64{2, 2, 3, 7})
	neighbour := ground(t, dir, "neighbour.geojson", `{}`, [4]float64{20, 0, 40, 20})
	zones := ground(t, dir, "zones.geojson", `{"ZONE":"A"}`, [4]float64{-1, -1, 4, 9}, [4]float64{4, -1, 9, 9})
	eachOrder([]string{boundary, waterway, neighbour, zones}, func(paths []string) {
		job, text := skeletonOf(t, paths)
		require.Equal(t, boundary, job.Field.Boundary)
		require.Equal(t, []string{waterway}, job.Field.Exclude)
		require.Equal(t, zones, job.Zones.File)
		require.Contains(t, text, "# exclude: ["+neighbour+"]  # say what it is: it has no ground in common with the boundary\n")
	})
	again := ground(t, dir, "again.geojson", `{}`, [4]float64{0, 0, 8, 7})
	eachOrder([]string{boundary, again}, func(paths []string) {
		job, text := skeletonOf(t, paths)
		require.Equal(t, boundary, job.Field.Boundary)
		require.Contains(t, text, "# exclude: ["+again+"]  # say what it is: it holds 88 % of the ground within the boundary\n")
	})
	// A field in two parts, and its waterway.
	parts := ground(t, dir, "parts.geojson", `{}`, [4]float64{0, 0, 4, 8}, [4]float64{5, 0, 8, 8})
	eachOrder([]string{parts, waterway}, func(paths []string) {
		job, text := skeletonOf(t, paths)
		require.Equal(t, parts, job.Field.Boundary)
		require.Equal(t, []string{waterway}, job.Field.Exclude)
		require.Contains(t, text, "# say: are all 2 polygons this field? else add where: {COLUMN: VALUE}\n")
	})
	// Zones alone are no boundary.
	job, text := skeletonOf(t, []string{zones})
	require.Empty(t, job.Field.Boundary)
	require.Equal(t, zones, job.Zones.File)
	require.Contains(t, text, "# say: no file of one polygon was given")
}

// A cut-out that is given without the boundary is not taken for it in silence.
func TestABoundaryOfLittleOfTheZonesIsAsked(t *testing.T) {
	dir := t.TempDir()
	waterway := ground(t, dir, "waterway.geojson", `{}`, [4]float64{2, 2, 3, 7})
	zones := ground(t, dir, "zones.geojson", `{"ZONE":"A","N_LB_AC":150}`, [4]float64{0, 0, 4, 10}, [4]float64{4, 0, 10, 10})
	_, text := skeletonOf(t, []string{waterway, zones})
	require.Contains(t, text, "  boundary: "+waterway+"  # say: is it the boundary? it holds 5 % of the ground of the zones\n")
}

// A boundary that is not valid still has a place, by the box around it.
func TestABoundaryWithAFaultKeepsItsPlace(t *testing.T) {
	dir := t.TempDir()
	bow := filepath.Join(dir, "bow.geojson")
	require.NoError(t, os.WriteFile(bow, []byte(`{"type":"Polygon","coordinates":[[[-93.6,42],[-93.592,42.008],[-93.592,42],[-93.6,42.008],[-93.6,42]]]}`), 0o600))
	waterway := ground(t, dir, "waterway.geojson", `{}`, [4]float64{2, 2, 3, 7})
	eachOrder([]string{bow, waterway}, func(paths []string) {
		job, _ := skeletonOf(t, paths)
		require.Equal(t, bow, job.Field.Boundary)
		require.Equal(t, []string{waterway}, job.Field.Exclude)
	})
}

// Paths stand as they were given, so that the job says where it may be saved.
func TestTheJobSaysWhereToSaveIt(t *testing.T) {
	const saying = "# Save it in the folder where inspect was run: a job's paths are relative to the\n# job file, and those below are as they were given."
	require.Contains(t, Skeleton([]Inspection{inspected(t, "testdata/harvest.csv")}), saying)
	path, err := filepath.Abs("testdata/harvest.csv")
	require.NoError(t, err)
	require.NotContains(t, Skeleton([]Inspection{inspected(t, path)}), saying)
}
