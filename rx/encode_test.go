package rx

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/jonas-p/go-shp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

var day = time.Date(2026, 6, 5, 0, 0, 0, 0, time.UTC)

// written writes the map both ways and reads both back.
func written(t testing.TB, p Prescription, m RateMap) (shapefile, geojson vector.Layer) {
	t.Helper()
	dir := t.TempDir()
	parts, err := m.Shapefile(day)
	require.NoError(t, err)
	zip, err := parts.Zip(m.Name)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, m.Name+".zip"), zip, 0o600))
	var b bytes.Buffer
	require.NoError(t, p.WriteGeoJSON(&b, m))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "prescription.geojson"), b.Bytes(), 0o600))
	shapefile, err = vector.Read(filepath.Join(dir, m.Name+".zip"), vector.Options{})
	require.NoError(t, err)
	geojson, err = vector.Read(filepath.Join(dir, "prescription.geojson"), vector.Options{})
	require.NoError(t, err)
	return shapefile, geojson
}

func TestWrittenMapsReadBack(t *testing.T) {
	p, m := busyMap(t)
	s, g := written(t, p, m)
	require.NoError(t, m.Compare(s))
	require.NoError(t, m.Compare(g))
	require.Equal(t, []string{"GAL_AC", "ZONE_ID", "PRODUCT"}, columnsOf(s), "the rate is the first column")
	require.True(t, s.Columns[0].Numeric)
	require.Equal(t, []string{"GAL_AC", "ZONE_ID", "PRODUCT", "n_rate", "n_rate_unit", "product_rate", "product_rate_unit", "reasons"}, columnsOf(g))
}

func columnsOf(l vector.Layer) []string {
	var names []string
	for _, c := range l.Columns {
		names = append(names, c.Name)
	}
	return names
}

// Each case changes what was read back by a little more than is allowed.
func TestCompareFindsEachDifference(t *testing.T) {
	p, m := busyMap(t)
	const centimetre = 0.01 / 111_000 // degrees of latitude
	for _, c := range []struct {
		name   string
		change func(*vector.Layer)
		want   string
	}{
		{"a record lost", func(l *vector.Layer) { l.Features = l.Features[1:] }, "polygons and wrote"},
		{"a rate", func(l *vector.Layer) {
			l.Features[0].Attributes[0].Value = vector.NewNumber(m.Features[0].Rate + 0.006)
		}, "the rate is"},
		{"a null rate", func(l *vector.Layer) { l.Features[0].Attributes[0].Value = vector.Value{} }, "the rate is"},
		{"an id", func(l *vector.Layer) { l.Features[0].Attributes[1].Value = vector.NewText("Z") }, `ZONE_ID is "Z"`},
		{"the product", func(l *vector.Layer) { l.Features[0].Attributes[2].Value = vector.NewText("urea") }, `PRODUCT is "urea"`},
		{"a vertex", func(l *vector.Layer) {
			moved := l.Features[0].Outline.Polygons()[0].Clone()
			moved[0][2][1] += 1.1 * centimetre
			l.Features[0].Outline = outline(t, moved)
		}, "its outline differs by more than 0.01 m"},
		{"order", func(l *vector.Layer) { slices.Reverse(l.Features) }, "is not what was written"},
		{"a hole", func(l *vector.Layer) {
			for i, f := range m.Features {
				if len(f.Polygon) > 1 {
					l.Features[i].Outline = outline(t, f.Polygon[:1])
				}
			}
		}, "it has 1 ring, not"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, _ := written(t, p, m)
			c.change(&s)
			require.ErrorContains(t, m.Compare(s), c.want)
		})
	}
	s, _ := written(t, p, m)
	moved := s.Features[0].Outline.Polygons()[0].Clone()
	moved[0][2][1] += 0.9 * centimetre
	s.Features[0].Outline = outline(t, moved)
	require.NoError(t, m.Compare(s), "less than a centimetre is the same")
}

