package job

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
	"github.com/stretchr/testify/require"
)

// cell is a plot of a trial as a polygon with its attributes.
type cell struct {
	ring       orb.Ring
	zone       string
	rate, crop float64
}

// cellsJob writes cells of a trial as polygons, which are the field, its zones by TOPO, and
// the trial all at once, and works the rates out.
func cellsJob(t *testing.T, cells []cell) Rated {
	t.Helper()
	dir := t.TempDir()
	var features []any
	for _, c := range cells {
		features = append(features, map[string]any{
			"type": "Feature", "properties": map[string]any{"TOPO": c.zone, "N": c.rate, "YIELD": c.crop},
			"geometry": map[string]any{"type": "Polygon", "coordinates": []orb.Ring{c.ring}},
		})
	}
	data, err := json.Marshal(map[string]any{"type": "FeatureCollection", "features": features})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "cells.geojson"), data, 0o666))
	path := filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(path, []byte(`units: si
field: {name: strips, boundary: cells.geojson}
zones: {file: cells.geojson, id: TOPO}
prices: {nitrogen: 0.4348 $/kg, corn: 6.85 $/q}
applications:
  - name: n
    source: urea
    rate:
      method: response
      model: quadratic
      trial: {file: cells.geojson, columns: {n_rate: N, yield: YIELD, zone: TOPO}, units: {n_rate: kg/ha, yield: q/ha}}
`), 0o666))
	j, err := Load(path)
	require.NoError(t, err)
	r, err := j.Rates("")
	require.NoError(t, err)
	return r
}

// rateOfJSON are the rates of zones as rates.json prints them.
func rateOfJSON(t *testing.T, r Rated) map[string]float64 {
	t.Helper()
	var doc struct {
		Zones []struct {
			ID   string  `json:"id"`
			Rate float64 `json:"n_rate_kg_ha"`
		} `json:"zones"`
	}
	require.NoError(t, json.Unmarshal([]byte(written(t, r.Set)["rates.json"]), &doc))
	out := map[string]float64{}
	for _, z := range doc.Zones {
		out[z.ID] = z.Rate
	}
	return out
}

// The trial of Las Rosas, 1999, as 1,738 polygons with their yield and nitrogen: the
// optimum of each topographic zone (1 low east, 2 slope east, 3 hilltop, 4 slope west).
// Source: Anselin, Bongiovanni & Lowenberg-DeBoer 2004, Amer. J. Agr. Econ. 86:675-687, by
// way of geodaData, CC0; optima by ordinary least squares, at the prices of the paper.
func TestATrialOfPolygonsGivesTheOptimumOfEachZone(t *testing.T) {
	path := filepath.Join("..", "..", "..", "..", "..", "shared", "data", "lasrosas", "lasrosas_1999_cells.csv")
	file, err := os.Open(path)
	if os.IsNotExist(err) {
		t.Skipf("the open data is not beside the project: %s; TestASmallTrialOfPolygons holds cells made up", path)
	}
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var cells []cell
	for _, row := range rows[1:] {
		g, err := wkt.UnmarshalPolygon(row[column["wkt"]])
		require.NoError(t, err)
		rate, err := strconv.ParseFloat(row[column["N"]], 64)
		require.NoError(t, err)
		crop, err := strconv.ParseFloat(row[column["YIELD"]], 64)
		require.NoError(t, err)
		cells = append(cells, cell{g[0], row[column["TOPO"]], rate, crop})
	}
	require.Len(t, cells, 1738)
	got := rateOfJSON(t, cellsJob(t, cells))
	require.Len(t, got, 4)
	for id, want := range map[string]float64{"4": 85.879, "3": 99.938, "2": 49.904, "1": 46.321} {
		require.InDelta(t, want, got[id], 0.01, "zone %s", id)
	}
}

// The same with cells made up: yields lie as far above a parabola as below it, so that
// the fit is that parabola and the optimum (r - b) / 2c, with r 0.4348 / 0.0685.
func TestASmallTrialOfPolygons(t *testing.T) {
	curves := map[string][3]float64{"E": {60, 0.2, -0.0008}, "W": {50, 0.3, -0.001}} // q/ha
	var cells []cell
	for row, zone := range []string{"E", "W"} {
		k := curves[zone]
		for col := range 10 {
			n := float64(col/2) * 40
			x, y := -63.85+float64(col)*0.001, -33.05+float64(row)*0.001
			ring := orb.Ring{{x, y}, {x + 0.001, y}, {x + 0.001, y + 0.001}, {x, y + 0.001}, {x, y}}
			cells = append(cells, cell{ring, zone, n, k[0] + k[1]*n + k[2]*n*n + float64(col%2*2-1)*0.5})
		}
	}
	r := cellsJob(t, cells)
	got := rateOfJSON(t, r)
	for zone, k := range curves {
		require.InDelta(t, (0.4348/6.85-k[1])/(2*k[2]), got[zone], 1e-6, zone)
	}
	require.Contains(t, strings.Join(r.Result.Findings, "\n"), "rates by zone bring")
	require.Contains(t, strings.Join(r.Notes, "\n"), "in-sample")
	require.Contains(t, fmt.Sprint(r.Result.Zones[0].Reasons), "Fieller")
}
