package rx

import (
	"fmt"
	"strings"
	"unicode"

	"ratewright/geo"
	"ratewright/geo/parallel"
	"ratewright/geo/vector"
)

// groupZones gathers the parts of each id, cut to the field's ground, in the
// order in which the ids first occur.
func groupZones(f Field, features []vector.Feature, idColumn string) ([]Zone, []string, error) {
	var zones []Zone
	parts := map[string][]geo.Region{}
	place := map[string]int{}
	ids := make([]string, len(features))
	for i, ft := range features {
		var err error
		if ids[i], err = zoneID(ft, idColumn); err != nil {
			return nil, nil, err
		}
	}
	regions, err := partRegions(f, features)
	if err != nil {
		return nil, nil, err
	}
	for n, ft := range features {
		id, r := ids[n], regions[n]
		i, known := place[id]
		if !known {
			i = len(zones)
			place[id] = i
			zones = append(zones, Zone{ID: id, Attributes: ft.Attributes, At: ft.At, differs: map[string]difference{}})
		}
		switch on := len(parts[id]) > 0; {
		case r.IsEmpty(): // ground off the field says nothing of it
			continue
		case on:
			zones[i].compare(ft)
		default:
			zones[i].Attributes, zones[i].At = ft.Attributes, ft.At
		}
		parts[id] = append(parts[id], r)
	}
	return uniteParts(zones, parts)
}

// uniteParts gives every zone its region and drops zones off the field.
func uniteParts(zones []Zone, parts map[string][]geo.Region) ([]Zone, []string, error) {
	var on []Zone
	var off []string
	for _, z := range zones {
		var err error
		if z.Region, err = geo.UnionAll(parts[z.ID]); err != nil {
			return nil, nil, z.fault("its parts could not be joined: "+err.Error(), "check the outlines of this zone")
		}
		if z.Region.IsEmpty() {
			off = append(off, z.ID)
			continue
		}
		on = append(on, z)
	}
	if len(on) == 0 {
		file := ""
		if len(zones) > 0 {
			file = zones[0].At.File
		}
		return nil, nil, &vector.InputError{File: file, What: fmt.Sprintf("none of its %s lies on the field", countOf(len(zones), "zone")), Fix: "check that zones and boundary belong together and that both name the right coordinate system"}
	}
	var notes []string
	if len(off) > 0 {
		notes = append(notes, fmt.Sprintf("%s outside the field's ground left out: %s", countOf(len(off), "zone"), listOf(off)))
	}
	return on, notes, nil
}

func zoneID(ft vector.Feature, column string) (string, error) {
	v, ok := ft.Get(column)
	if !ok {
		return "", recordFault(ft.At, fmt.Sprintf("has no column %q for the zone id; its columns are %s", column, columnNames(ft.Attributes)), "name one of these as id")
	}
	id := strings.TrimSpace(v.String())
	if id == "" {
		return "", recordFault(ft.At, fmt.Sprintf("the zone id in column %s is empty", column), "give every zone an id")
	}
	if err := printableID(ft.At, column, id); err != nil {
		return "", err
	}
	if len(id) > vector.MaxText {
		return "", recordFault(ft.At, fmt.Sprintf("the zone id %s has %d bytes, more than the %d that a map can hold", vector.Short(id), len(id), vector.MaxText), "shorten it")
	}
	if id == UnzonedID || id == OffLimitsID {
		return "", recordFault(ft.At, fmt.Sprintf("the zone id %q is kept for ground without a zone", id), "give the zone another id")
	}
	return id, nil
}

// printableID refuses an id that no map can carry: one with a character that
// does something to a terminal or a file instead of standing in it.
func printableID(at vector.Position, column, id string) error {
	if !strings.ContainsFunc(id, func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }) {
		return nil
	}
	return recordFault(at, fmt.Sprintf("the zone id %+q in column %s holds a character that cannot be printed", id, column), "write the id in letters, digits and marks on one line")
}

// recordFault is an error of one record of a file.
func recordFault(at vector.Position, what, fix string) error {
	return &vector.InputError{File: at.File, Place: fmt.Sprintf("record %d", at.Record), What: what, Fix: fix}
}

// partRegions returns what of each feature is on the field, or the error of the first
// that has one.
func partRegions(f Field, features []vector.Feature) ([]geo.Region, error) {
	regions := make([]geo.Region, len(features))
	err := parallel.Try(len(features), 0, func(i int) (err error) {
		regions[i], err = partRegion(f, features[i])
		return err
	})
	return regions, err
}

func partRegion(f Field, ft vector.Feature) (geo.Region, error) {
	if len(ft.Outline.Polygons()) == 0 {
		return geo.Region{}, recordFault(ft.At, "is not an area", "zones must be polygons")
	}
	if !fits(f.Plane, ft.Outline) {
		// Projecting what is far away would give nonsense; it cannot touch the
		// field either.
		return geo.Region{}, nil
	}
	r, err := f.Plane.Region(ft.Outline)
	if err != nil {
		return geo.Region{}, recordFault(ft.At, err.Error(), "")
	}
	if r, err = r.Intersect(f.Ground); err != nil {
		return geo.Region{}, recordFault(ft.At, "could not be cut to the field: "+err.Error(), "check its outline")
	}
	return r, nil
}

// fits reports whether an outline is near enough for the plane.
func fits(p geo.Plane, o geo.Outline) bool {
	b, ok := o.Bounds()
	return ok && p.Fits(geo.LonLat(b.Min)) && p.Fits(geo.LonLat(b.Max))
}

// compare records the columns in which another part of the zone differs from
// the first.
func (z *Zone) compare(ft vector.Feature) {
	first := vector.Feature{Attributes: z.Attributes}
	for _, a := range ft.Attributes {
		v, ok := first.Get(a.Name)
		if ok && v == a.Value {
			continue
		}
		x, isNumber := v.Number()
		y, isToo := a.Value.Number()
		if isNumber && isToo && x == y {
			continue
		}
		key := strings.ToLower(a.Name)
		if _, known := z.differs[key]; !known {
			z.differs[key] = difference{fmt.Sprintf("%s in record %d, %s in record %d", shown(v), z.At.Record, shown(a.Value), ft.At.Record), z.At}
		}
	}
}

func shown(v vector.Value) string {
	if v.IsNull() {
		return "empty"
	}
	return v.String()
}
