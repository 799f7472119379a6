package asapplied

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// dataDir is the folder of open data beside the project, or a skip.
func dataDir(t testing.TB, sub string) string {
	t.Helper()
	dir := filepath.Join("..", "..", "shared", "data", sub)
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("open data folder %s is not there; a small fact of the same kind is tested from testdata", dir)
	}
	return dir
}

func readBoundary(t testing.TB, path string) rx.Field {
	t.Helper()
	layer, err := vector.Read(path, vector.Options{})
	require.NoError(t, err)
	var mp orb.MultiPolygon
	for _, f := range layer.Features {
		mp = append(mp, f.Outline.Polygons()...)
	}
	o, err := geo.NewOutline(mp)
	require.NoError(t, err)
	f, err := rx.NewField("test", o, nil, nil)
	require.NoError(t, err)
	return f
}

// readPasses reads a log of the passes sets with the standard library only.
func readPasses(t testing.TB, path string) Log {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	log := Log{Files: []string{path}, Rate: Lanes{N: 1}, Depth: Lanes{N: 1}, Sections: Bits{N: len(rows[1][5])}}
	num := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return v
	}
	for i, r := range rows[1:] {
		log.File = append(log.File, 0)
		log.Line = append(log.Line, int32(i+2))
		log.TimeNS = append(log.TimeNS, int64(math.Round(num(r[0])*1e3))*1e6)
		log.Lon = append(log.Lon, num(r[1]))
		log.Lat = append(log.Lat, num(r[2]))
		log.Speed = append(log.Speed, num(r[3]))
		log.Heading = append(log.Heading, num(r[4]))
		var w uint64
		for k, c := range r[5] {
			if c == '1' {
				w |= 1 << k
			}
		}
		log.Sections.Words = append(log.Sections.Words, w)
		log.Depth.V = append(log.Depth.V, num(r[6])/100)
		log.Rate.V = append(log.Rate.V, num(r[7]))
	}
	log.Read = len(rows) - 1
	return log
}

// passSets are the folders with a log, a boundary and its truth: the one in
// testdata, which has closed forms, and the larger ones of the open data where
// these are there.
func passSets(t testing.TB) []string {
	t.Helper()
	sets := []string{filepath.Join("testdata", "passes", "rect")}
	open := filepath.Join("..", "..", "shared", "data", "passes")
	if _, err := os.Stat(open); err != nil {
		t.Logf("open data folder %s is not there: only the set in testdata is tested", open)
		return sets
	}
	for _, set := range []string{"field-61ac", "field-61ac-tight-turns"} {
		sets = append(sets, filepath.Join(open, set))
	}
	return sets
}

func TestPassesAgreeWithTheirTruth(t *testing.T) {
	for _, dir := range passSets(t) {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			var truth struct {
				SwathM  float64            `json:"swath_m"`
				Shallow float64            `json:"shallow_below_cm"`
				Areas   map[string]float64 `json:"areas_m2"`
			}
			b, err := os.ReadFile(filepath.Join(dir, "truth.json"))
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(b, &truth))
			r, err := Reconcile(Input{
				Field:     readBoundary(t, filepath.Join(dir, "boundary.geojson")),
				Drives:    []Drive{{Log: readPasses(t, filepath.Join(dir, "log.csv")), Machine: Machine{Name: "m", Width: unit.Metres(truth.SwathM), SectionCount: 24}}},
				Tolerance: 0.1, Shallow: unit.Metres(truth.Shallow / 100), HasShallow: true,
			})
			require.NoError(t, err)
			a, want := r.Area, truth.Areas
			for _, c := range []struct {
				name string
				got  float64
				key  string
			}{
				{"field", a.Field, "boundary"},
				{"covered", a.Covered, "covered_inside"},
				{"once", a.Once, "once_inside"},
				{"doubled", a.Doubled, "twice_inside"},
				{"missed", a.Missed, "missed_inside"},
				{"outside", a.Outside, "outside_covered"},
				{"shallow", a.Shallow, "shallow_inside"},
			} {
				t.Logf("%-8s %14.6f want %14.6f diff %10.3g of field", c.name, c.got, want[c.key], (c.got-want[c.key])/want["boundary"])
				require.InDelta(t, want[c.key], c.got, 1e-7*want["boundary"], c.name)
			}
		})
	}
}
