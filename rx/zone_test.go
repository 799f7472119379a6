package rx

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

func m2(r geo.Region) float64 { return r.Area().SquareMetres() }

func TestPartsWithOneIDAreOneZoneCutToTheField(t *testing.T) {
	f := wholeField(t)
	zones, notes, err := NewZones(f, []vector.Feature{
		feature(1, rect(t, -900, -100, -100, 100), "ZONE", "A"), // 100 m of it on the field
		feature(2, rect(t, -100, -100, 100, 100), "ZONE", "B"),
		feature(3, rect(t, 100, -100, 200, 900), "ZONE", " A "),
		feature(4, rect(t, 500, 500, 600, 600), "ZONE", "C"), // off the field
	}, "zone", DefaultZoneOptions())
	require.NoError(t, err)
	require.Len(t, zones, 2)
	require.Equal(t, "A", zones[0].ID)
	require.InEpsilon(t, 40000.0, m2(zones[0].Region), 1e-7)
	require.Len(t, zones[0].Region.Polygons(), 2)
	require.InEpsilon(t, 40000.0, m2(zones[1].Region), 1e-7)
	require.Equal(t, []string{"1 zone outside the field's ground left out: C"}, notes)
}

func TestZoneErrorsNameFileAndRecord(t *testing.T) {
	f := wholeField(t)
	whole := rect(t, -200, -100, 200, 100)
	line := outline(t, orb.LineString{orb.Point(place), {-93.601, 42.03}})
	for _, c := range []struct {
		name string
		in   vector.Feature
		want string
	}{
		{"no such column", feature(3, whole, "ID", "A", "TEX", "loam"), `zones.shp: record 3: has no column "ZONE" for the zone id; its columns are ID, TEX; name one of these as id`},
		{"a null id", feature(3, whole, "ZONE", nil), "zones.shp: record 3: the zone id in column ZONE is empty; give every zone an id"},
		{"an id that no table holds", feature(3, whole, "ZONE", strings.Repeat("é", 128)), "has 256 bytes, more than the 254 that a map can hold; shorten it"},
		{"a blank id", feature(3, whole, "ZONE", "  "), "zones.shp: record 3: the zone id in column ZONE is empty"},
		{"an id of ours", feature(3, whole, "ZONE", "unzoned"), `zones.shp: record 3: the zone id "unzoned" is kept for ground without a zone`},
		{"a line", feature(3, line, "ZONE", "A"), "zones.shp: record 3: is not an area; zones must be polygons"},
		{"a bow-tie", feature(3, polygon(t, -200, -100, 200, 100, 200, -100, -200, 100), "ZONE", "A"), "zones.shp: record 3: "},
		{"another field", feature(3, rect(t, 900, 900, 950, 950), "ZONE", "A"), "zones.shp: none of its 1 zone lies on the field; check that zones and boundary belong together"},
		{"another continent", feature(3, outline(t, orb.Polygon{{{10, 50}, {11, 50}, {11, 51}, {10, 50}}}), "ZONE", "A"), "zones.shp: none of its 1 zone lies on the field"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := NewZones(f, []vector.Feature{c.in}, "ZONE", DefaultZoneOptions())
			require.ErrorContains(t, err, c.want)
		})
	}
	_, _, err := NewZones(f, nil, "ZONE", DefaultZoneOptions())
	require.ErrorContains(t, err, "none of its 0 zones lies on the field")
}

// A is the west 210 m, B the east 210 m: they overlap by 20 m x 200 m = 4000 m2,
// 5 % of the field.
func TestOverlapOfZones(t *testing.T) {
	f := wholeField(t)
	features := []vector.Feature{
		feature(1, rect(t, -200, -100, 10, 100), "ZONE", "A"),
		feature(2, rect(t, -10, -100, 200, 100), "ZONE", "B"),
	}
	o := DefaultZoneOptions()
	_, _, err := NewZones(f, features, "ZONE", o)
	require.ErrorContains(t, err, "zones.shp: record 2 (zone B): overlaps zone A by 4000 m2; all overlaps together are 4000 m2 (5 % of the field), above the 80 m2 allowed")
	for _, c := range []struct {
		rule OverlapRule
		a, b float64
		word string
	}{{OverlapFirst, 42000, 38000, "first"}, {OverlapLast, 38000, 42000, "last"}} {
		o.Overlap = c.rule
		zones, notes, err := NewZones(f, features, "ZONE", o)
		require.NoError(t, err)
		require.InEpsilon(t, c.a, m2(zones[0].Region), 1e-7)
		require.InEpsilon(t, c.b, m2(zones[1].Region), 1e-7)
		require.Equal(t, []string{"1 pair of zones overlap by 4000 m2 (5 % of the field) together; the zone that comes " + c.word + " in the file keeps that ground"}, notes)
	}
	o.Overlap, o.OverlapTolerance = OverlapRefuse, 0.051
	zones, _, err := NewZones(f, features, "ZONE", o)
	require.NoError(t, err)
	require.InEpsilon(t, 42000.0, m2(zones[0].Region), 1e-7, "below the tolerance the first keeps the ground")
}

