package rx

import (
	"fmt"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// sharedByOverlay is what each pair of regions shares, by the overlay alone.
func sharedByOverlay(t require.TestingT, regions []geo.Region) map[[2]int]float64 {
	out := map[[2]int]float64{}
	for j := range regions {
		for i := range j {
			in, err := regions[i].Intersect(regions[j])
			require.NoError(t, err)
			if a := m2(in); a > 0 {
				out[[2]int{i, j}] = a
			}
		}
	}
	return out
}

func sum2(areas map[[2]int]float64) float64 {
	s := 0.0
	for _, a := range areas {
		s += a
	}
	return s
}

// What the sweep says of regions that overlap and leave gaps is what the overlay
// says, pair by pair and over the field.
func TestSurveyAgreesWithOverlay(t *testing.T) {
	f := wholeField(t)
	rapid.Check(t, func(rt *rapid.T) {
		var regions []geo.Region
		for _, ft := range drawZones(t, rt) {
			r, err := f.Plane.Region(ft.Outline)
			require.NoError(rt, err)
			regions = append(regions, r)
		}
		found := surveyOf(regions, f.Ground)
		want := sharedByOverlay(rt, regions)
		pairs, total, err := overlaps(regions, found)
		require.NoError(rt, err)
		require.InDelta(rt, sum2(want), total.SquareMetres(), 1e-4)
		for _, p := range pairs {
			require.InDelta(rt, want[[2]int{p.first, p.second}], p.area.SquareMetres(), 1e-4)
		}
		all, err := geo.UnionAll(regions)
		require.NoError(rt, err)
		gap, err := f.Ground.Subtract(all)
		require.NoError(rt, err)
		beyond, err := all.Subtract(f.Ground)
		require.NoError(rt, err)
		require.InDelta(rt, m2(gap), float64(found.bare[0]), 1e-4)
		require.InDelta(rt, m2(beyond), float64(found.beyond[0]), 1e-4)
	})
}

// gridZones are n by n zones over the whole field, drawn with ten decimals as
// files have them: their edges lie on the boundary to a hundredth of a millimetre.
func gridZones(t testing.TB, n int) []vector.Feature {
	p := testPlane(t)
	at := func(i, j int) orb.Point {
		l := p.Unproject(orb.Point{-200 + 400*float64(i)/float64(n), -100 + 200*float64(j)/float64(n)})
		return orb.Point{roundTo(l.Lon(), 10), roundTo(l.Lat(), 10)}
	}
	out := make([]vector.Feature, 0, n*n)
	for i := range n {
		for j := range n {
			cell := outline(t, orb.Polygon{{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1), at(i, j)}})
			out = append(out, feature(len(out)+1, cell, "ZONE", fmt.Sprintf("%d-%d", i, j), "N_LB_AC", 100+len(out)%7))
		}
	}
	return out
}

// mapOf takes zones all the way to a checked and encoded rate map.
func mapOf(t testing.TB, f Field, features []vector.Feature) Prescription {
	o := DefaultZoneOptions()
	o.SliverBelow = unit.SquareMetres(0.01)
	zones, _, err := NewZones(f, features, "ZONE", o)
	require.NoError(t, err)
	p, err := Prescribe(f, zones, sidedress(t))
	require.NoError(t, err)
	m, err := p.RateMap()
	require.NoError(t, err)
	require.Empty(t, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
	_, err = m.Shapefile(time.Date(2024, 6, 1, 0, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	return p
}

// With four times as many zones the sweep looks at about four times as many
// faces, no pair of zones needs an overlay, and all steps together allocate about
// four times as often: an overlay allocates hundreds of times, so one for every
// pair, or any step that looks at every zone for every zone, would show.
func TestWorkGrowsWithTheNumberOfZones(t *testing.T) {
	f := wholeField(t)
	type work struct{ faces, pairs, allocations float64 }
	measure := func(n int) work {
		features := gridZones(t, n)
		zones, _, err := groupZones(f, features, "ZONE")
		require.NoError(t, err)
		regions := zoneRegions(zones)
		found := surveyOf(regions, f.Ground)
		return work{
			float64(found.faces), float64(len(sharingPairs(regions, found))),
			testing.AllocsPerRun(1, func() { mapOf(t, f, features) }),
		}
	}
	few, many := measure(16), measure(32)
	require.Zero(t, few.pairs)
	require.Zero(t, many.pairs)
	require.Less(t, many.faces, 5*few.faces)
	require.Less(t, many.allocations, 4.4*few.allocations)
	require.Less(t, many.allocations/(32*32), 400.0, "an overlay for each zone")
}

// Ten thousand zones come out as they went in.
func TestTenThousandZones(t *testing.T) {
	f := wholeField(t)
	p := mapOf(t, f, gridZones(t, 100))
	require.Len(t, p.Zones, 10_000)
	sum := m2(p.Unzoned)
	for _, z := range p.Zones {
		require.InEpsilon(t, 8.0, m2(z.Region), 1e-4, z.ZoneID)
		sum += m2(z.Region)
	}
	require.InEpsilon(t, m2(f.Ground), sum, 1e-9)
}

func BenchmarkZonesToRateMap(b *testing.B) {
	f := wholeField(b)
	for _, n := range []int{25, 50, 100, 200} {
		features := gridZones(b, n)
		b.Run(fmt.Sprintf("zones=%d", n*n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				mapOf(b, f, features)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/zone")
		})
	}
}
