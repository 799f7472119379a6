package cluster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// thirds is a grid whose left, middle and right thirds differ in two layers.
func thirds(w, h int, noise float64, seed uint64) []Cell {
	rng := rand.New(rand.NewPCG(seed, 3))
	var cells []Cell
	for row := range h {
		for col := range w {
			third := float64(3 * col / w)
			cells = append(cells, Cell{col, row, []float64{10*third + noise*rng.NormFloat64(), 500 - 20*third*third + 4*noise*rng.NormFloat64()}})
		}
	}
	return cells
}

func TestGroupsThatStandApartAreFound(t *testing.T) {
	cells := thirds(30, 20, 1.5, 1)
	r, err := Make(cells, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, 3, r.Zones)
	require.Len(t, r.Index, 5)
	for i, c := range r.Cells {
		require.Equal(t, 3*c.Col/30, r.Labels[i], "column %d", c.Col)
	}
	two := DefaultOptions()
	two.Zones = 2
	r, err = Make(cells, two)
	require.NoError(t, err)
	require.Equal(t, 2, r.Zones)
}

func TestLawsOfZones(t *testing.T) {
	cells := thirds(24, 18, 5, 2)
	want, err := Make(cells, DefaultOptions())
	require.NoError(t, err)
	mixed, scaled := make([]Cell, len(cells)), make([]Cell, len(cells))
	for i, c := range cells {
		mixed[(i*35+3)%len(cells)] = c
		scaled[i] = Cell{c.Col, c.Row, []float64{c.Values[0]*1000 + 5, c.Values[1]}}
	}
	for _, other := range [][]Cell{mixed, scaled} {
		got, err := Make(other, DefaultOptions())
		require.NoError(t, err)
		require.Equal(t, want.Labels, got.Labels)
	}
}

func TestSmoothingLeavesNoCrumbs(t *testing.T) {
	r, err := Make(thirds(30, 20, 9, 4), DefaultOptions())
	require.NoError(t, err)
	at := map[[2]int]int{}
	for i, c := range r.Cells {
		at[[2]int{c.Col, c.Row}] = i
	}
	for _, patch := range r.patches(at) {
		require.GreaterOrEqual(t, len(patch), DefaultOptions().LeastCells)
	}
}

func TestCellsThatAreNone(t *testing.T) {
	for want, cells := range map[string][]Cell{
		"no cell has a value":         {{0, 0, []float64{math.NaN()}}},
		"layer 1 has the same value":  {{0, 0, []float64{1}}, {1, 0, []float64{1}}},
		"two cells stand at column 0": {{0, 0, []float64{1}}, {0, 0, []float64{2}}},
		"has 1 layers and the first":  {{0, 0, []float64{1, 2}}, {1, 0, []float64{1}}},
		"2 cells cannot make 3 zones": {{0, 0, []float64{1}}, {1, 0, []float64{2}}},
	} {
		o := DefaultOptions()
		if len(cells) == 2 {
			o.Zones = 3
		}
		_, err := Make(cells, o)
		require.ErrorContains(t, err, want)
	}
	cells := append(thirds(9, 9, 1, 5), Cell{20, 20, []float64{math.Inf(1), 0}})
	r, err := Make(cells, DefaultOptions())
	require.NoError(t, err)
	require.Contains(t, r.Notes[0], "1 of 82 cells lack a value")
}

func TestOutlinesAreTheCells(t *testing.T) {
	// A ring around a hole with a cell in it, and two cells that touch at a corner.
	rows := []string{
		"1111100",
		"1000100",
		"1010100",
		"1000100",
		"1111101",
		"0000010",
	}
	r := Result{Zones: 2}
	for y, row := range rows {
		for x, c := range row {
			r.Cells = append(r.Cells, Cell{Col: x, Row: len(rows) - 1 - y, Values: []float64{1}})
			r.Labels = append(r.Labels, int(c-'0'))
		}
	}
	outlines := r.Outlines(orb.Point{100, 200}, 10)
	for zone, mp := range outlines {
		sum, cells := 0.0, 0
		for _, polygon := range mp {
			for k, ring := range polygon {
				require.Equal(t, ring[0], ring[len(ring)-1])
				a := area(ring)
				require.Equal(t, k == 0, a > 0)
				sum += a
			}
		}
		for _, l := range r.Labels {
			if l == zone {
				cells++
			}
		}
		require.InDelta(t, float64(cells)*100, sum, 1e-9, "zone %d", zone)
	}
	require.Len(t, outlines[1], 4, "the ring, the cell within, and two that touch at a corner")
}
