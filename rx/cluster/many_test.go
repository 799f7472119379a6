package cluster

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLayersOfAnyUnit(t *testing.T) {
	for seed := range uint64(10) {
		cells := thirds(24, 18, 8, seed)
		want, err := Make(cells, DefaultOptions())
		require.NoError(t, err)
		for _, scale := range []float64{1e-90, 0.013, 1e90} {
			scaled := make([]Cell, len(cells))
			for i, c := range cells {
				scaled[i] = Cell{c.Col, c.Row, []float64{c.Values[0]*3.7 - 11, c.Values[1] * scale}}
			}
			got, err := Make(scaled, DefaultOptions())
			require.NoError(t, err)
			require.Equal(t, want.Labels, got.Labels, "seed %d, scale %g", seed, scale)
		}
	}
}

func TestALayerNeverVanishesUntold(t *testing.T) {
	cells := thirds(9, 9, 1, 5)
	for i := range cells {
		cells[i].Values[0] *= 1e200
	}
	_, err := Make(cells, DefaultOptions())
	require.ErrorContains(t, err, "layer 1 has the value")
	require.ErrorContains(t, err, "which nothing in a field has")

	// One cell with what some raster files write where there is no data.
	cells = thirds(9, 9, 1, 5)
	cells[40].Values[1] = -3.4e38
	r, err := Make(cells, DefaultOptions())
	require.NoError(t, err)
	require.Contains(t, strings.Join(r.Notes, "\n"), "layer 2: 1 of 81 cells lie more than 6 standard deviations from the mean, one of them with -3.4e+38")

	r, err = Make(thirds(30, 20, 5, 1), DefaultOptions())
	require.NoError(t, err)
	require.NotContains(t, strings.Join(r.Notes, "\n"), "standard deviations")
}

func TestFewDifferentValuesMakeFewZones(t *testing.T) {
	var cells []Cell
	for i := range 40 {
		cells = append(cells, Cell{i % 10, i / 10, []float64{float64(i / 20)}})
	}
	r, err := Make(cells, DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, 2, r.Zones)
	require.Equal(t, 2, r.Grouped)
	o := DefaultOptions()
	o.Zones = 4
	r, err = Make(cells, o)
	require.NoError(t, err)
	require.Equal(t, 2, r.Zones)
	require.Equal(t, 4, r.Grouped)
	require.Contains(t, r.Notes, "2 of 4 zones were too small to stay")
	for _, v := range r.Index {
		require.False(t, math.IsNaN(v-v))
	}
	_, err = Make(nil, DefaultOptions())
	require.ErrorContains(t, err, "no cell has a value")
}

// A part of the cells chooses among the starts; zones and index stay those of all cells.
func TestVeryManyCellsStartFromAPart(t *testing.T) {
	cells := thirds(60, 50, 3, 7)
	all, err := Make(cells, DefaultOptions())
	require.NoError(t, err)
	require.Empty(t, all.Notes)
	o := DefaultOptions()
	o.Drawn = 600
	part, err := Make(cells, o)
	require.NoError(t, err)
	require.Equal(t, all.Labels, part.Labels)
	for k, index := range all.Index {
		require.InEpsilon(t, index, part.Index[k], 0.02, "%d zones", k)
	}
	require.InEpsilon(t, all.Index[3], part.Index[3], 1e-9, "groups that stand apart have one best grouping")
	require.Contains(t, part.Notes[0], "600 of 3000 cells, drawn by the seed 1, choose the best of 10 starts")
	again, err := Make(cells, o)
	require.NoError(t, err)
	require.Equal(t, part, again)
}

func BenchmarkMake(b *testing.B) {
	for _, w := range []int{100, 316} {
		b.Run(strconv.Itoa(w*w), func(b *testing.B) {
			cells := thirds(w, w, 9, 4)
			for b.Loop() {
				_, err := Make(cells, DefaultOptions())
				require.NoError(b, err)
			}
		})
	}
}
