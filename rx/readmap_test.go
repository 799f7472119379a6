package rx

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

func layerOf(features ...vector.Feature) vector.Layer {
	l := vector.Layer{Path: "other.geojson", Features: features}
	if len(features) > 0 {
		for _, a := range features[0].Attributes {
			l.Columns = append(l.Columns, vector.Column{Name: a.Name})
		}
	}
	return l
}

func gallons(t testing.TB) RateMapSpec {
	return RateMapSpec{Column: "RATE", Unit: unit.GallonsPerAcre, Of: unit.Product, Source: source(t, "uan-28")}
}

// Our own map read back is the prescription, to the map's last digit and the
// rounding of its vertices.
func TestOwnMapReadBackIsThePrescription(t *testing.T) {
	p, m := busyMap(t)
	s, g := written(t, p, m)
	spec := RateMapSpec{Column: "GAL_AC", Unit: unit.GallonsPerAcre, Of: unit.Product, Source: p.Application.Source}
	for _, l := range []vector.Layer{s, g} {
		zones, _, err := ReadRateMap(l, p.Field, spec)
		require.NoError(t, err)
		byID := map[string]RateZone{}
		for _, z := range zones {
			byID[z.ZoneID] = z
		}
		require.Len(t, byID, len(p.Zones)+1, "the zones and unzoned ground; off limits is not ground")
		sum := 0.0
		for _, z := range p.Zones {
			got := byID[z.ZoneID]
			require.InDelta(t, z.MapRate.Value, got.MapRate.Value, 0.005, z.ZoneID)
			require.InEpsilon(t, m2(z.Region), m2(got.Region), 1e-5)
			sum += got.Nitrogen().Kilograms()
		}
		require.InEpsilon(t, p.Nitrogen().Kilograms(), sum, 3e-4)
		require.Zero(t, byID[UnzonedID].NRate)
	}
}

// Purdue (Camberato 2023): 20 gal/ac of
// UAN 28 at 10.6 lb/gal is 59.4 lb N/ac; at this project's 10.67 lb/gal it is
// 59.75, which is inside the 1 % that densities differ by.
func TestStrangersMapInGallons(t *testing.T) {
	f := wholeField(t)
	zones, notes, err := ReadRateMap(layerOf(
		feature(1, rect(t, -300, -100, 0, 100), "RATE", 20),
		feature(2, rect(t, 0, -100, 100, 100), "RATE", "0"),
		feature(3, rect(t, 300, -100, 400, 100), "RATE", nil), // off the field: no rate needed
	), f, gallons(t))
	require.NoError(t, err)
	require.Len(t, zones, 2)
	require.InEpsilon(t, 59.4, zones[0].NRate.LbNPerAcre(), 0.01)
	require.Equal(t, []Reason{"20 gal/ac from column RATE of the rate map"}, zones[0].Reasons)
	require.Equal(t, "1", zones[0].ZoneID)
	require.InEpsilon(t, 40000.0, m2(zones[0].Region), 1e-7)
	require.Equal(t, []string{
		"the rate map has no column ZONE_ID, so its records are named by their numbers",
		"1 record of the rate map outside the field's ground left out",
		"the rate map has no rate on 4.942 ac of the field; that counts as zero",
	}, notes)
}

func TestRecordsOfOneIDAndRateAreOneZone(t *testing.T) {
	zones, _, err := ReadRateMap(layerOf(
		feature(1, rect(t, -200, -100, -100, 100), "ZONE_ID", "A", "RATE", 20),
		feature(2, rect(t, -100, -100, 0, 100), "ZONE_ID", "B", "RATE", 20),
		feature(3, rect(t, 0, -100, 100, 100), "ZONE_ID", "A", "RATE", 20),
		feature(4, rect(t, 100, -100, 200, 100), "ZONE_ID", "A", "RATE", 25),
	), wholeField(t), gallons(t))
	require.NoError(t, err)
	require.Len(t, zones, 3)
	for i, want := range []struct {
		id   string
		rate float64
		m2   float64
	}{{"A", 20, 40000}, {"B", 20, 20000}, {"A", 25, 20000}} {
		require.Equal(t, want.id, zones[i].ZoneID)
		require.Equal(t, want.rate, zones[i].MapRate.Value)
		require.InEpsilon(t, want.m2, m2(zones[i].Region), 1e-7)
	}
}

