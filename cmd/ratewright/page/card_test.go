package page

import (
	"encoding/json"
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
