package rx

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// twoZones is the field's west 3 ha (100 lb N/ac) and east 5 ha (183 lb N/ac).
func twoZones(t testing.TB, f Field) []Zone {
	return zonesOf(t, f,
		feature(1, rect(t, -200, -100, -50, 100), "ZONE", "W", "N_LB_AC", 100),
		feature(2, rect(t, -50, -100, 200, 100), "ZONE", "E", "N_LB_AC", 183))
}

// By hand, with 1 lb/ac = 1.120851156 kg/ha and UAN 32 at 11.06 lb/gal carrying
// 3.5392 lb N/gal:
//
//	W: 100 lb N/ac = 112.0851156 kg N/ha x 3 ha = 336.2553 kg N
//	E: 183 -> step 5 -> 185 lb N/ac = 207.3574639 kg N/ha x 5 ha = 1036.7873 kg N
//	gallons: (100 x 7.413161 ac + 185 x 12.355269 ac) / 3.5392 = 855.29 gal
//	loads of 400 gal: 2.138, so 3
func TestPrescriptionByHand(t *testing.T) {
	f := wholeField(t)
	a := sidedress(t)
	a.Limits = Limits{Min: lbPerAcre(60), Max: lbPerAcre(220), Step: lbPerAcre(5), Of: unit.Nitrogen}
	a.Tank = Tank{Volume: unit.Gallons(400)}
	p, err := Prescribe(f, twoZones(t, f), a)
	require.NoError(t, err)
	require.InEpsilon(t, 112.0851156, p.Zones[0].NRate.KgNPerHa(), 1e-8)
	require.InEpsilon(t, 207.3574639, p.Zones[1].NRate.KgNPerHa(), 1e-8)
	require.InEpsilon(t, 1373.0426, p.Nitrogen().Kilograms(), 1e-6)
	require.InEpsilon(t, 1373.0426/0.32, p.Product().Kilograms(), 1e-6)
	require.InEpsilon(t, 100/3.5392, p.Zones[0].MapRate.Value, 1e-4)
	require.Equal(t, unit.GallonsPerAcre, p.Zones[0].MapRate.Unit)
	require.Equal(t, []Reason{"100 lb N/ac from zone column N_LB_AC"}, p.Zones[0].Reasons)
	require.Equal(t, []Reason{"183 lb N/ac from zone column N_LB_AC", "183 lb N/ac rounded to 185 lb N/ac, the nearest step of 5 lb N/ac"}, p.Zones[1].Reasons)
	require.Equal(t, 3, p.Loads.Count)
	require.InEpsilon(t, 2.138, p.Loads.Exact, 1e-3)
	require.InEpsilon(t, 8/2.138, p.Loads.Area.Hectares(), 1e-3)
	require.True(t, p.Unzoned.IsEmpty())
	require.Zero(t, p.KeyedIn.Default+p.KeyedIn.Outside+p.KeyedIn.PositionLost)
	require.Len(t, p.KeyedIn.Why, 3)
}

// Arithmetic, and a published example: 120 lb N/ac is 33.91
// gal/ac of UAN 32 at 11.06 lb/gal, 260.9 lb/ac of urea; 150 lb N/ac as ammonia
// is 182.9 lb/ac; Iowa State: 124 lb N/ac as ammonia is 151 lb/ac.
func TestMapRatesOfPublishedExamples(t *testing.T) {
	f := wholeField(t)
	for _, c := range []struct {
		source      string
		n           float64
		unit        unit.RateUnit
		want, delta float64
	}{
		{"uan-32", 120, unit.GallonsPerAcre, 33.91, 0.005},
		{"uan-28", 120, unit.GallonsPerAcre, 40.17, 0.005},
		{"urea", 120, unit.PoundsPerAcre, 260.9, 0.05},
		{"anhydrous-ammonia", 150, unit.PoundsPerAcre, 182.9, 0.05},
		{"anhydrous-ammonia", 124, unit.PoundsPerAcre, 151, 0.5},
	} {
		a := sidedress(t)
		a.Source, a.Map.Unit = source(t, c.source), c.unit
		a.Rate = RateRule{Table: map[string]float64{"W": c.n, "E": 0}, Unit: unit.PoundsPerAcre, Of: unit.Nitrogen}
		p, err := Prescribe(f, twoZones(t, f), a)
		require.NoError(t, err)
		require.InDelta(t, c.want, p.Zones[0].MapRate.Value, c.delta, c.source)
		require.Zero(t, p.Zones[1].MapRate.Value)
	}
}

