package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Patches of the demo that border have the same corners along the border, as they are
// written: no corner of one lies on a side of another, or of its own, that goes on
// past it. Ground of two kinds has patches of both over one another, and their sides
// run together, too.
func TestTheDemosPatchesShareTheCornersOfCommonSides(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	var out, problems bytes.Buffer
	require.Zero(t, run(context.Background(), []string{"demo", dir}, strings.NewReader(""), &out, &problems), problems.String())
	sides := writtenSides(t, filepath.Join(dir, "out", "patches.geojson"))

	const cellM = 10
	cell := func(v float64) int { return int(math.Floor(v / cellM)) }
	type place struct{ x, y int }
	corners := map[place][]orb.Point{}
	seen := map[orb.Point]bool{}
	owners := map[[2]orb.Point]map[int]bool{} // a side, either way, and whose it is
	for _, s := range sides {
		if !seen[s.a] {
			seen[s.a] = true
			corners[place{cell(s.a[0]), cell(s.a[1])}] = append(corners[place{cell(s.a[0]), cell(s.a[1])}], s.a)
		}
		for _, way := range [][2]orb.Point{{s.a, s.b}, {s.b, s.a}} {
			if owners[way] == nil {
				owners[way] = map[int]bool{}
			}
			owners[way][s.patch] = true
		}
	}
	common := 0
	for _, s := range sides {
		if len(owners[[2]orb.Point{s.a, s.b}]) > 1 {
			common++
		}
		for x := cell(min(s.a[0], s.b[0])); x <= cell(max(s.a[0], s.b[0])); x++ {
			for y := cell(min(s.a[1], s.b[1])); y <= cell(max(s.a[1], s.b[1])); y++ {
				for _, c := range corners[place{x, y}] {
					require.False(t, passes(s.a, s.b, c), "a side of patch %d from %v to %v passes the corner %v", s.patch, s.a, s.b, c)
				}
			}
		}
	}
	t.Logf("%d sides, %d of them common to two patches, %d corners", len(sides), common, len(seen))
	require.Greater(t, common, len(sides)/4)
}

// passes tells whether a corner lies on a side, its ends left out. Being written moves
// corner and side by up to a step each, of a hundredth of a millimetre, so that only
// what seems to lie much nearer than they may have moved was on it for certain.
func passes(a, b, c orb.Point) bool {
	const onM, fromEndM = 4e-6, 1e-4
	dx, dy := b[0]-a[0], b[1]-a[1]
	l := math.Hypot(dx, dy)
	if l < 2*fromEndM {
		return false
	}
	along := (dx*(c[0]-a[0]) + dy*(c[1]-a[1])) / l
	return along > fromEndM && along < l-fromEndM && math.Abs(dx*(c[1]-a[1])-dy*(c[0]-a[0]))/l < onM
}

type writtenSide struct {
	patch int
	a, b  orb.Point // metres from the first corner of the file, about
}

// writtenSides reads the sides of all patches.
func writtenSides(t *testing.T, path string) (sides []writtenSide) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	var file struct {
		Features []struct {
			Geometry struct {
				Type        string
				Coordinates json.RawMessage
			}
		}
	}
	require.NoError(t, json.Unmarshal(text, &file))
	var origin *orb.Point
	for i, f := range file.Features {
		parts := make([][][]orb.Point, 1)
		if f.Geometry.Type == "Polygon" {
			require.NoError(t, json.Unmarshal(f.Geometry.Coordinates, &parts[0]))
		} else {
			require.NoError(t, json.Unmarshal(f.Geometry.Coordinates, &parts))
		}
		for _, rings := range parts {
			for _, ring := range rings {
				if origin == nil {
					origin = &ring[0]
				}
				metres := func(p orb.Point) orb.Point {
					const degreeM = 111_190
					return orb.Point{(p[0] - origin[0]) * degreeM * math.Cos(origin[1]*math.Pi/180), (p[1] - origin[1]) * degreeM}
				}
				for k := 1; k < len(ring); k++ {
					sides = append(sides, writtenSide{i, metres(ring[k-1]), metres(ring[k])})
				}
			}
		}
	}
	return sides
}
