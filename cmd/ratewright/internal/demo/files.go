package demo

import (
	"bytes"
	_ "embed"
	"fmt"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// JobFile is the name of the job file among the files.
const JobFile = "job.yaml"

//go:embed job.yaml
var jobText []byte

// Files returns the demo's inputs by name: the job file, boundary, waterway and
// well as GeoJSON, the zones as a shapefile, log and weather as CSV.
func Files() (map[string][]byte, error) {
	plane, err := geo.NewPlane(corner)
	if err != nil {
		return nil, err
	}
	files := map[string][]byte{JobFile: jobText, "log.csv": logCSV(plane, drive(passes())), "weather.csv": weatherCSV()}
	for name, g := range map[string]orb.Geometry{
		"boundary.geojson": orb.Polygon{boundary}, "waterway.geojson": orb.Polygon{waterway}, "well.geojson": well,
	} {
		if files[name], err = geoJSON(plane, name, g); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	parts, err := zoneShapefile(plane)
	if err != nil {
		return nil, fmt.Errorf("zones.shp: %w", err)
	}
	files["zones.shp"], files["zones.shx"], files["zones.dbf"] = parts.SHP, parts.SHX, parts.DBF
	files["zones.prj"], files["zones.cpg"] = parts.PRJ, parts.CPG
	return files, nil
}

func degrees(plane geo.Plane, p orb.Point) orb.Point { return orb.Point(plane.Unproject(p)) }

func degreesRing(plane geo.Plane, r orb.Ring) orb.Ring {
	out := make(orb.Ring, len(r))
	for i, p := range r {
		out[i] = degrees(plane, p)
	}
	return out
}

func logCSV(plane geo.Plane, records []record) []byte {
	var b bytes.Buffer
	b.WriteString("time,lon,lat,heading_deg,speed_m_s,working,sections,rate_kg_ha,target_kg_ha,depth_m\n")
	for _, r := range records {
		along := heading(r.heading)
		at := degrees(plane, onward(r.bar, along, ahead))
		working, states := 0, make([]byte, sections)
		for i, on := range r.on {
			states[i] = '0'
			if on {
				states[i] = '1'
			}
		}
		if r.working {
			working = 1
		}
		fmt.Fprintf(&b, "%s,%.9f,%.9f,%.3f,%.2f,%d,%s,%.1f,%.1f,%.3f\n", r.time.Format(time.RFC3339),
			at[0], at[1], r.heading, speed, working, states, r.rate, r.target, r.depth)
	}
	return b.Bytes()
}

func geoJSON(plane geo.Plane, name string, g orb.Geometry) ([]byte, error) {
	switch shape := g.(type) {
	case orb.Polygon:
		g = orb.Polygon{degreesRing(plane, shape[0])}
	case orb.Point:
		g = degrees(plane, shape)
	}
	outline, err := geo.NewOutline(g)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = vector.WriteGeoJSON(&b, vector.Collection{
		Decimals: 9,
		Items:    []vector.Item{{Outline: outline, Properties: []vector.Member{{Name: "name", Value: strings.TrimSuffix(name, ".geojson")}}}},
	})
	return b.Bytes(), err
}

func zoneShapefile(plane geo.Plane) (vector.Parts, error) {
	fields := []vector.Field{
		{Name: "ZONE", Type: 'C', Length: 8},
		{Name: "TEXTURE", Type: 'C', Length: 20},
		{Name: "RES_PCT", Type: 'N', Length: 6, Decimals: 0},
		{Name: "N_LB_AC", Type: 'N', Length: 8, Decimals: 1},
		{Name: "DRAINAGE", Type: 'C', Length: 30},
		{Name: "PH", Type: 'N', Length: 4, Decimals: 1},
	}
	var shapes []vector.Shape
	for _, z := range zones {
		shapes = append(shapes, vector.Shape{
			Polygons: orb.MultiPolygon{{degreesRing(plane, z.ring)}},
			Values:   []any{z.id, z.texture, z.residue, z.nLbAc, z.drainage, z.ph},
		})
	}
	return vector.EncodeShapefile(fields, shapes, madeOn)
}

// madeOn is the date that the zones' table carries.
var madeOn = time.Date(2026, 5, 20, 0, 0, 0, 0, time.UTC)
