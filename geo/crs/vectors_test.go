package crs

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// vector is one position that another program computed.
type vector struct {
	code           int
	lon, lat, x, y float64
	toleranceM     float64
}

// readVectors reads a file of operation, tolerance, accept and expect lines.
func readVectors(t *testing.T, path string) []vector {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	var out []vector
	var v vector
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		word, rest, _ := strings.Cut(lines.Text(), " ")
		got, want := 0, 1
		switch word {
		case "", "#":
			continue
		case "operation":
			got, err = fmt.Sscanf(rest, "EPSG:%d", &v.code)
		case "tolerance":
			got, err = fmt.Sscanf(rest, "%g m", &v.toleranceM)
		case "accept":
			want = 2
			got, err = fmt.Sscan(rest, &v.lon, &v.lat)
		case "expect":
			want = 2
			got, err = fmt.Sscan(rest, &v.x, &v.y)
			out = append(out, v)
		}
		require.NoErrorf(t, err, "line %d", n)
		require.Equalf(t, want, got, "line %d", n)
	}
	require.NoError(t, lines.Err())
	return out
}

// Every vector comes from PROJ; the file says how.
func TestPositionsAgreeWithPROJ(t *testing.T) {
	vectors := readVectors(t, "testdata/proj-9.1.1.txt")
	require.Greater(t, len(vectors), 30)
	worst := 0.0
	for _, v := range vectors {
		c, err := FromEPSG(v.code)
		require.NoError(t, err)
		x, y, err := c.FromDegrees(v.lon, v.lat)
		require.NoError(t, err)
		off := math.Hypot(x-v.x, y-v.y) * c.unit
		require.LessOrEqualf(t, off, v.toleranceM, "EPSG:%d at %v, %v", v.code, v.lon, v.lat)
		worst = math.Max(worst, off)

		lon, lat, err := c.ToDegrees(v.x, v.y)
		require.NoError(t, err)
		require.InDeltaf(t, v.lat, lat, v.toleranceM/110e3, "EPSG:%d at %v, %v", v.code, v.lon, v.lat)
		require.InDeltaf(t, 0, turn(lon-v.lon)*math.Cos(lat*degree), v.toleranceM/110e3, "EPSG:%d at %v, %v", v.code, v.lon, v.lat)
	}
	t.Logf("worst of %d: %.1e m", len(vectors), worst)
}
