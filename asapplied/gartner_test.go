package asapplied

import (
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// TestRealHarvestLogCovers reads a machine log of a Minnesota corn field (University of
// Minnesota class data in the open package agridat, CC BY-SA 3.0; two records out
// of order, 34 with a partial swath, no heading, no rate, no depth) against the
// soil map units of the field (USDA-NRCS SSURGO, public domain). An independent
// polygon overlay (GEOS, quads between bars square to the course between the
// neighbouring records, sorted by time, gaps above 5 s) gives 26.6545 ha.
func TestRealHarvestLogCovers(t *testing.T) {
	dir := dataDir(t, "gartner")
	soils, err := vector.Read(filepath.Join(dir, "soilmu_a_aoi.shp"), vector.Options{})
	require.NoError(t, err)
	var mp orb.MultiPolygon
	for _, f := range soils.Features {
		mp = append(mp, f.Outline.Polygons()...)
	}
	outline, err := geo.NewOutline(mp)
	require.NoError(t, err)
	field, err := rx.NewField("real field", outline, nil, nil)
	require.NoError(t, err)
	zones, _, err := rx.NewZones(field, soils.Features, "MUSYM", rx.ZoneOptions{})
	require.NoError(t, err)
	require.Len(t, zones, 5)
	log, err := ReadLog(LogSpec{
		Files:   []string{filepath.Join(dir, "gartner_corn_rawlog.csv")},
		Columns: map[string][]string{"time": {"Time"}, "lon": {"Longitude"}, "lat": {"Latitude"}, "width": {"Swath"}},
		Units:   map[string]string{"width": "in"},
	})
	require.NoError(t, err)
	r := mustReconcile(t, Input{
		Field: field, Zones: zones, Tolerance: 0.1, MinPatch: unit.Acres(0.01),
		Drives: []Drive{{Log: log, Machine: Machine{Name: "harvester"}, MaxGap: unit.Seconds(5)}},
	})
	require.InDelta(t, 34.18820, r.Area.Field/1e4, 1e-4, "ha of the field on the ellipsoid")
	require.InDelta(t, 26.654, r.Area.Covered/1e4, 0.01, "ha covered")
	require.Equal(t, Known{}, r.Known, "neither plan nor rate nor depth")
	require.Nil(t, r.JSON().NitrogenKg.Applied)
	require.Nil(t, r.JSON().AreaM2.Shallow)
	require.Equal(t, 4949, r.Records.Read)
	require.Equal(t, map[string]int{DropNoGround: 87, DropNoHeading: 1}, r.Records.Dropped,
		"the last record before each of 87 gaps and of the log, one of which stands alone and has no course")
}

// TestSmallHarvestLogCovers is a made-up log of the same kind: 24 records 3 m apart on a
// way to north with a gap after the tenth, two out of order, and half of the bar for
// the last four. By hand: 9 steps of the whole bar of 6.096 m on either side of the gap,
// one in which it narrows to half, and 3 of half of it; the way sways by 0.17 m, which
// the tolerance allows for.
func TestSmallHarvestLogCovers(t *testing.T) {
	ring := orb.Ring{{-93.6003, 42.0299}, {-93.5997, 42.0299}, {-93.5997, 42.0308}, {-93.6003, 42.0308}, {-93.6003, 42.0299}}
	outline, err := geo.NewOutline(orb.MultiPolygon{{ring}})
	require.NoError(t, err)
	field, err := rx.NewField("small field", outline, nil, nil)
	require.NoError(t, err)
	log, err := ReadLog(LogSpec{
		Files:   []string{"testdata/harvest.csv"},
		Columns: map[string][]string{"time": {"Time"}, "lon": {"Longitude"}, "lat": {"Latitude"}, "width": {"Swath"}},
		Units:   map[string]string{"width": "in"},
	})
	require.NoError(t, err)
	r := mustReconcile(t, Input{
		Field: field, Tolerance: 0.1,
		Drives: []Drive{{Log: log, Machine: Machine{Name: "harvester"}, MaxGap: unit.Seconds(5)}},
	})
	const step = 2.7e-5 * 111_069 // m of latitude at 42.03 degrees, from memory
	require.InEpsilon(t, step*(18*6.096+4.572+3*3.048), r.Area.Covered, 0.003)
	require.Equal(t, Known{}, r.Known, "neither plan nor rate nor depth")
	require.Nil(t, r.JSON().NitrogenKg.Applied)
	require.Nil(t, r.JSON().AreaM2.Shallow)
	require.Equal(t, 24, r.Records.Read)
	require.Equal(t, map[string]int{DropNoGround: 2}, r.Records.Dropped, "the last before the gap and the last of all")
}
