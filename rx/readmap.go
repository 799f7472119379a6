package rx

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/nitrogen"
)

// RateMapSpec says how to read somebody's rate map.
type RateMapSpec struct {
	Column string // of the rate
	Unit   unit.RateUnit
	Of     unit.Of
	Source nitrogen.Source
	ID     string      // column of the zone id; empty: ZONE_ID where the map has it, else the record's number
	Units  unit.System // of areas in notes and errors
}

// mapOverlapTolerance is the ground that all records of a rate map together may
// claim twice, as a share of the field's ground. Up to it the record that comes
// first keeps the ground.
const mapOverlapTolerance = 0.001

// ReadRateMap takes a layer of polygons with a rate column as the prescription
// of f. Records of one id and one rate become one rate zone; records of one id
// and different rates stay apart. Only ground of the field counts.
//
// Errors name the file and record: a rate that is missing, null, text or below
// zero on the field, and records that overlap by more than 0.1 % of the field
// together.
func ReadRateMap(layer vector.Layer, f Field, spec RateMapSpec) ([]RateZone, []string, error) {
	r := mapReader{layer: layer, field: f, spec: spec}
	if err := r.prepare(); err != nil {
		return nil, nil, err
	}
	for _, ft := range layer.Features {
		if err := r.add(ft); err != nil {
			return nil, nil, err
		}
	}
	if err := r.separate(); err != nil {
		return nil, nil, err
	}
	zones, err := r.join()
	if err != nil {
		return nil, nil, err
	}
	if len(zones) == 0 {
		return nil, nil, r.fault("none of its "+countOf(len(layer.Features), "record")+" lies on the field", "check that map and boundary belong together and that both name the right coordinate system")
	}
	return zones, r.notes, nil
}

// mapRecord is one record's ground and rate on the field.
type mapRecord struct {
	record int
	zone   RateZone
}

type mapReader struct {
	layer   vector.Layer
	field   Field
	spec    RateMapSpec
	records []mapRecord
	off     int // records that do not touch the field's ground
	notes   []string
}

func (r *mapReader) fault(what, fix string) error {
	return &vector.InputError{File: r.layer.Path, What: what, Fix: fix}
}

// prepare checks the columns and the units once for all records.
func (r *mapReader) prepare() error {
	if err := checkRateUnit("its rate", r.spec.Unit, r.spec.Of); err != nil {
		return r.fault(err.Error(), "")
	}
	names := make([]string, len(r.layer.Columns))
	hasRate, hasID := false, false
	for i, c := range r.layer.Columns {
		names[i] = c.Name
		hasRate = hasRate || strings.EqualFold(c.Name, r.spec.Column)
		hasID = hasID || strings.EqualFold(c.Name, idColumn)
	}
	if !hasRate {
		return r.fault(fmt.Sprintf("has no column %q for the rate; its columns are %s", r.spec.Column, listOf(names)), "name one of these")
	}
	if r.spec.ID == "" && hasID {
		r.spec.ID = idColumn
	}
	if r.spec.ID == "" {
		r.notes = append(r.notes, "the rate map has no column "+idColumn+", so its records are named by their numbers")
	}
	return nil
}

func (r *mapReader) add(ft vector.Feature) error {
	region, err := partRegion(r.field, ft)
	if err != nil {
		return err
	}
	if onlyRounding(region) {
		r.off++
		return nil
	}
	n, err := r.rate(ft)
	if err != nil {
		return err
	}
	id := fmt.Sprint(ft.At.Record)
	if r.spec.ID != "" {
		v, _ := ft.Get(r.spec.ID)
		if id = strings.TrimSpace(v.String()); id == "" {
			return r.recordFault(ft, fmt.Sprintf("the zone id in column %s is empty", r.spec.ID), "give every record an id")
		}
		if err := printableID(ft.At, r.spec.ID, id); err != nil {
			return err
		}
	}
	column, _ := ft.Get(r.spec.Column)
	given := counted{unit.Rate{Unit: r.spec.Unit}, r.spec.Of}
	given.Value, _ = column.Number()
	r.records = append(r.records, mapRecord{ft.At.Record, RateZone{
		ZoneID: id, Region: region, NRate: n, ProductRate: r.spec.Source.Product(n), MapRate: given.Rate,
		Reasons: []Reason{Reason(fmt.Sprintf("%s from column %s of the rate map", given, r.spec.Column))},
	}})
	return nil
}