func TestSameRing(t *testing.T) {
	a := orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 2}}
	require.True(t, sameRing(a, orb.Ring{{1, 1}, {0, 2}, {0, 0}, {1, 0}}))
	require.True(t, sameRing(a, orb.Ring{{1, 1}, {1, 0}, {0, 0}, {0, 2}}))
	require.False(t, sameRing(a, orb.Ring{{1, 1}, {0, 0}, {1, 0}, {0, 2}}))
	require.False(t, sameRing(a, a[:3]))
}

// A second reader, not ours: go-shp sees the same boxes, rates and ids.
func TestShapefileBySecondReader(t *testing.T) {
	_, m := busyMap(t)
	parts, err := m.Shapefile(day)
	require.NoError(t, err)
	base := filepath.Join(t.TempDir(), m.Name)
	for ext, content := range map[string][]byte{".shp": parts.SHP, ".shx": parts.SHX, ".dbf": parts.DBF} {
		require.NoError(t, os.WriteFile(base+ext, content, 0o600))
	}
	r, err := shp.Open(base + ".shp")
	require.NoError(t, err)
	defer r.Close()
	n := 0
	for r.Next() {
		i, shape := r.Shape()
		b := m.Features[i].Polygon.Bound()
		require.Equal(t, shp.Box{MinX: b.Min[0], MinY: b.Min[1], MaxX: b.Max[0], MaxY: b.Max[1]}, shape.BBox())
		require.Equal(t, m.Features[i].ZoneID, r.ReadAttribute(i, 1))
		require.Equal(t, number(m.Features[i].Rate), trimZeros(r.ReadAttribute(i, 0)))
		n++
	}
	require.Equal(t, len(m.Features), n)
}

func trimZeros(s string) string {
	var f float64
	if json.Unmarshal([]byte(s), &f) != nil {
		return s
	}
	return number(f)
}

// The keys of prescription.json are a contract: they may be added to, never
// renamed.
func TestPrescriptionJSONKeys(t *testing.T) {
	p, m := busyMap(t)
	j, err := p.JSON(m, CheckRateMap(m, p.Field, Limits{}, DefaultCheckOptions()))
	require.NoError(t, err)
	b, err := json.Marshal(j)
	require.NoError(t, err)
	var got map[string]any
	require.NoError(t, json.Unmarshal(b, &got))
	require.Equal(t, "ratewright/prescription/1", got["schema"])
	for path, keys := range map[string][]string{
		"":         {"schema", "plane", "application", "source", "zones", "area_m2", "nitrogen_kg", "product", "keyed_in", "files", "notes"},
		"plane":    {"lon0", "lat0"},
		"area_m2":  {"field", "zones", "unzoned", "off_limits"},
		"product":  {"value", "unit"},
		"keyed_in": {"default", "outside", "position_lost", "unit"},
	} {
		at := got
		if path != "" {
			at = got[path].(map[string]any)
		}
		for _, k := range keys {
			require.Contains(t, at, k, path)
		}
	}
	zone := got["zones"].([]any)[0].(map[string]any)
	for _, k := range []string{"id", "area_m2", "n_rate_kg_ha", "product_rate", "reasons"} {
		require.Contains(t, zone, k)
	}
	require.Equal(t, "gal/ac", zone["product_rate"].(map[string]any)["unit"])
	require.Equal(t, "gal", got["product"].(map[string]any)["unit"])
	require.Contains(t, got, "loads")
	require.Nil(t, got["loads"])
	require.InEpsilon(t, j.AreaM2.Field, j.AreaM2.Zones+j.AreaM2.Unzoned, 1e-9)
	require.InEpsilon(t, m2(p.Field.Boundary), j.AreaM2.Field+j.AreaM2.OffLimits, 1e-9)
	// kg N = gal x 11.06 lb/gal x 0.32 x 0.45359237 kg/lb (UAN 32).
	require.InEpsilon(t, j.NitrogenKg, j.Product.Value*11.06*0.32*0.45359237, 2e-3)
}
