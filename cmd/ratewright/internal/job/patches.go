package job

import (
	"bytes"
	"strings"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/geo"
	"ratewright/geo/vector"
)

// patchFiles writes the patches as GeoJSON and as a shapefile. A shapefile has
// no null, so a column that not every patch has is left out of it; note says so.
func (j Job) patchFiles(a *ApplicationSpec, r asapplied.Reconciliation) (files []outputs.File, note string, err error) {
	data, err := patchGeoJSON(r.Patches)
	if err != nil {
		return nil, "", err
	}
	files = append(files, outputs.File{Name: j.fileName("patches.geojson", a), Data: data})
	fields := []vector.Field{
		{Name: "KIND", Type: 'C', Length: 12},
		{Name: "AREA_M2", Type: 'N', Length: 18, Decimals: 6},
		{Name: "N_KG", Type: 'N', Length: 18, Decimals: 6},
		{Name: "SHORT_KG", Type: 'N', Length: 18, Decimals: 6},
		{Name: "ZONE_ID", Type: 'C', Length: zoneIDLength(r.Patches)},
	}
	var shapes []vector.Shape
	hasN, hasShort := true, true
	for _, p := range r.Patches {
		hasN, hasShort = hasN && p.HasN, hasShort && p.HasShort
	}
	for _, p := range r.Patches {
		values := []any{p.Kind.String(), p.Area.SquareMetres(), p.N.Kilograms(), p.Short.Kilograms(), p.ZoneID}
		shapes = append(shapes, vector.Shape{Polygons: p.Polygons, Values: keep(values, hasN, hasShort)})
	}
	if !hasN || !hasShort {
		note = "the shapefile of patches leaves out the columns N_KG or SHORT_KG where the log or the job does not tell them for every patch: a shapefile has no null"
	}
	parts, err := vector.EncodeShapefile(keep(fields, hasN, hasShort), shapes, tableDate(a))
	if err != nil {
		return nil, "", err
	}
	return append(files, partFiles(j.fileName("patches.shp", a), parts)...), note, nil
}

// keep leaves the third and fourth of five columns out where they are not known.
func keep[T any](columns []T, third, fourth bool) []T {
	out := append([]T{}, columns[:2]...)
	if third {
		out = append(out, columns[2])
	}
	if fourth {
		out = append(out, columns[3])
	}
	return append(out, columns[4])
}

// partFiles names the parts of a shapefile; shp is the name of the .shp.
func partFiles(shp string, p vector.Parts) []outputs.File {
	stem := strings.TrimSuffix(shp, ".shp")
	return []outputs.File{
		{Name: stem + ".shp", Data: p.SHP},
		{Name: stem + ".shx", Data: p.SHX},
		{Name: stem + ".dbf", Data: p.DBF},
		{Name: stem + ".prj", Data: p.PRJ},
		{Name: stem + ".cpg", Data: p.CPG},
	}
}

func zoneIDLength(patches []asapplied.Patch) int {
	length := 1
	for _, p := range patches {
		length = max(length, len(p.ZoneID))
	}
	return length
}

func patchGeoJSON(patches []asapplied.Patch) ([]byte, error) {
	c := vector.Collection{Decimals: asapplied.PatchDecimals}
	for _, p := range patches {
		outline, err := geo.NewOutline(p.Polygons)
		if err != nil {
			return nil, err
		}
		n, short := any(nil), any(nil)
		if p.HasN {
			n = p.N.Kilograms()
		}
		if p.HasShort {
			short = p.Short.Kilograms()
		}
		c.Items = append(c.Items, vector.Item{Outline: outline, Properties: []vector.Member{
			{Name: "KIND", Value: p.Kind.String()},
			{Name: "AREA_M2", Value: p.Area.SquareMetres()},
			{Name: "N_KG", Value: n},
			{Name: "SHORT_KG", Value: short},
			{Name: "ZONE_ID", Value: p.ZoneID},
		}})
	}
	var b bytes.Buffer
	err := vector.WriteGeoJSON(&b, c)
	return b.Bytes(), err
}
