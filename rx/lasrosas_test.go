package rx

import (
	"encoding/csv"
	"os"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// The Las Rosas trial of 1999: cells of about 46 m2 with their N in kg/ha.
// Source: Anselin, Bongiovanni & Lowenberg-DeBoer 2004, Amer. J. Agr. Econ. 86:
// 675-687, by way of geodaData, CC0.

// cells reads such a file: a column OBS, one N, one wkt.
func cells(t testing.TB, path string) []vector.Feature {
	t.Helper()
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var out []vector.Feature
	for i, row := range rows[1:] {
		g, err := wkt.Unmarshal(row[column["wkt"]])
		require.NoError(t, err)
		f := feature(i+1, outline(t, g), "OBS", row[column["OBS"]], "N", row[column["N"]])
		f.At.File = "cells.csv"
		out = append(out, f)
	}
	return out
}

// trial prescribes the trial's own rates on the ground of all its cells, with
// one zone for each distinct text of a column.
func trial(t testing.TB, features []vector.Feature, idColumn string) (Prescription, []string) {
	t.Helper()
	var all orb.MultiPolygon
	for _, f := range features {
		all = append(all, f.Outline.Polygons()...)
	}
	field, err := NewField("Las Rosas", outline(t, all), nil, nil)
	require.NoError(t, err)
	o := DefaultZoneOptions()
	o.SliverBelow = 0
	zones, notes, err := NewZones(field, features, idColumn, o)
	require.NoError(t, err)
	p, err := Prescribe(field, zones, Application{
		Name: "1999", Source: source(t, "urea"),
		Rate: RateRule{Column: "N", Unit: unit.KgPerHectare, Of: unit.Nitrogen},
		Map:  MapSpec{Of: unit.Nitrogen, Unit: unit.KgPerHectare},
	})
	require.NoError(t, err)
	return p, notes
}

// Twenty-eight cells, all six rates, of the trial. Area and nitrogen were summed cell by cell on the
// WGS 84 ellipsoid, by the closed form of the area below a parallel (Snyder
// 1987, eq. 3-12) along the edges.
func TestSomeCellsOfATrial(t *testing.T) {
	features := cells(t, "testdata/lasrosas_1999_cells.csv")
	for _, id := range []string{"OBS", "N"} {
		p, _ := trial(t, features, id)
		require.InDelta(t, 1276.5747586708385, p.ZoneArea().SquareMetres(), 1e-4, id)
		require.InDelta(t, 7.618415721675728, p.Nitrogen().Kilograms(), 1e-6, id)
		require.InDelta(t, 0, p.Unzoned.Area().SquareMetres(), 1e-6)
		m, err := p.RateMap()
		require.NoError(t, err)
		sharedVertices(t, m)
		require.Empty(t, Refused(CheckRateMap(m, p.Field, Limits{}, DefaultCheckOptions())))
	}
}

// The whole trial: 7.902151 ha and 508.0301 kg N, the figures that come with
// the data. Then the map is written and read as a stranger's: the same again.
func TestWholeTrialAsAPrescription(t *testing.T) {
	features := cells(t, sharedData(t, "lasrosas/lasrosas_1999_cells.csv"))
	require.Len(t, features, 1738)
	for _, id := range []string{"OBS", "N"} {
		start := time.Now()
		p, notes := trial(t, features, id)
		require.InDelta(t, 7.902151, p.ZoneArea().Hectares(), 5e-7, id)
		require.InDelta(t, 508.0301, p.Nitrogen().Kilograms(), 1e-4, id)
		m, err := p.RateMap()
		require.NoError(t, err)
		require.Empty(t, Refused(CheckRateMap(m, p.Field, Limits{}, DefaultCheckOptions())))
		s, _ := written(t, p, m)
		require.NoError(t, m.Compare(s))
		zones, _, err := ReadRateMap(s, p.Field, RateMapSpec{Column: "KG_N_HA", Unit: unit.KgPerHectare, Of: unit.Nitrogen, Source: p.Application.Source})
		require.NoError(t, err)
		var sum unit.Mass
		for _, z := range zones {
			sum += z.Nitrogen()
		}
		require.InEpsilon(t, 508.0301, sum.Kilograms(), 1e-5)
		t.Log(id, len(p.Zones), "zones", len(m.Features), "polygons", time.Since(start), notes)
	}
}
