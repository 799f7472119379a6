//go:build reference

package geo

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The reference is GEOS behind Debian's python3-shapely; without it this fails.
const overlayByShapely = `
import json, sys
from shapely.geometry import shape
a, b = (shape({"type": "MultiPolygon", "coordinates": g}) for g in json.load(sys.stdin))
json.dump([a.intersection(b).area, a.difference(b).area, b.difference(a).area], sys.stdout)
`

func TestLargeOutlinesAgreeWithGEOS(t *testing.T) {
	zone := orb.Polygon{{{0.1, -500}, {500, -500}, {500, 301}, {0.1, 301}, {0.1, -500}}, {{100, -100}, {100, 100}, {350, 100}, {350, -100}, {100, -100}}}
	for name, ab := range map[string][2]orb.Polygon{
		"disc and zone":       {toothedDisc(20000), zone},
		"comb and zone":       {comb(20000), zone},
		"turned comb":         {turned(comb(8000), 0.7, 0, 0), zone},
		"two discs":           {toothedDisc(4000), turned(toothedDisc(4000), 0.3, 0.2, 0.1)},
		"a comb on a comb":    {comb(400), turned(comb(404), math.Pi/2, 0, 0)},
		"a comb moved by 1 m": {comb(4000), turned(comb(4000), 0, 1, 0)},
	} {
		a, b := regionOf(t, ab[0]), regionOf(t, ab[1])
		in, err := json.Marshal([]orb.MultiPolygon{a.Polygons(), b.Polygons()})
		require.NoError(t, err)
		cmd := exec.Command("/usr/bin/python3", "-c", overlayByShapely)
		var out, complaint bytes.Buffer
		cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(in), &out, &complaint
		require.NoErrorf(t, cmd.Run(), "the reference needs Debian's python3-shapely: %s", complaint.String())
		var want [3]float64
		require.NoError(t, json.Unmarshal(out.Bytes(), &want))
		for i, k := range []struct {
			a, b Region
			rule rule
		}{{a, b, inBoth}, {a, b, inFirst}, {b, a, inFirst}} {
			got, ok := combine(k.a, k.b, k.rule)
			require.True(t, ok, name)
			require.InDelta(t, want[i], got.Area().SquareMetres(), 1e-9*(a.Area()+b.Area()).SquareMetres(), "%s, %d", name, i)
		}
	}
}