func TestZoneUnderOthersIsNoted(t *testing.T) {
	o := DefaultZoneOptions()
	o.Overlap = OverlapFirst
	zones, notes, err := NewZones(wholeField(t), []vector.Feature{
		feature(1, rect(t, -200, -100, 200, 100), "ZONE", "A"),
		feature(2, rect(t, -10, -10, 10, 10), "ZONE", "B"),
	}, "ZONE", o)
	require.NoError(t, err)
	require.Len(t, zones, 1)
	require.Contains(t, notes, "1 zone left out, covered by other zones: B")
}

// A west, B east, and a gap of 10 m x 200 m between them, twice as long beside
// B as beside A because A ends half way up; C fills that corner.
func TestGapsBetweenZones(t *testing.T) {
	f := wholeField(t)
	features := []vector.Feature{
		feature(1, rect(t, -200, -100, -10, 0), "ZONE", "A"),
		feature(2, rect(t, 0, -100, 200, 100), "ZONE", "B"),
		feature(3, rect(t, -200, 0, -10, 100), "ZONE", "C"),
	}
	o := DefaultZoneOptions()
	zones, notes, err := NewZones(f, features, "ZONE", o)
	require.NoError(t, err)
	require.InEpsilon(t, 40000.0, m2(zones[1].Region), 1e-7)
	require.Equal(t, []string{"no zone covers 2000 m2 (2.5 % of the field): no rate is prescribed there, and the map says zero"}, notes)

	o.Gap = GapFill
	zones, notes, err = NewZones(f, features, "ZONE", o)
	require.NoError(t, err)
	require.InEpsilon(t, 42000.0, m2(zones[1].Region), 1e-7)
	require.InEpsilon(t, 19000.0, m2(zones[0].Region), 1e-7)
	require.Len(t, notes, 1)
	require.Contains(t, notes[0], "gaps between zones of 2000 m2 (2.5 % of the field) together went to the zone each shares its longest edge with")

	o.Gap = GapRefuse
	_, _, err = NewZones(f, features, "ZONE", o)
	require.ErrorContains(t, err, "zones.shp: no zone covers 2000 m2 (2.5 % of the field), above the 80 m2 allowed; extend the zones to the boundary")

	o.Gap, o.SliverBelow = GapUnzoned, unit.SquareMetres(2001)
	zones, _, err = NewZones(f, features, "ZONE", o)
	require.NoError(t, err)
	require.InEpsilon(t, 42000.0, m2(zones[1].Region), 1e-7, "a gap below the sliver limit is closed")
}

// A strip of 0.4 m x 20 m of zone S lies between A (20 m of edge) and B (its
// 0.4 m end): it goes to A, although B comes first.
func TestSliverGoesToTheLongestSharedEdge(t *testing.T) {
	f := wholeField(t)
	features := []vector.Feature{
		feature(1, rect(t, -200, 0, 200, 100), "ZONE", "B"),
		feature(2, rect(t, -0.4, -20, 0, 0), "ZONE", "S"),
		feature(3, polygon(t, -200, -100, 200, -100, 200, 0, 0, 0, 0, -20, -0.4, -20, -0.4, 0, -200, 0), "ZONE", "A"),
		feature(4, rect(t, 150, 50, 200, 100), "ZONE", "S"),
	}
	o := DefaultZoneOptions()
	o.Overlap = OverlapLast // the second part of S keeps its corner of B
	zones, notes, err := NewZones(f, features, "ZONE", o)
	require.NoError(t, err)
	require.Len(t, zones, 3)
	require.InEpsilon(t, 37500.0, m2(zones[0].Region), 1e-7)
	require.InEpsilon(t, 2500.0, m2(zones[1].Region), 1e-7, "S keeps its large part")
	require.InEpsilon(t, 40000.0, m2(zones[2].Region), 1e-7)
	require.Contains(t, notes, "1 sliver below 10 m2 (8 m2 together) merged into the zone each shares its longest edge with")
}

