package job

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

// The made-up survey area: 250 x 200 polygons of 0.0016 x 0.002 degrees, some 130 m x 220 m,
// with 64 corners each, of 500 map units.
const (
	countyCols, countyRows = 250, 200
	countyUnits            = 500
	cellLon, cellLat       = 0.0016, 0.002
	countyWest, countySou  = -93.8, 42.0
)

// mapUnit is the outline of one cell, its edges wavy alike for both neighbours.
func mapUnit(col, row int) orb.Polygon {
	const perSide = 16
	corner := func(u, v float64) orb.Point {
		wave := 0.08 * math.Sin(2*math.Pi*u) * math.Sin(2*math.Pi*v*3)
		return orb.Point{countyWest + cellLon*(float64(col)+u+wave*v*(1-v)), countySou + cellLat*(float64(row)+v+wave*u*(1-u))}
	}
	var ring orb.Ring
	for side := range 4 {
		for i := range perSide {
			t := float64(i) / perSide
			at := [4][2]float64{{t, 0}, {1, t}, {1 - t, 1}, {0, 1 - t}}[side]
			ring = append(ring, corner(at[0], at[1]))
		}
	}
	return orb.Polygon{append(ring, ring[0])}
}

// county writes the survey area into a folder: mapunits.shp with its parts, the tables, and
// a job whose field of 800 m x 800 m lies in its middle.
func county(t testing.TB) string {
	dir := t.TempDir()
	write := func(name string, data []byte) {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
	fields := []vector.Field{{Name: "AREASYMBOL", Type: 'C', Length: 20}, {Name: "MUSYM", Type: 'C', Length: 6}, {Name: "MUKEY", Type: 'C', Length: 30}}
	var shapes []vector.Shape
	for row := range countyRows {
		for col := range countyCols {
			unit := (col*7 + row*13) % countyUnits
			shapes = append(shapes, vector.Shape{Polygons: orb.MultiPolygon{mapUnit(col, row)}, Values: []any{"XX000", fmt.Sprintf("S%d", unit), fmt.Sprint(unit)}})
		}
	}
	parts, err := vector.EncodeShapefile(fields, shapes, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
	require.NoError(t, err)
	for ext, data := range map[string][]byte{".shp": parts.SHP, ".shx": parts.SHX, ".dbf": parts.DBF, ".prj": parts.PRJ, ".cpg": parts.CPG} {
		write("mapunits"+ext, data)
	}
	var units, components, horizons strings.Builder
	units.WriteString("musym,muname,mukey\n")
	components.WriteString("comppct_r,compname,drainagecl,hydgrp,mukey,cokey\n")
	horizons.WriteString("hzname,hzdept_r,hzdepb_r,om_l,om_r,om_h,sandtotal_r,silttotal_r,claytotal_r,ph1to1h2o_r,cec7_r,cokey\n")
	for u := range countyUnits {
		fmt.Fprintf(&units, "S%d,A made up soil,%d\n", u, u)
		for c := range 5 {
			fmt.Fprintf(&components, "20,Series,Well drained,B,%d,%d\n", u, u*10+c)
			for h := range 6 {
				fmt.Fprintf(&horizons, "H,%d,%d,1,%g,4,40,38,22,6.5,20,%d\n", 20*h, 20*h+20, 1+float64(u%5)/2, u*10+c)
			}
		}
	}
	write("soil/mapunit.csv", []byte(units.String()))
	write("soil/component.csv", []byte(components.String()))
	write("soil/chorizon.csv", []byte(horizons.String()))
	west, south := countyWest+125*cellLon, countySou+100*cellLat
	write("boundary.geojson", fmt.Appendf(nil, `{"type":"Polygon","coordinates":[[[%[1]f,%[2]f],[%[3]f,%[2]f],[%[3]f,%[4]f],[%[1]f,%[4]f],[%[1]f,%[2]f]]]}`, west, south, west+0.0097, south+0.0072))
	write("job.yaml", []byte(`field: {name: Made up, boundary: boundary.geojson}
zones: {file: mapunits.shp, id: MUSYM, soil: {tables: soil}}
applications:
  - name: a
    source: urea
    rate: {method: organic-matter, yield: 200 bu/ac, nitrate: 3 ppm, organic_matter: {column: OM_PCT, unit: "%"}}
`))
	return filepath.Join(dir, "job.yaml")
}

// BenchmarkCounty reads a soil survey of 50,000 polygons and its tables, cuts it to one
// field and works the rates out.
func BenchmarkCounty(b *testing.B) {
	path := county(b)
	for b.Loop() {
		j, err := Load(path)
		require.NoError(b, err)
		r, err := j.Rates("a")
		require.NoError(b, err)
		require.Greater(b, len(r.Zones), 20)
	}
}