// onlyRounding reports whether ground is nothing but what the rounding of a
// map's vertices moves across the field's edge: strips narrower than 2 mm. An
// off-limits polygon of a map has such strips on the field and is still no part
// of it.
func onlyRounding(r geo.Region) bool {
	const widthM = 0.002
	perimeter := 0.0
	for _, p := range r.Polygons() {
		perimeter += planar.Length(p)
	}
	return 2*r.Area().SquareMetres() <= widthM*perimeter
}

func (r *mapReader) recordFault(ft vector.Feature, what, fix string) error {
	return &vector.InputError{File: r.layer.Path, Place: fmt.Sprintf("record %d", ft.At.Record), What: what, Fix: fix}
}

// rate reads the rate of one record as nitrogen.
func (r *mapReader) rate(ft vector.Feature) (unit.NRate, error) {
	const fix = "write the rate; zero is a rate"
	v, ok := ft.Get(r.spec.Column)
	if !ok || v.IsNull() || strings.TrimSpace(v.String()) == "" {
		return 0, r.recordFault(ft, fmt.Sprintf("the rate in column %s is missing", r.spec.Column), fix)
	}
	f, ok := v.Number()
	if !ok {
		return 0, r.recordFault(ft, fmt.Sprintf("the rate in column %s is %q, which is not a number", r.spec.Column, v.String()), fix)
	}
	if err := checkValue(f); err != nil {
		return 0, r.recordFault(ft, fmt.Sprintf("column %s: %v", r.spec.Column, err), fix)
	}
	n, err := r.spec.Source.NRateFrom(unit.Rate{Value: f, Unit: r.spec.Unit}, r.spec.Of)
	if err != nil {
		return 0, r.recordFault(ft, err.Error(), "")
	}
	return n, nil
}

// separate refuses overlaps, and takes small ones from the later record.
func (r *mapReader) separate() error {
	regions := make([]geo.Region, len(r.records))
	for i, rec := range r.records {
		regions[i] = rec.zone.Region
	}
	pairs, total, err := overlaps(regions, surveyOf(regions))
	if err != nil {
		return r.fault("overlaps could not be found: "+err.Error(), "check its outlines")
	}
	if allowed := mapOverlapTolerance * float64(r.field.Ground.Area()); float64(total) > allowed {
		a, b := r.records[pairs[0].first], r.records[pairs[0].second]
		return r.fault(fmt.Sprintf("records %d and %d overlap by %s; all overlaps together are %s, above the %s allowed", a.record, b.record, AreaText(r.spec.Units, pairs[0].area), AreaText(r.spec.Units, total), AreaText(r.spec.Units, unit.Area(allowed))), "one spot must have one rate: correct the outlines")
	}
	for _, p := range pairs {
		gives := &r.records[p.second].zone
		if gives.Region, err = gives.Region.Subtract(r.records[p.first].zone.Region); err != nil {
			return r.fault(fmt.Sprintf("record %d: %v", r.records[p.second].record, err), "check its outline")
		}
	}
	return nil
}

// join makes one rate zone of the records with one id and one rate, and notes
// what was left out.
func (r *mapReader) join() ([]RateZone, error) {
	type key struct {
		id   string
		rate float64
	}
	var zones []RateZone
	parts := map[key][]geo.Region{}
	for _, rec := range r.records {
		if rec.zone.Region.IsEmpty() {
			continue
		}
		k := key{rec.zone.ZoneID, rec.zone.MapRate.Value}
		if len(parts[k]) == 0 {
			zones = append(zones, rec.zone)
		}
		parts[k] = append(parts[k], rec.zone.Region)
	}
	for i, z := range zones {
		var err error
		if zones[i].Region, err = geo.UnionAll(parts[key{z.ZoneID, z.MapRate.Value}]); err != nil {
			return nil, r.fault(fmt.Sprintf("zone %s: %v", z.ZoneID, err), "check its outlines")
		}
	}
	if r.off > 0 {
		r.notes = append(r.notes, fmt.Sprintf("%s of the rate map outside the field's ground left out", countOf(r.off, "record")))
	}
	rest, err := unzoned(r.field, rateRegions(zones))
	if err != nil {
		return nil, err
	}
	if rest.Area().SquareMetres() >= 1 {
		r.notes = append(r.notes, fmt.Sprintf("the rate map has no rate on %s of the field; that counts as zero", AreaText(r.spec.Units, rest.Area())))
	}
	return zones, nil
}

func rateRegions(zones []RateZone) []geo.Region {
	out := make([]geo.Region, len(zones))
	for i, z := range zones {
		out[i] = z.Region
	}
	return out
}
