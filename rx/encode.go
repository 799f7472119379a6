package rx

import (
	"io"
	"time"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Columns of a rate map beside the rate.
const (
	idColumn      = "ZONE_ID"
	productColumn = "PRODUCT"
)

// Shapefile encodes the map as a shapefile: one polygon a record, the rate
// first, then ZONE_ID and PRODUCT. The day of date goes into the attribute
// table, so that the same map and date give the same bytes.
func (m RateMap) Shapefile(date time.Time) (vector.Parts, error) {
	fields := []vector.Field{
		{Name: m.Column(), Type: 'N', Length: rateWidth, Decimals: m.Decimals},
		{Name: idColumn, Type: 'C', Length: m.textLength(func(f RateFeature) string { return f.ZoneID })},
		{Name: productColumn, Type: 'C', Length: m.textLength(func(RateFeature) string { return m.Product })},
	}
	shapes := make([]vector.Shape, len(m.Features))
	for i, f := range m.Features {
		shapes[i] = vector.Shape{Polygons: orb.MultiPolygon{f.Polygon}, Values: []any{f.Rate, f.ZoneID, m.Product}}
	}
	return vector.EncodeShapefile(fields, shapes, date)
}

// textLength is the width that holds the longest of a text, at least 1.
func (m RateMap) textLength(text func(RateFeature) string) int {
	n := 1
	for _, f := range m.Features {
		n = max(n, len(text(f)))
	}
	return min(n, vector.MaxText)
}

// WriteGeoJSON writes the map as GeoJSON: the same columns, and N and product
// rates with their units and the reasons. The head tells field, application,
// source and unit once more, for readers that keep foreign members.
func (p Prescription) WriteGeoJSON(w io.Writer, m RateMap) error {
	source := p.Application.Source
	fc := vector.Collection{
		Decimals: mapDigits,
		Members: []vector.Member{
			{Name: "schema", Value: "ratewright/rate-map/1"},
			{Name: "field", Value: p.Field.Name},
			{Name: "application", Value: p.Application.Name},
			{Name: "source", Value: source.Name},
			{Name: "percent_n", Value: source.PercentN},
			{Name: "rate_column", Value: m.Column()},
			{Name: "rate_unit", Value: m.Unit.String()},
			{Name: "rate_of", Value: m.Of.String()},
		},
	}
	for _, f := range m.Features {
		o, err := geo.NewOutline(f.Polygon)
		if err != nil {
			return err
		}
		product, err := source.RateFor(f.NRate, m.Unit, unit.Product)
		if err != nil {
			return err
		}
		fc.Items = append(fc.Items, vector.Item{Outline: o, Properties: []vector.Member{
			{Name: m.Column(), Value: f.Rate},
			{Name: idColumn, Value: f.ZoneID},
			{Name: productColumn, Value: m.Product},
			{Name: "n_rate", Value: f.NRate.KgNPerHa()},
			{Name: "n_rate_unit", Value: "kg N/ha"},
			{Name: "product_rate", Value: product.Value},
			{Name: "product_rate_unit", Value: product.Unit.String()},
			{Name: "reasons", Value: f.Reasons},
		}})
	}
	return vector.WriteGeoJSON(w, fc)
}
