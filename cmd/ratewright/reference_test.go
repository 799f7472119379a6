//go:build reference

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The files of a whole job are read here by GDAL's ogrinfo and ogr2ogr and
// measured by GEOS and PROJ (testdata/reference/written.py). Debian's gdal-bin,
// python3-shapely and proj-bin must be there; without them these tests fail.

// ogrLayer is what ogrinfo says of the one layer of a file.
type ogrLayer struct {
	count  int
	fields []string // "NAME: Type (width.decimals)"
}

var ogrField = regexp.MustCompile(`^\w+: \w+ \(\d+\.\d+\)$`)

func ogrinfo(t *testing.T, path string) ogrLayer {
	t.Helper()
	cmd := exec.Command("ogrinfo", "-ro", "-al", "-so", path)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	require.NoErrorf(t, cmd.Run(), "ogrinfo of Debian's gdal-bin: %s", stderr.String())
	require.Empty(t, stderr.String(), "ogrinfo warns")
	require.Equal(t, 1, strings.Count(stdout.String(), "\nLayer name: "), "%s", &stdout)
	require.Contains(t, stdout.String(), `GEOGCRS["WGS 84"`)
	var l ogrLayer
	for line := range strings.Lines(stdout.String()) {
		line = strings.TrimRight(line, "\r\n")
		if rest, ok := strings.CutPrefix(line, "Feature Count: "); ok {
			n, err := strconv.Atoi(rest)
			require.NoError(t, err)
			l.count = n
		} else if ogrField.MatchString(line) {
			l.fields = append(l.fields, line)
		}
	}
	return l
}

// measured is what written.py says of a file.
type measured struct {
	Features []struct {
		Attributes map[string]string `json:"attributes"`
		Geometry   string            `json:"geometry"`
		Valid      string            `json:"valid"`
		AreaM2     float64           `json:"area_m2"`
		LengthM    float64           `json:"length_m"`
	} `json:"features"`
	LargestOverlap struct {
		AreaM2   float64 `json:"area_m2"`
		Features []int   `json:"features"`
	} `json:"largest_overlap"`
}

type planeJSON struct {
	Lon0 float64 `json:"lon0"`
	Lat0 float64 `json:"lat0"`
}

// measure has GDAL read a file and GEOS measure it, and demands valid polygons
// of which none overlaps another of its group.
func measure(t *testing.T, path string, plane planeJSON, group string) measured {
	t.Helper()
	degrees := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	cmd := exec.Command("/usr/bin/python3", filepath.Join("testdata", "reference", "written.py"),
		path, degrees(plane.Lon0), degrees(plane.Lat0), group)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	require.NoErrorf(t, cmd.Run(), "the reference needs Debian's gdal-bin, python3-shapely and proj-bin: %s", stderr.String())
	var m measured
	require.NoError(t, json.Unmarshal(stdout.Bytes(), &m))
	for i, f := range m.Features {
		require.Equalf(t, "Valid Geometry", f.Valid, "feature %d: %v", i, f.Attributes)
		require.Contains(t, []string{"Polygon", "MultiPolygon"}, f.Geometry)
	}
	// Two long neighbours may cross by the last decimal of their degrees.
	require.LessOrEqualf(t, m.LargestOverlap.AreaM2, 1e-3, "features %v", m.LargestOverlap.Features)
	return m
}

func (m measured) number(t *testing.T, i int, name string) float64 {
	t.Helper()
	require.Contains(t, m.Features[i].Attributes, name)
	v, err := strconv.ParseFloat(m.Features[i].Attributes[name], 64)
	require.NoErrorf(t, err, "feature %d, %s", i, name)
	return v
}

// runDemo makes the demo and returns its folder of results.
func runDemo(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "demo")
	var stdout, stderr bytes.Buffer
	code := run(context.Background(), []string{"demo", dir}, strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, exitDone, code, stderr.String())
	return filepath.Join(dir, "out")
}

// listAllPatches reconciles the demo's job again without a smallest patch.
func listAllPatches(t *testing.T, path string) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	all := regexp.MustCompile(`min_patch: .*`).ReplaceAll(text, []byte("min_patch: 0 ac"))
	require.NotEqual(t, string(text), string(all))
	require.NoError(t, os.WriteFile(path, all, 0o644))
	var stdout, stderr bytes.Buffer
	code := run(context.Background(), []string{"reconcile", path}, strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, exitDone, code, stderr.String())
}

func readJSON(t *testing.T, path string, into any) {
	t.Helper()
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, into))
}

