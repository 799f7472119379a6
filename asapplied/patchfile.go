package asapplied

import (
	"fmt"
	"io"
	"time"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/vector"
)

// The attributes of patches in both formats: the kind, the exact area, what was
// put down there, what it is short of the prescription, and the zone that holds
// most of it.
const (
	attrKind  = "KIND"
	attrArea  = "AREA_M2"
	attrN     = "N_KG"
	attrShort = "SHORT_KG"
	attrZone  = "ZONE_ID"
)

// WritePatches writes the patches as GeoJSON with [PatchDecimals] decimals.
// Masses that the log does not tell are null.
func (r *Reconciliation) WritePatches(w io.Writer) error {
	fc := vector.Collection{Decimals: PatchDecimals}
	for i := range r.Patches {
		p := &r.Patches[i]
		var shape orb.Geometry = p.Polygons
		if len(p.Polygons) == 1 {
			shape = p.Polygons[0]
		}
		o, err := geo.NewOutline(shape)
		if err != nil {
			return fmt.Errorf("patch %d (%s): %w", i+1, p.Kind, err)
		}
		fc.Items = append(fc.Items, vector.Item{Outline: o, Properties: []vector.Member{
			{Name: attrKind, Value: p.Kind.String()},
			{Name: attrArea, Value: p.Area.SquareMetres()},
			{Name: attrN, Value: when(p.HasN, p.N.Kilograms())},
			{Name: attrShort, Value: when(p.HasShort, p.Short.Kilograms())},
			{Name: attrZone, Value: p.ZoneID},
		}})
	}
	return vector.WriteGeoJSON(w, fc)
}

// EncodePatches writes the patches as a shapefile. The format has no way to say
// that a mass is not known, so a mass that the log never tells has no column.
// The date goes into the table's header.
func (r *Reconciliation) EncodePatches(date time.Time) (vector.Parts, error) {
	hasN, hasShort := r.Known.Nitrogen, r.Known.Nitrogen && r.Known.Plan
	zoneText := 1
	for i := range r.Patches {
		zoneText = max(zoneText, len(r.Patches[i].ZoneID))
	}
	fields := []vector.Field{{Name: attrKind, Type: 'C', Length: 12}, {Name: attrArea, Type: 'N', Length: 18, Decimals: 4}}
	if hasN {
		fields = append(fields, vector.Field{Name: attrN, Type: 'N', Length: 18, Decimals: 4})
	}
	if hasShort {
		fields = append(fields, vector.Field{Name: attrShort, Type: 'N', Length: 18, Decimals: 4})
	}
	fields = append(fields, vector.Field{Name: attrZone, Type: 'C', Length: min(zoneText, vector.MaxText)})
	shapes := make([]vector.Shape, len(r.Patches))
	for i := range r.Patches {
		p := &r.Patches[i]
		values := []any{p.Kind.String(), p.Area.SquareMetres()}
		if hasN {
			values = append(values, p.N.Kilograms())
		}
		if hasShort {
			values = append(values, p.Short.Kilograms())
		}
		shapes[i] = vector.Shape{Polygons: p.Polygons, Values: append(values, p.ZoneID)}
	}
	return vector.EncodeShapefile(fields, shapes, date)
}
