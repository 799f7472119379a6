package vector

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Shapefiles of any type for tests, written field by field from the ESRI Shapefile
// Technical Description (July 1998) and apart from the writer of this package.

func le(vs ...any) []byte {
	var b bytes.Buffer
	for _, v := range vs {
		if err := binary.Write(&b, binary.LittleEndian, v); err != nil {
			panic(err)
		}
	}
	return b.Bytes()
}

func be32(v int) []byte { return binary.BigEndian.AppendUint32(nil, uint32(int32(v))) }

// buildSHP returns .shp and .shx of records with these contents.
func buildSHP(code int32, box orb.Bound, contents ...[]byte) (shp, shx []byte) {
	var records, index []byte
	for i, c := range contents {
		index = append(index, be32((100+len(records))/2)...)
		index = append(index, be32(len(c)/2)...)
		records = append(records, be32(i+1)...)
		records = append(records, be32(len(c)/2)...)
		records = append(records, c...)
	}
	head := func(n int) []byte {
		b := append(be32(9994), make([]byte, 20)...)
		b = append(b, be32((100+n)/2)...)
		b = append(b, le(int32(1000), code, box.Min[0], box.Min[1], box.Max[0], box.Max[1])...)
		return append(b, make([]byte, 32)...)
	}
	return append(head(len(records)), records...), append(head(len(index)), index...)
}

// partsContent returns the content of a line or polygon record; zm adds Z or M
// blocks behind it.
func partsContent(code int32, zm int, parts ...[]orb.Point) []byte {
	var starts []int32
	var points []float64
	for _, p := range parts {
		starts = append(starts, int32(len(points)/2))
		for _, q := range p {
			points = append(points, q[0], q[1])
		}
	}
	n := len(points) / 2
	b := le(code, make([]float64, 4), int32(len(parts)), int32(n), starts, points)
	for range zm {
		b = append(b, le(math.Inf(-1), 9.0, make([]float64, n))...)
	}
	return b
}

// buildDBF returns a table; columns are "NAME,C,10,0" and rows their text, padded.
// A row that begins with '*' is deleted.
func buildDBF(driver byte, columns []string, rows ...string) []byte {
	var desc []byte
	width := 1
	for _, c := range columns {
		f := strings.Split(c, ",")
		var n, d int
		fmt.Sscan(f[2], &n)
		fmt.Sscan(f[3], &d)
		b := make([]byte, 32)
		copy(b, f[0])
		b[11], b[16], b[17] = f[1][0], byte(n), byte(d)
		desc = append(desc, b...)
		width += n
	}
	b := []byte{3, 126, 6, 5}
	b = append(b, le(uint32(len(rows)), uint16(33+len(desc)), uint16(width))...)
	b = append(b, make([]byte, 17)...)
	b = append(b, driver, 0, 0)
	b = append(append(b, desc...), '\r')
	for _, r := range rows {
		if len(r) != width {
			panic(fmt.Sprintf("row %q has %d bytes, not %d", r, len(r), width))
		}
		b = append(b, r...)
	}
	return append(b, 0x1a)
}

// writeParts writes the parts of a shapefile and returns the path of the .shp.
func writeParts(t testing.TB, parts map[string][]byte) string {
	t.Helper()
	folder := t.TempDir()
	for ext, b := range parts {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "zones"+ext), b, 0o600))
	}
	return filepath.Join(folder, "zones.shp")
}

// wgs84PRJ is the .prj of WGS 84 as ESRI writes it.
const wgs84PRJ = `GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`

// memory is a part of a shapefile that is not a file.
func memory(b []byte) io.ReadCloser {
	return struct {
		io.ReadSeeker
		io.Closer
	}{bytes.NewReader(b), io.NopCloser(nil)}
}

func writeTo(path string, b []byte) error { return os.WriteFile(path, b, 0o600) }
