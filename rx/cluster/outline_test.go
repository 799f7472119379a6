package cluster

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawn are cells as one sees them, north up, each with its label; a dot is no cell.
func drawn(rows ...string) Result {
	r := Result{}
	for y := len(rows) - 1; y >= 0; y-- {
		for x, c := range rows[y] {
			if c == '.' {
				continue
			}
			r.Cells = append(r.Cells, Cell{Col: x, Row: len(rows) - 1 - y, Values: []float64{float64(c - '0')}})
			r.Labels = append(r.Labels, int(c-'0'))
			r.Zones = max(r.Zones, int(c-'0')+1)
		}
	}
	return r
}

// fails is what rapid's and the package testing's T have in common.
type fails interface {
	require.TestingT
	Helper()
}

// requireValid holds the outlines to the rules of simple features and to the cells' area.
func requireValid(t fails, r Result) {
	t.Helper()
	const side = 7.3
	for z, mp := range r.Outlines(orb.Point{100.3, 200.7}, side) {
		var polys []geom.Polygon
		for _, p := range mp {
			var rings []geom.LineString
			for _, ring := range p {
				var xy []float64
				for _, q := range ring {
					xy = append(xy, q[0], q[1])
				}
				rings = append(rings, geom.NewLineString(geom.NewSequence(xy, geom.DimXY)))
			}
			polys = append(polys, geom.NewPolygon(rings))
		}
		m := geom.NewMultiPolygon(polys)
		require.NoError(t, m.Validate(), "zone %d: %s", z, m.AsText())
		n := 0
		for _, l := range r.Labels {
			if l == z {
				n++
			}
		}
		require.InDelta(t, float64(n)*side*side, m.Area(), 1e-7)
	}
}

func TestOutlinesThatMeetThemselves(t *testing.T) {
	for name, c := range map[string]struct {
		cells Result
		rings []int // of the polygons of zone 0
	}{
		"holes that touch":               {drawn("0000", "0100", "0010", "0000"), []int{3}},
		"a hook that closes at a corner": {drawn("0000.", "0..0.", "0...0", "00000"), []int{2}},
		"cells that touch at a corner":   {drawn("00.", "00.", "..0"), []int{1, 1}},
		"a cell in a hole":               {drawn("00000", "01110", "01010", "01110", "00000"), []int{2, 1}},
	} {
		requireValid(t, c.cells)
		var rings []int
		for _, p := range c.cells.Outlines(orb.Point{}, 1)[0] {
			rings = append(rings, len(p))
		}
		require.ElementsMatch(t, c.rings, rings, name)
	}
}

func TestOutlinesOfAnyCellsAreValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 12).Draw(t, "columns"), rapid.IntRange(1, 12).Draw(t, "rows")
		r := Result{Zones: 3}
		for row := range h {
			for col := range w {
				label := rapid.IntRange(-1, 2).Draw(t, "label")
				if label < 0 {
					continue
				}
				r.Cells = append(r.Cells, Cell{Col: col, Row: row, Values: []float64{1}})
				r.Labels = append(r.Labels, label)
			}
		}
		requireValid(t, r)
	})
}
