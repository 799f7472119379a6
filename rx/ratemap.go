package rx

import (
	"fmt"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// RateMap is a prescription as a controller reads it: single polygons in WGS 84
// degrees, each with one rate.
type RateMap struct {
	Name     string // base name of the files
	Product  string // what the source is called on labels
	Unit     unit.RateUnit
	Of       unit.Of
	Decimals int // of the rates
	Plane    geo.Plane
	Features []RateFeature
	Notes    []string
}

// RateFeature is one polygon of a rate map. Its outer ring runs
// counter-clockwise, its holes clockwise; every vertex is rounded to 1e-9
// degrees, and neighbours have the same vertices along their common edge.
type RateFeature struct {
	Polygon     orb.Polygon
	ZoneID      string  // UnzonedID and OffLimitsID for ground in no zone
	Rate        float64 // in the map's unit, rounded to its decimals
	NRate       unit.NRate
	ProductRate unit.ProductRate // NRate and ProductRate as prescribed, before the map's rounding
	Reasons     []Reason
}

// Column is the name of the rate column, such as GAL_AC or LB_N_AC.
func (m RateMap) Column() string { return m.Unit.Column(m.Of) }

// rateDecimals are the decimals of a rate: at least 0.01 lb/ac or 0.01 gal/ac,
// finer than any controller resolves.
func rateDecimals(u unit.RateUnit) int {
	if u == unit.ShortTonsPerAcre || u == unit.TonnesPerHectare {
		return 4
	}
	return 2
}

// RateMap turns the prescription into polygons for a controller: zones in their
// order, then unzoned ground and, unless the application says otherwise,
// off-limits ground with an explicit rate of zero. Vertices move by no more
// than 2 mm, or 4 mm where outlines lie too near each other for that (see
// snapTolerances), and a long edge bends to those that lie on it as it is drawn
// straight in the plane or in degrees. What vanishes by that is told in Notes.
// Where outlines run 1 to 2 mm apart, few maps keep a gap or an overlap up to 2 mm
// wide (see snap); [CheckRateMap] finds those of some area.
func (p Prescription) RateMap() (RateMap, error) {
	spec := p.Application.Map
	m := RateMap{
		Name: spec.Name, Product: p.Application.Source.Label,
		Unit: spec.Unit, Of: spec.Of, Decimals: rateDecimals(spec.Unit), Plane: p.Field.Plane,
	}
	if m.Name == "" {
		m.Name = MapName(p.Field.Name, p.Application.Name)
	}
	if err := checkMapName(m.Name); err != nil {
		return RateMap{}, err
	}
	templates, polygons := p.mapParts(m.Decimals)
	var err error
	for _, tolerance := range snapTolerances {
		if err = m.fill(templates, polygons, tolerance, p.Application.Units); err == nil {
			break
		}
	}
	if err != nil {
		return RateMap{}, err
	}
	return m, nil
}

// fill gives the map its features, with the vertices of neighbours made one
// within a tolerance, and its notes, with areas in units. A polygon that this spoils is an error.
func (m *RateMap) fill(templates []RateFeature, polygons []orb.Polygon, tolerance float64, units unit.System) error {
	m.Features, m.Notes = nil, nil
	snapped := snap(m.Plane, polygons, tolerance)
	var lost unit.Area
	for i, t := range templates {
		lost += snapped.lost[i]
		for _, poly := range snapped.polygons[i] {
			t.Polygon = toDegrees(m.Plane, poly)
			if err := checkPolygon(m.Plane, t.Polygon); err != nil {
				return fmt.Errorf("rate map: zone %s: %w; simplify the zone's outline there", vector.Short(t.ZoneID), err)
			}
			m.Features = append(m.Features, t)
		}
	}
	if lost.SquareMetres() >= 0.01 {
		m.Notes = append(m.Notes, fmt.Sprintf("strips along borders, %s together, were left out of the rate map: they are narrower than %g mm, or lie between a border that is straight on the ground and the same one straight in longitude and latitude, as the map's readers draw it", AreaText(units, lost), 1000*tolerance))
	}
	return nil
}

// mapParts lists every polygon of the map in metres, each with the feature it
// will become.
func (p Prescription) mapParts(decimals int) ([]RateFeature, []orb.Polygon) {
	var templates []RateFeature
	var polygons []orb.Polygon
	add := func(t RateFeature, r geo.Region) {
		for _, poly := range r.Polygons() {
			templates = append(templates, t)
			polygons = append(polygons, poly)
		}
	}
	for _, z := range p.Zones {
		add(RateFeature{
			ZoneID: z.ZoneID, Rate: roundTo(z.MapRate.Value, decimals),
			NRate: z.NRate, ProductRate: z.ProductRate, Reasons: z.Reasons,
		}, z.Region)
	}
	add(RateFeature{ZoneID: UnzonedID, Reasons: []Reason{"no zone covers this ground"}}, p.Unzoned)
	if p.Application.Map.OffLimits == OffLimitsZero {
		add(RateFeature{ZoneID: OffLimitsID, Reasons: []Reason{"off limits: cut-out or setback"}}, p.Field.OffLimits)
	}
	return templates, polygons
}

// mapDigits are the decimals of a vertex in degrees: 0.1 mm.
const mapDigits = 9

func toDegrees(p geo.Plane, poly orb.Polygon) orb.Polygon {
	out := make(orb.Polygon, len(poly))
	for i, ring := range poly {
		out[i] = make(orb.Ring, len(ring))
		for j, m := range ring {
			l := p.Unproject(m)
			out[i][j] = orb.Point{roundTo(l.Lon(), mapDigits), roundTo(l.Lat(), mapDigits)}
		}
	}
	return out
}

// checkPolygon finds a ring that the rounding has spoilt.
func checkPolygon(p geo.Plane, poly orb.Polygon) error {
	r, err := polygonRegion(p, poly)
	if err == nil && !asDrawn(poly, r) {
		err = errSharedEdge
	}
	return err
}

func polygonRegion(p geo.Plane, poly orb.Polygon) (geo.Region, error) {
	o, err := geo.NewOutline(poly)
	if err != nil {
		return geo.Region{}, err
	}
	return p.Region(o)
}
