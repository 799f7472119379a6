//go:build reference

package raster

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// Debian's gdal-bin must be there; without it these tests fail.

// gdal runs a program of GDAL and returns what it prints.
func gdal(t *testing.T, input, program string, args ...string) string {
	t.Helper()
	cmd := exec.Command(program, args...)
	cmd.Stdin = strings.NewReader(input)
	cmd.Env = append(os.Environ(), "GDAL_PAM_ENABLED=NO")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoErrorf(t, err, "%s of Debian's gdal-bin: %s", program, stderr.String())
	return string(out)
}

// sameAsGDAL compares every pixel with gdallocationinfo's.
func sameAsGDAL(t *testing.T, path string) {
	t.Helper()
	r, err := Open(path, Options{})
	require.NoError(t, err)
	defer r.Close()
	cols, rows := r.Size()
	var places strings.Builder
	for row := range rows {
		for col := range cols {
			fmt.Fprintf(&places, "%d %d\n", col, row)
		}
	}
	for band := 1; band <= r.Bands(); band++ {
		lines := strings.Fields(gdal(t, places.String(), "gdallocationinfo", "-valonly", "-b", strconv.Itoa(band), path))
		require.Len(t, lines, cols*rows)
		noData, declared := r.NoData()
		for i, line := range lines {
			want, err := strconv.ParseFloat(line, 64)
			require.NoError(t, err)
			v, ok, err := r.Pixel(band, i%cols, i/cols)
			require.NoError(t, err)
			if !ok {
				require.True(t, declared && want == noData || math.IsNaN(want), "%s: band %d, pixel %d has no data here and %s there", path, band, i, line)
				continue
			}
			require.False(t, declared && want == noData)
			require.InDelta(t, want, v, 1e-12*math.Abs(want), "%s: band %d, pixel %d", path, band, i)
		}
	}
}

// gdalSource is an image that GDAL converts: two bands with an empty corner.
func gdalSource(t *testing.T, dir string) string {
	t.Helper()
	m := plainImage()
	m.cols, m.rows, m.bands, m.noData = 61, 47, 2, "-99"
	m.value = func(band, col, row int) float64 {
		if col+row < 12 {
			return -99
		}
		return float64(float32(40 + 30*math.Sin(float64(col)/7)*math.Cos(float64(row)/5) + float64(band)))
	}
	path := filepath.Join(dir, "source.tif")
	require.NoError(t, os.WriteFile(path, m.bytes(t), 0o600))
	sameAsGDAL(t, path)
	return path
}

func TestGDALsFilesRead(t *testing.T) {
	dir := t.TempDir()
	source := gdalSource(t, dir)
	n, combination := 0, 0
	for _, kind := range []string{"Byte", "Int16", "UInt32", "Float32", "Float64"} {
		for _, packed := range []string{"NONE", "LZW", "DEFLATE", "PACKBITS"} {
			for predictor := 1; predictor <= 3; predictor++ {
				if predictor > 1 && packed != "LZW" && packed != "DEFLATE" || predictor == 3 && !strings.HasPrefix(kind, "Float") {
					continue
				}
				combination++
				for _, form := range [][]int{{0, 1}, {2, 3}}[combination%2] {
					if predictor == 3 && form%2 == 1 {
						continue // GDAL 3.6 does not read back what it writes so
					}
					args := []string{"-q", "-ot", kind, "-co", "COMPRESS=" + packed}
					if predictor > 1 {
						args = append(args, "-co", fmt.Sprintf("PREDICTOR=%d", predictor))
					}
					if kind == "Byte" || kind == "UInt16" || kind == "UInt32" {
						args = append(args, "-a_nodata", "0")
					}
					switch form {
					case 0:
						args = append(args, "-co", "TILED=YES", "-co", "BLOCKXSIZE=16", "-co", "BLOCKYSIZE=32", "-co", "INTERLEAVE=BAND")
					case 1:
						args = append(args, "-co", "ENDIANNESS=BIG", "-co", "INTERLEAVE=PIXEL")
					case 2:
						args = append(args, "-co", "BIGTIFF=YES", "-co", "BLOCKYSIZE=7", "-co", "INTERLEAVE=BAND")
					case 3:
						args = append(args, "-co", "TILED=YES", "-co", "ENDIANNESS=BIG", "-co", "INTERLEAVE=PIXEL")
					}
					n++
					path := filepath.Join(dir, fmt.Sprintf("%d.tif", n))
					gdal(t, "", "gdal_translate", append(args, source, path)...)
					sameAsGDAL(t, path)
				}
			}
		}
	}
	t.Logf("%d files", n)
}