func TestMapOfNitrogenForAmmonia(t *testing.T) {
	f := wholeField(t)
	a := sidedress(t)
	a.Source = source(t, "anhydrous-ammonia")
	a.Map = MapSpec{Of: unit.Nitrogen, Unit: unit.PoundsPerAcre}
	p, err := Prescribe(f, twoZones(t, f), a)
	require.NoError(t, err)
	require.Equal(t, 100.0, p.Zones[0].MapRate.Value, "the same unit keeps every bit")
	require.InEpsilon(t, 100/0.82, p.Zones[0].ProductRate.LbPerAcre(), 1e-12)
}

func TestRateErrorsNameTheZoneAndTheRemedy(t *testing.T) {
	f := wholeField(t)
	west := rect(t, -200, -100, -50, 100)
	east := rect(t, -50, -100, 200, 100)
	table := func(v map[string]float64) func(*Application) {
		return func(a *Application) {
			a.Rate = RateRule{Table: v, Unit: unit.PoundsPerAcre, Of: unit.Nitrogen}
		}
	}
	for _, c := range []struct {
		name   string
		change func(*Application)
		zones  []vector.Feature
		want   string
	}{
		{"null", nil, []vector.Feature{feature(7, west, "ZONE", "W", "N_LB_AC", nil)}, "zones.shp: record 7 (zone W): has no rate: column N_LB_AC is empty; write the rate for this zone; zero is a rate"},
		{"text", nil, []vector.Feature{feature(7, west, "ZONE", "W", "N_LB_AC", "high")}, `column N_LB_AC holds "high", which is not a number`},
		{"below zero", nil, []vector.Feature{feature(7, west, "ZONE", "W", "N_LB_AC", -5)}, "zones.shp: record 7 (zone W): column N_LB_AC: rate -5 is below zero"},
		{"no column", nil, []vector.Feature{feature(7, west, "ZONE", "W", "N", 5)}, "has no column N_LB_AC; its columns are ZONE, N; name one of these"},
		{"parts differ", nil, []vector.Feature{feature(7, west, "ZONE", "W", "N_LB_AC", 5), feature(9, east, "ZONE", "W", "N_LB_AC", 6)}, "record 7 (zone W): the parts of this zone differ in column N_LB_AC: 5 in record 7, 6 in record 9; give the parts one value"},
		{"not in the table", table(map[string]float64{"A": 1, "B": 2}), []vector.Feature{feature(7, west, "ZONE", "W")}, `zones.shp: record 7 (zone W): has no rate: the rate table names A, B; add "W" to the rate table; zero is a rate`},
		{"a table rate below zero", table(map[string]float64{"W": -1}), []vector.Feature{feature(7, west, "ZONE", "W")}, "rate table: zone W: rate -1 is below zero"},
		{"no unit", func(a *Application) { a.Rate.Unit = unit.RateUnit{} }, nil, "application sidedress: the rate has no unit"},
		{"not said of what", func(a *Application) { a.Rate.Of = 0 }, nil, "the rate does not say what it counts"},
		{"a map of nitrogen by volume", func(a *Application) { a.Map.Of = unit.Nitrogen }, nil, "the rate map is nitrogen in gal/ac, and nitrogen has no volume"},
		{"neither column nor table", func(a *Application) { a.Rate.Column = "" }, nil, "give either a zone column or a table"},
		{"gallons of urea", func(a *Application) { a.Source = source(t, "urea") }, nil, "source Urea has no density"},
		{"a label that runs on", func(a *Application) {
			a.Source = source(t, "urea")
			a.Source.Label = strings.Repeat("Urea ", 30)
		}, nil, "source " + strings.Repeat("Urea ", 7) + "Ur... has no density"},
		{"two tanks", func(a *Application) { a.Tank = Tank{Volume: 1, Mass: 1} }, nil, "tank: both a volume and a mass"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := sidedress(t)
			if c.change != nil {
				c.change(&a)
			}
			zones := twoZones(t, f)
			if c.zones != nil {
				zones = zonesOf(t, f, c.zones...)
			}
			_, err := Prescribe(f, zones, a)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// A zone given twice, or lost, is a fault of the overlay that must not reach a
// map.
func TestAreasThatDoNotAddUpAreRefused(t *testing.T) {
	f := wholeField(t)
	zones := twoZones(t, f)
	_, err := Prescribe(f, append(zones, zones[0]), sidedress(t))
	require.ErrorContains(t, err, "the areas of zones and unzoned ground add up to")
}

func TestRateTableComparesNumbersByValue(t *testing.T) {
	f := wholeField(t)
	a := sidedress(t)
	a.Rate = RateRule{Table: map[string]float64{"1": 100, "2": 150, "3": 1}, Unit: unit.PoundsPerAcre, Of: unit.Nitrogen}
	p, err := Prescribe(f, zonesOf(t, f,
		feature(1, rect(t, -200, -100, -50, 100), "ZONE", "01"),
		feature(2, rect(t, -50, -100, 200, 100), "ZONE", "2.0")), a)
	require.NoError(t, err)
	require.InEpsilon(t, 150.0, p.Zones[1].NRate.LbNPerAcre(), 1e-12)
	require.Contains(t, fmt.Sprint(p.Notes), "compared by value")
	require.Contains(t, p.Notes, "the rate table names zones that the field does not have: 3")
}

// Mass closes: whatever rectangles are thrown on a field with a cut-out and a
// setback, zones and unzoned ground make up the ground, no two zones overlap,
// and the nitrogen is the sum over zones.
func TestZonesAndUnzonedMakeUpTheField(t *testing.T) {
	well := outline(t, orb.Point(testPlane(t).Unproject(orb.Point{60, 40})))
	f, err := NewField("F", polygon(t, -200, -100, 200, -80, 180, 100, -190, 90),
		[]CutOut{{polygon(t, -220, -20, 210, 10, 210, 22, -220, -8), "waterway"}},
		[]Setback{{well, 15, "well"}})
	require.NoError(t, err)
	ground := m2(f.Ground)
	rapid.Check(t, func(rt *rapid.T) {
		features := drawZones(t, rt)
		o := ZoneOptions{
			Overlap:     rapid.SampledFrom([]OverlapRule{OverlapFirst, OverlapLast}).Draw(rt, "overlap"),
			Gap:         rapid.SampledFrom([]GapRule{GapUnzoned, GapFill}).Draw(rt, "gap"),
			SliverBelow: unit.SquareMetres(rapid.SampledFrom([]float64{0, 10, 500}).Draw(rt, "sliver")),
		}
		zones, _, err := NewZones(f, features, "ZONE", o)
		require.NoError(rt, err)
		p, err := Prescribe(f, zones, sidedress(t))
		require.NoError(rt, err)
		sum := m2(p.Unzoned)
		for _, z := range p.Zones {
			sum += m2(z.Region)
		}
		require.InEpsilon(rt, ground, sum, 1e-9)
		require.InDelta(rt, 0, sum2(sharedByOverlay(rt, zoneRegions(zones))), 1e-9*ground)
	})
}

func drawZones(t testing.TB, rt *rapid.T) []vector.Feature {
	n := rapid.IntRange(1, 7).Draw(rt, "features")
	out := make([]vector.Feature, n)
	for i := range out {
		x := rapid.Float64Range(-210, 150).Draw(rt, "x")
		y := rapid.Float64Range(-110, 60).Draw(rt, "y")
		w := rapid.Float64Range(20, 300).Draw(rt, "w")
		h := rapid.Float64Range(20, 150).Draw(rt, "h")
		lean := rapid.Float64Range(-8, 8).Draw(rt, "lean")
		id := rapid.SampledFrom([]string{"A", "B", "C", "D"}).Draw(rt, "id")
		rate := map[string]int{"A": 0, "B": 90, "C": 140, "D": 200}[id]
		out[i] = feature(i+1, polygon(t, x, y, x+w, y+lean, x+w-lean, y+h, x+lean, y+h-lean), "ZONE", id, "N_LB_AC", rate)
	}
	if i := rapid.IntRange(0, 3).Draw(rt, "middle"); i > 0 {
		// A zone in the middle of the field, so that one is always on it.
		out = append(out, feature(n+1, rect(t, -30, -60, float64(i), -30), "ZONE", "A", "N_LB_AC", 0))
	} else {
		out = append(out, feature(n+1, outline(t, orb.Polygon{ringOf(testPlane(t), -90, -60, -30, -60, -30, -30)}), "ZONE", "B", "N_LB_AC", 90))
	}
	return out
}
