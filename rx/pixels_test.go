package rx

import (
	"fmt"
	"math/rand"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// pixels are n by n cells of some metres, each of a random one of four zones.
func pixels(t testing.TB, n int, cell float64) (Field, []vector.Feature) {
	r := rand.New(rand.NewSource(1))
	p := testPlane(t)
	half := cell * float64(n) / 2
	at := func(i, j int) orb.Point {
		return orb.Point(p.Unproject(orb.Point{cell*float64(i) - half, cell*float64(j) - half}))
	}
	parts := make([]orb.MultiPolygon, 4)
	for i := range n {
		for j := range n {
			k := r.Intn(4)
			parts[k] = append(parts[k], orb.Polygon{{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1), at(i, j)}})
		}
	}
	var features []vector.Feature
	for k, mp := range parts {
		features = append(features, feature(k+1, outline(t, mp), "ZONE", string(rune('A'+k)), "N_LB_AC", 120+k))
	}
	f, err := NewField("pixels", outline(t, orb.Polygon{{at(0, 0), at(n, 0), at(n, n), at(0, n), at(0, 0)}}), nil, nil)
	require.NoError(t, err)
	return f, features
}

// TestPixelsMakeAMap: zones of pixels below the limit of a sliver, at the edge of
// the field and within, come out as a map that is taken.
func TestPixelsMakeAMap(t *testing.T) {
	f, features := pixels(t, 40, 3)
	zones, _, err := NewZones(f, features, "ZONE", DefaultZoneOptions())
	require.NoError(t, err)
	p, err := Prescribe(f, zones, sidedress(t))
	require.NoError(t, err)
	m, err := p.RateMap()
	require.NoError(t, err)
	oneLayer(t, m, f)
	require.Empty(t, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
	for _, ft := range m.Features {
		require.Greater(t, signedArea(m.Plane, ft.Polygon[0]), 9.99, "a sliver is left")
	}
}

// What is looked at grows as the pixels do, not as their square.
func TestPixelsAreLookedAtAFewTimes(t *testing.T) {
	steps := func(n int) float64 {
		f, features := pixels(t, n, 3)
		zones, _, err := groupZones(f, features, "ZONE")
		require.NoError(t, err)
		p := piecesOf(zones, DefaultZoneOptions().SliverBelow)
		require.True(t, p.Waits())
		p.mergeAll()
		require.Zero(t, p.alone())
		return float64(p.Steps)
	}
	few, many := steps(25), steps(100)
	require.Less(t, many, 16*1.5*few, "for 16 times as many")
	require.Less(t, many, 10_000*20.0)
}

// slowly merges slivers by overlay, one after the other: the smallest that touches
// another zone goes to the one it shares the longest edge with, the first of equals.
func slowly(t require.TestingT, zones []Zone, limit unit.Area) {
	for {
		from, to := -1, -1
		var piece geo.Region
		for i, z := range zones {
			for _, p := range z.Region.Parts() {
				if p.Area() >= limit || from >= 0 && p.Area() >= piece.Area() {
					continue
				}
				best, length := -1, unit.Length(0)
				for j, o := range zones {
					if l := p.SharedEdge(o.Region); j != i && l > length+unit.Metres(1e-6) {
						best, length = j, l
					}
				}
				if best >= 0 {
					from, to, piece = i, best, p
				}
			}
		}
		if from < 0 {
			return
		}
		var err error
		zones[to].Region, err = zones[to].Region.Union(piece)
		require.NoError(t, err)
		zones[from].Region, err = zones[from].Region.Subtract(piece)
		require.NoError(t, err)
	}
}

func TestSliversGoWhereTheRuleSays(t *testing.T) {
	f := wholeField(t)
	rapid.Check(t, func(rt *rapid.T) {
		nx, ny := rapid.IntRange(2, 6).Draw(rt, "columns"), rapid.IntRange(2, 6).Draw(rt, "rows")
		seed := rapid.Int64().Draw(rt, "seed")
		r := rand.New(rand.NewSource(seed))
		cuts := func(n int, from, to float64) []float64 {
			out := []float64{from, to}
			for range n - 1 {
				out = append(out, from+(to-from)*r.Float64())
			}
			slices.Sort(out)
			return out
		}
		xs := cuts(nx, -200, 200)
		var features []vector.Feature
		for i := range nx {
			ys := cuts(ny, -100, 100) // columns do not meet at corners
			for j := range ny {
				features = append(features, feature(len(features)+1, rect(t, xs[i], ys[j], xs[i+1], ys[j+1]), "ZONE", fmt.Sprint(r.Intn(4))))
			}
		}
		limit := unit.SquareMetres(rapid.SampledFrom([]float64{100, 1000, 4000}).Draw(rt, "limit"))
		want, _, err := groupZones(f, features, "ZONE")
		require.NoError(rt, err)
		slowly(rt, want, limit)
		b := zoneBuilder{field: f, options: ZoneOptions{SliverBelow: limit}}
		b.zones, _, err = groupZones(f, features, "ZONE")
		require.NoError(rt, err)
		require.NoError(rt, b.mergeSlivers())
		got := map[string]geo.Region{}
		for _, z := range b.zones {
			got[z.ID] = z.Region
		}
		for _, z := range want {
			both, err := z.Region.Intersect(got[z.ID])
			require.NoError(rt, err)
			require.InDelta(rt, m2(z.Region), m2(got[z.ID]), 0.01, z.ID)
			require.InDelta(rt, m2(z.Region), m2(both), 0.01, z.ID)
		}
	})
}