func TestRateMapErrors(t *testing.T) {
	west, east := rect(t, -200, -100, 1, 100), rect(t, -1, -100, 200, 100)
	for _, c := range []struct {
		name  string
		layer vector.Layer
		spec  func(*RateMapSpec)
		want  string
	}{
		{"null rate", layerOf(feature(1, east, "RATE", 1), feature(8, west, "RATE", nil)), nil, "other.geojson: record 8: the rate in column RATE is missing; write the rate; zero is a rate"},
		{"missing rate", layerOf(feature(1, east, "RATE", 1), feature(8, west, "ID", 1)), nil, "other.geojson: record 8: the rate in column RATE is missing"},
		{"text", layerOf(feature(8, west, "RATE", "20 gal")), nil, `record 8: the rate in column RATE is "20 gal", which is not a number`},
		{"below zero", layerOf(feature(8, west, "RATE", -1)), nil, "record 8: column RATE: rate -1 is below zero"},
		{"no column", layerOf(feature(8, west, "GAL", 1, "ID", 2)), nil, `other.geojson: has no column "RATE" for the rate; its columns are GAL, ID; name one of these`},
		{"overlap", layerOf(feature(1, west, "RATE", 1), feature(2, east, "RATE", 2)), func(s *RateMapSpec) { s.Units = unit.SI }, "other.geojson: records 1 and 2 overlap by 400 m2; all overlaps together are 400 m2, above the 80 m2 allowed; one spot must have one rate"},
		{"overlap in feet", layerOf(feature(1, west, "RATE", 1), feature(2, east, "RATE", 2)), nil, "other.geojson: records 1 and 2 overlap by 4306 sq ft; all overlaps together are 4306 sq ft, above the 861 sq ft allowed; one spot must have one rate"},
		{"another field", layerOf(feature(1, rect(t, 800, 0, 900, 50), "RATE", 1)), nil, "other.geojson: none of its 1 record lies on the field"},
		{"no unit", layerOf(feature(1, west, "RATE", 1)), func(s *RateMapSpec) { s.Unit = unit.RateUnit{} }, "its rate has no unit"},
		{"not said of what", layerOf(feature(1, west, "RATE", 1)), func(s *RateMapSpec) { s.Of = 0 }, "does not say what it counts"},
		{"points", layerOf(feature(3, outline(t, orb.Point(place)), "RATE", 1)), nil, "record 3: is not an area"},
		{"an empty id", layerOf(feature(3, west, "RATE", 1, "ZONE_ID", "")), nil, "record 3: the zone id in column ZONE_ID is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec := gallons(t)
			if c.spec != nil {
				c.spec(&spec)
			}
			_, _, err := ReadRateMap(c.layer, wholeField(t), spec)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// Two records overlap by 40 m2 of 80,000, below the tolerance: the first keeps
// the ground and nothing is counted twice.
func TestSmallOverlapGoesToTheFirstRecord(t *testing.T) {
	zones, _, err := ReadRateMap(layerOf(
		feature(1, rect(t, -200, -100, 0.1, 100), "RATE", 10),
		feature(2, rect(t, -0.1, -100, 200, 100), "RATE", 20),
	), wholeField(t), gallons(t))
	require.NoError(t, err)
	require.InEpsilon(t, 40020.0, m2(zones[0].Region), 1e-7)
	require.InEpsilon(t, 39980.0, m2(zones[1].Region), 1e-7)
}
