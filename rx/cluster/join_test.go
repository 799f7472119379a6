package cluster

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// label is that of a cell.
func (r *Result) label(t fails, col, row int) int {
	i, ok := r.places()[[2]int{col, row}]
	require.True(t, ok)
	return r.Labels[i]
}

func TestAnIslandDoesNotKeepCrumbs(t *testing.T) {
	r := drawn("0000000000.1", "0011000000..", "0000000000..", "0000000000..")
	o := DefaultOptions()
	o.Rounds = 0
	r.smooth(o)
	require.Equal(t, 0, r.label(t, 2, 2))
	require.Equal(t, 1, r.label(t, 11, 3), "nothing lies beside it")
	require.Equal(t, []string{"1 patches of fewer than 10 cells stay, for no other cell lies beside them"}, r.Notes)
}

func TestCrumbsJoinWhatSurroundsThemMost(t *testing.T) {
	o := DefaultOptions()
	o.Rounds, o.LeastCells = 0, 3
	r := drawn("0000222", "0001222", "0000222")
	r.smooth(o)
	require.Equal(t, 0, r.label(t, 3, 1), "three sides of four")
	// The smallest joins first, and what it joins is no crumb any more.
	r = drawn("000000", "011100", "012100", "000000", "000000")
	o.LeastCells = 6
	r.smooth(o)
	require.Equal(t, 1, r.label(t, 2, 2))
	require.Equal(t, 1, r.label(t, 1, 2))
}

// plainly is the rule as its sentence says it: find all patches, let the smallest join, begin again.
func plainly(r *Result, least int) {
	at := r.places()
	for {
		var small []int
		to := 0
		for _, patch := range r.patches(at) {
			if len(patch) >= least || small != nil && len(patch) >= len(small) {
				continue
			}
			counts := make([]int, r.Zones)
			for _, i := range patch {
				for _, j := range r.beside(at, i) {
					if r.Labels[j] != r.Labels[i] {
						counts[r.Labels[j]]++
					}
				}
			}
			if l := most(counts, r.Labels[patch[0]]); counts[l] > 0 {
				small, to = patch, l
			}
		}
		if small == nil {
			return
		}
		for _, i := range small {
			r.Labels[i] = to
		}
	}
}

func TestJoiningIsItsRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.IntRange(1, 14).Draw(t, "columns")
		text := rapid.SliceOfN(rapid.SampledFrom([]byte("0000111122.3")), 1, 150).Draw(t, "cells")
		var rows []string
		for len(text) >= w {
			rows = append(rows, string(text[:w]))
			text = text[w:]
		}
		least := rapid.IntRange(0, 12).Draw(t, "least")
		want, got := drawn(rows...), drawn(rows...)
		plainly(&want, least)
		got.join(got.places(), least)
		require.Equal(t, want.Labels, got.Labels, strings.Join(rows, "\n"))
	})
}

// Within a zone a cell takes the label of most of those around it, even where patches of
// one cell may stay; on a border, where no label has more than half, all is as it was.
func TestACellTakesTheLabelAroundIt(t *testing.T) {
	o := DefaultOptions()
	o.LeastCells = 1
	r := drawn("00000222", "01000222", "00000222", "00000222")
	r.smooth(o)
	require.Equal(t, 0, r.label(t, 1, 2), "all eight around it are 0")
	for col := range 8 {
		require.Equal(t, 2*((col+3)/8), r.label(t, col, 1), "column %d", col)
	}
	r = drawn("00000222", "01000222", "00000222", "00000222")
	o.Rounds = 0
	r.smooth(o)
	require.Equal(t, 1, r.label(t, 1, 2), "not smoothed")
}