// Every patch is listed, the thinnest too: those show outlines that their
// decimals make cross themselves.
func TestPatchesAreReadByOthers(t *testing.T) {
	out := runDemo(t)
	listAllPatches(t, filepath.Join(filepath.Dir(out), "job.yaml"))
	var summary struct {
		Plane  planeJSON          `json:"plane"`
		AreaM2 map[string]float64 `json:"area_m2"`
		Listed map[string]struct {
			Listed int     `json:"listed"`
			AreaM2 float64 `json:"listed_area_m2"`
		} `json:"patches"`
	}
	readJSON(t, filepath.Join(out, "reconcile.json"), &summary)
	field := summary.AreaM2["field"]
	require.Greater(t, field, 5e5)
	want := 0
	for _, kind := range summary.Listed {
		want += kind.Listed
	}
	require.Greater(t, want, 500)

	for name, fields := range map[string][]string{
		"patches.shp": {
			`KIND: String \(\d+\.0\)`, `AREA_M2: Real \(\d+\.4\)`, `N_KG: Real \(\d+\.4\)`, `SHORT_KG: Real \(\d+\.4\)`, `ZONE_ID: String \(\d+\.0\)`,
		},
		"patches.geojson": {
			`KIND: String \(0\.0\)`, `AREA_M2: Real \(0\.0\)`, `N_KG: Real \(0\.0\)`, `SHORT_KG: Real \(0\.0\)`, `ZONE_ID: String \(0\.0\)`,
		},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(out, name)
			layer := ogrinfo(t, path)
			assert.Equal(t, want, layer.count)
			require.Len(t, layer.fields, len(fields))
			for i := range fields {
				assert.Regexp(t, "^"+fields[i]+"$", layer.fields[i])
			}
			m := measure(t, path, summary.Plane, "KIND")
			require.Len(t, m.Features, want)
			said, drawn, count := map[string]float64{}, map[string]float64{}, map[string]int{}
			for i, f := range m.Features {
				kind := f.Attributes["KIND"]
				said[kind] += m.number(t, i, "AREA_M2")
				drawn[kind] += f.AreaM2
				count[kind]++
				assert.GreaterOrEqual(t, m.number(t, i, "N_KG"), 0.0)
				assert.GreaterOrEqual(t, m.number(t, i, "SHORT_KG"), 0.0)
			}
			for kind, sum := range summary.Listed {
				assert.Equal(t, sum.Listed, count[kind], kind)
				// The table has 4 decimals; GDAL prints 15 digits of a number.
				assert.InDelta(t, sum.AreaM2, said[kind], 5e-5*float64(sum.Listed)+1e-9*field, kind)
				assert.InDelta(t, sum.AreaM2, drawn[kind], 1e-6*field, kind)
			}
		})
	}
}

func TestRateMapIsReadByOthers(t *testing.T) {
	out := runDemo(t)
	var p struct {
		Plane planeJSON `json:"plane"`
		Map   struct {
			Name, Column string
		} `json:"map"`
		Zones []struct {
			ID      string  `json:"id"`
			AreaM2  float64 `json:"area_m2"`
			NRate   float64 `json:"n_rate_kg_ha"`
			Product struct {
				Value float64 `json:"value"`
			} `json:"product_rate"`
		} `json:"zones"`
		AreaM2 map[string]float64 `json:"area_m2"`
	}
	readJSON(t, filepath.Join(out, "prescription.json"), &p)
	require.NotEmpty(t, p.Zones)
	table := []string{p.Map.Column + `: Real \(\d+\.2\)`, `ZONE_ID: String \(\d+\.0\)`, `PRODUCT: String \(\d+\.0\)`}
	base := filepath.Join(out, "rate-map", p.Map.Name)

	features := 0
	for _, c := range []struct {
		path   string
		fields []string
	}{
		{base + ".shp", table},
		{"/vsizip/" + base + ".zip", table},
		{filepath.Join(out, "prescription.geojson"), []string{
			p.Map.Column + `: Real \(0\.0\)`, `ZONE_ID: String \(0\.0\)`, `PRODUCT: String \(0\.0\)`,
			`n_rate: Real \(0\.0\)`, `n_rate_unit: String \(0\.0\)`,
			`product_rate: Real \(0\.0\)`, `product_rate_unit: String \(0\.0\)`, `reasons: StringList \(0\.0\)`,
		}},
	} {
		t.Run(filepath.Ext(c.path), func(t *testing.T) {
			layer := ogrinfo(t, c.path)
			require.Len(t, layer.fields, len(c.fields))
			for i := range c.fields {
				assert.Regexp(t, "^"+c.fields[i]+"$", layer.fields[i])
			}
			m := measure(t, c.path, p.Plane, "")
			require.Len(t, m.Features, layer.count)
			if features == 0 {
				features = layer.count
			}
			assert.Equal(t, features, layer.count, "the same features in every form")

			area, round := map[string]float64{}, map[string]float64{}
			for i, f := range m.Features {
				id := f.Attributes["ZONE_ID"]
				area[id] += f.AreaM2
				round[id] += f.LengthM
				assert.Equal(t, "UAN 32", f.Attributes["PRODUCT"])
				want := 0.0
				for _, z := range p.Zones {
					if z.ID == id {
						want = z.Product.Value
					}
				}
				assert.InDelta(t, want, m.number(t, i, p.Map.Column), 0.005+1e-9, "zone %s", id)
			}
			for _, z := range p.Zones {
				assert.Positive(t, z.Product.Value)
				// A vertex may move 1 cm.
				assert.InDelta(t, z.AreaM2, area[z.ID], 0.01*round[z.ID], "zone %s", z.ID)
				delete(area, z.ID)
			}
			assert.InDelta(t, p.AreaM2["off_limits"], area["off_limits"], 0.01*round["off_limits"])
			assert.Len(t, area, 1, "zones, and ground off limits")
			whole := p.AreaM2["field"] + p.AreaM2["off_limits"]
			sum := 0.0
			for _, f := range m.Features {
				sum += f.AreaM2
			}
			assert.LessOrEqual(t, math.Abs(sum-whole), 1e-5*whole, "neighbours share their vertices: no ground is lost or drawn twice")
		})
	}
}
