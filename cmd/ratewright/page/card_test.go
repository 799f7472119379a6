package page

import (
	"encoding/json"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestACardIsSmallAndHasWhatMattersMost(t *testing.T) {
	s := sample(0)
	for i := range 3000 { // a log that chatters
		x, y := float64(i%60)*12-380, float64(i/60)*14-370
		s.Map.Patches = append(s.Map.Patches, Patch{Kind: "missed", Polygons: orb.MultiPolygon{blob(x, y, 5, uint64(i))}, AreaM2: 80})
		s.Map.Zones = append(s.Map.Zones, Zone{Polygons: orb.MultiPolygon{blob(x, y, 6, uint64(i))}, Rate: 120})
	}
	c := s.Card()
	require.Equal(t, s.Lead, c.Figures)
	bytes, fills := 0, map[string]int{}
	for _, shape := range c.Picture {
		bytes += len(shape.Path)
		fills[shape.Fill]++
	}
	require.LessOrEqual(t, bytes, cardBytes)
	require.Equal(t, Shape{"ground", "line", c.Picture[0].Path}, c.Picture[0], "the field is there whatever else")
	require.GreaterOrEqual(t, fills["k-missed"], 2)
	require.Equal(t, 2, fills["k-doubled"])

	// It goes through JSON unchanged.
	data, err := json.Marshal(c)
	require.NoError(t, err)
	var back Card
	require.NoError(t, json.Unmarshal(data, &back))
	require.Equal(t, c.svg(), back.svg())
	require.NotContains(t, c.svg(), "NaN")
}

func TestACardOfNothing(t *testing.T) {
	require.Contains(t, Sheet{}.Card().svg(), "<svg")
}

// TestACardDrawsNoHairlines: ground of a millimetre between two places is no more in
// the small picture than on the map.
func TestACardDrawsNoHairlines(t *testing.T) {
	s := sample(0)
	s.Map.Patches = []Patch{{Kind: "missed", Polygons: orb.MultiPolygon{moved(dumbbell(0), -1100, 500)}, AreaM2: 1400}}
	shapes := 0
	for _, shape := range s.Card().Picture {
		if shape.Fill != "k-missed" {
			continue
		}
		shapes++
		require.Equal(t, 1, strings.Count(shape.Path, "M"))
		require.Less(t, widthOf(t, shape.Path), 15.0, "one place, not the line between the two: %s", shape.Path)
	}
	require.Equal(t, 2, shapes)
}

func moved(p orb.Polygon, dx, dy float64) orb.Polygon {
	out := orb.Polygon{}
	for _, ring := range p {
		var r orb.Ring
		for _, v := range ring {
			r = append(r, orb.Point{v[0] + dx, v[1] + dy})
		}
		out = append(out, r)
	}
	return out
}

// widthOf is how far a closed path of the small picture reaches from left to right.
func widthOf(t *testing.T, path string) float64 {
	t.Helper()
	var x, lo, hi float64
	for i, text := range regexp.MustCompile(`-?[0-9.]+`).FindAllString(path, -1) {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		switch {
		case i == 0:
			x, lo, hi = v, v, v
		case i > 1 && i%2 == 0:
			x += v
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	return hi - lo
}