// Places in metres and in degrees, by the corner and by the middle of pixels, warped and
// with overviews.
func TestPlacesAreThoseOfGDAL(t *testing.T) {
	dir := t.TempDir()
	source := gdalSource(t, dir)
	in := func(name string) string { return filepath.Join(dir, name) }
	gdal(t, "", "gdal_translate", "-q", "-mo", "AREA_OR_POINT=Point", source, in("point.tif"))
	gdal(t, "", "gdalwarp", "-q", "-t_srs", "EPSG:4326", source, in("degrees.tif"))
	gdal(t, "", "gdalwarp", "-q", "-t_srs", "EPSG:32615", "-tr", "7", "9", source, in("wgs.tif"))
	gdal(t, "", "gdal_translate", "-q", "-of", "COG", "-co", "BLOCKSIZE=128", source, in("cog.tif"))
	gdal(t, "", "gdal_translate", "-q", "-co", "SPARSE_OK=TRUE", "-co", "TILED=YES", "-co", "BLOCKXSIZE=16", "-co", "BLOCKYSIZE=16", "-srcwin", "-20", "-20", "60", "60", source, in("sparse.tif"))
	gdal(t, "", "gdaladdo", "-q", in("point.tif"), "2", "4")
	for _, name := range []string{"source.tif", "point.tif", "degrees.tif", "wgs.tif", "cog.tif", "sparse.tif"} {
		sameAsGDAL(t, in(name))
		r, err := Open(in(name), Options{})
		require.NoError(t, err)
		var places strings.Builder
		var cells [][2]int
		for row := 1; row < 40; row += 3 {
			for col := 1; col < 40; col += 3 {
				at, err := r.Centre(col, row)
				require.NoError(t, err)
				fmt.Fprintf(&places, "%.12f %.12f\n", at.Lon(), at.Lat())
				cells = append(cells, [2]int{col, row})
			}
		}
		out := gdal(t, places.String(), "gdallocationinfo", "-wgs84", in(name))
		if name == "point.tif" || name == "source.tif" || name == "cog.tif" || name == "sparse.tif" {
			require.Contains(t, r.CRSName(), "NAD83") // PROJ shifts no datum here, and neither do we
		}
		at := 0
		for line := range strings.Lines(out) {
			var col, row int
			if _, err := fmt.Sscanf(strings.TrimSpace(line), "Location: (%dP,%dL)", &col, &row); err == nil {
				require.Equal(t, cells[at], [2]int{col, row}, name)
				at++
			}
		}
		require.Equal(t, len(cells), at, "%s", out)
		require.NoError(t, r.Close())
	}
}

// Pixels with their middle in a polygon are those that gdalwarp keeps of a cutline.
func TestEachIsGDALsCutline(t *testing.T) {
	dir := t.TempDir()
	source := gdalSource(t, dir)
	cutline := filepath.Join(dir, "zone.geojson")
	r, err := Open(source, Options{})
	require.NoError(t, err)
	defer r.Close()
	var ring orb.Ring
	var text []string
	for _, c := range [][2]int{{3, 20}, {30, 2}, {58, 25}, {40, 30}, {28, 44}, {3, 20}} {
		at, err := r.Centre(c[0], c[1])
		require.NoError(t, err)
		at[0] += 1.3e-5 // off the middles
		ring = append(ring, orb.Point(at))
		text = append(text, fmt.Sprintf("[%.10f,%.10f]", at[0], at[1]))
	}
	require.NoError(t, os.WriteFile(cutline, []byte(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"EPSG:4269"}},"features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[[`+strings.Join(text, ",")+`]]}}]}`), 0o600))
	cut := filepath.Join(dir, "cut.tif")
	gdal(t, "", "gdalwarp", "-q", "-cutline", cutline, source, cut)
	want, wantN := 0.0, 0
	c, err := Open(cut, Options{})
	require.NoError(t, err)
	defer c.Close()
	cols, rows := c.Size()
	for row := range rows {
		for col := range cols {
			v, ok, err := c.Pixel(1, col, row)
			require.NoError(t, err)
			if ok {
				want, wantN = want+v, wantN+1
			}
		}
	}
	outline, err := geo.NewOutline(orb.Polygon{ring})
	require.NoError(t, err)
	plane, err := geo.PlaneFor(outline)
	require.NoError(t, err)
	region, err := plane.Region(outline)
	require.NoError(t, err)
	sum := 0.0
	count, err := r.Each(1, region, func(v float64) { sum += v })
	require.NoError(t, err)
	require.Equal(t, wantN, count.Data)
	require.InDelta(t, want, sum, 1e-9*math.Abs(want))
	require.Zero(t, count.Beyond)
}