// A zone that is all sliver goes, and the note says so. A small zone without a
// neighbour stays.
func TestZoneThatIsASliver(t *testing.T) {
	f := wholeField(t)
	zones, notes, err := NewZones(f, []vector.Feature{
		feature(1, rect(t, -200, -100, 0, 100), "ZONE", "A"),
		feature(2, rect(t, 0, 0, 3, 3), "ZONE", "S"),
		feature(3, rect(t, 100, 0, 103, 3), "ZONE", "T"),
	}, "ZONE", DefaultZoneOptions())
	require.NoError(t, err)
	require.Len(t, zones, 2)
	require.InEpsilon(t, 40009.0, m2(zones[0].Region), 1e-7)
	require.Equal(t, "T", zones[1].ID)
	require.Contains(t, notes, "1 zone left out, slivers throughout: S")
	require.Contains(t, notes, "1 piece below 10 m2 that join no other zone left as drawn")
}

// A piece of S lies half a millimetre from A and from B: near enough to share
// an edge with both and too far to be joined with either. It goes to one of them
// and not to and fro for ever.
func TestSliverAcrossACrackMovesOnce(t *testing.T) {
	f := wholeField(t)
	zones, _, err := NewZones(f, []vector.Feature{
		feature(1, rect(t, -200, -100, 0, 100), "ZONE", "A"),
		feature(2, rect(t, 0.0005, 0, 2, 2), "ZONE", "S"),
		feature(3, rect(t, 2.0005, -100, 200, 100), "ZONE", "B"),
	}, "ZONE", DefaultZoneOptions())
	require.NoError(t, err)
	require.Len(t, zones, 2)
	require.InEpsilon(t, m2(f.Ground), m2(zones[0].Region)+m2(zones[1].Region)+m2(mustUnzoned(t, f, zones)), 1e-9)
}

func mustUnzoned(t testing.TB, f Field, zones []Zone) geo.Region {
	t.Helper()
	r, err := unzoned(f, zoneRegions(zones))
	require.NoError(t, err)
	return r
}

func TestAnIDThatCannotBePrintedNamesFileRecordAndColumn(t *testing.T) {
	f := wholeField(t)
	for _, c := range []struct{ id, shown string }{
		{"B\x01", `"B\x01"`}, {"two\nlines", `"two\nlines"`}, {"red\x1b[31m", `"red\x1b[31m"`}, {"right\u202eleft", `"right\u202eleft"`}, {"\u0085x\u0085y", `"x\u0085y"`},
	} {
		features := []vector.Feature{
			feature(1, rect(t, -200, -100, 0, 100), "ZONE", "A", "N_LB_AC", 100),
			feature(2, rect(t, 0, -100, 200, 100), "ZONE", c.id, "N_LB_AC", 100),
		}
		want := "zones.shp: record 2: the zone id " + c.shown + " in column ZONE holds a character that cannot be printed; write the id in letters, digits and marks on one line"
		_, _, err := NewZones(f, features, "ZONE", DefaultZoneOptions())
		require.EqualError(t, err, want)
		layer := vector.Layer{Path: "zones.shp", Columns: []vector.Column{{Name: "ZONE"}, {Name: "N_LB_AC"}}, Features: features}
		_, _, err = ReadRateMap(layer, f, RateMapSpec{Column: "N_LB_AC", ID: "ZONE", Unit: unit.PoundsPerAcre, Of: unit.Nitrogen, Source: source(t, "urea")})
		require.EqualError(t, err, want)
	}
	_, _, err := NewZones(f, []vector.Feature{feature(1, rect(t, -200, -100, 0, 100), "ZONE", "Süd\u00a0№ 3 (東)")}, "ZONE", DefaultZoneOptions())
	require.NoError(t, err)
}
