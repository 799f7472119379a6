package rx

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"ratewright/geo"
	"ratewright/geo/parallel"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Zone is a part of the field with attributes and no rate. Zones of one field
// do not overlap and lie within its ground.
type Zone struct {
	ID         string
	Region     geo.Region
	Attributes []vector.Attribute // of the first part in the file
	At         vector.Position    // of the first part

	differs map[string]difference      // column in lower case -> how the parts differ in it
	from    map[string]vector.Position // column in lower case -> where its value stands, or is missing, if not At
}

// difference is how the parts of a zone differ in a column.
type difference struct {
	what string
	at   vector.Position // of the first part
}

// Differs is the error of a column in which the parts of the zone differ, which names both
// records; nil where they agree.
func (z Zone) Differs(column string) error {
	d, differ := z.differs[strings.ToLower(column)]
	if !differ {
		return nil
	}
	z.At = d.at
	return z.fault(fmt.Sprintf("the parts of this zone differ in column %s: %s", column, d.what), "give the parts one value, or ids of their own")
}

// Lacking returns the zone with a note of those of the columns of its layer that it has
// not, so that an error about one of them names its record, or the layer's file where the
// zone is ground that the layer does not cover.
func (z Zone) Lacking(columns []string, file string) Zone {
	at := z.At
	if at.File == "" {
		at.File = file
	}
	has := vector.Feature{Attributes: z.Attributes}
	from := maps.Clone(z.from)
	for _, c := range columns {
		if _, there := has.Get(c); there {
			continue
		}
		if from == nil {
			from = map[string]vector.Position{}
		}
		from[strings.ToLower(c)] = at
	}
	z.from = from
	return z
}

// in is the zone as errors about a column are to name it.
func (z Zone) in(column string) Zone {
	if at, known := z.from[strings.ToLower(column)]; known {
		z.At = at
	}
	return z
}

// Combined is ground that lies in a zone of each of several divisions. It has the
// attributes of all, with what the parts of a zone differ in; of a column that several
// have, the first one's is kept, and clash names it.
func Combined(id string, region geo.Region, of []Zone) (z Zone, clash []string) {
	z = Zone{ID: id, Region: region, differs: map[string]difference{}, from: map[string]vector.Position{}}
	for _, part := range of {
		if z.At.File == "" {
			z.At = part.At // not of a layer that has a gap there
		}
		before := vector.Feature{Attributes: slices.Clone(z.Attributes)}
		for _, a := range part.Attributes {
			if _, there := before.Get(a.Name); there {
				clash = append(clash, a.Name)
				continue
			}
			z.Attributes = append(z.Attributes, a)
			z.from[strings.ToLower(a.Name)] = part.in(a.Name).At
			if d, differ := part.differs[strings.ToLower(a.Name)]; differ {
				z.differs[strings.ToLower(a.Name)] = d
			}
		}
	}
	for _, part := range of {
		for c, at := range part.from {
			if _, known := z.from[c]; !known {
				z.from[c] = at
			}
		}
	}
	return z, clash
}

// The ids that the outputs give to ground that is in no zone.
const (
	UnzonedID   = "unzoned"    // ground of the field in no zone
	OffLimitsID = "off_limits" // cut-outs and setbacks
)

// OverlapRule says what happens where two zones claim the same ground.
type OverlapRule int

// Overlaps that add up to no more than the tolerance always go to the zone that
// comes first in the file.
const (
	OverlapRefuse OverlapRule = iota // above the tolerance: an error that names the zones
	OverlapFirst                     // the zone that comes first in the file keeps the ground
	OverlapLast                      // the zone that comes last keeps it
)

// GapRule says what happens to ground of the field that no zone claims. Gaps
// below SliverBelow always go to the zone they share the longest edge with.
type GapRule int

// The three ways.
const (
	GapUnzoned GapRule = iota // stays without a rate, is reported, and gets an explicit zero in the map
	GapRefuse                 // above the tolerance: an error
	GapFill                   // each gap goes to the zone it shares the longest edge with
)

// ZoneOptions are the rules for faults between zones.
type ZoneOptions struct {
	Overlap          OverlapRule
	OverlapTolerance float64 // all overlaps together, as a share of the field's ground
	Gap              GapRule
	GapTolerance     float64     // all gaps together, as a share of the field's ground
	SliverBelow      unit.Area   // connected pieces smaller than this are merged into a neighbour; 0: none
	Units            unit.System // of areas in notes and errors
	// Unzoned tells in a note what becomes of ground that no zone covers; "": it has no
	// rate, and the map says zero.
	Unzoned string
}

// DefaultZoneOptions refuses overlaps above 0.1 % of the field, leaves gaps
// unzoned, merges pieces below 10 m2 into their neighbours, and tells areas in m2
// and hectares.
func DefaultZoneOptions() ZoneOptions {
	return ZoneOptions{OverlapTolerance: 0.001, GapTolerance: 0.001, SliverBelow: unit.SquareMetres(10), Units: unit.SI}
}

// NewZones makes the zones of f from features in file order. Features with the
// same id are parts of one zone; each is cut to the field's ground. Ground that
// two zones claim, ground that none claims, and slivers are treated as o says;
// notes tell what was done and to how much ground.
//
// The zones do not overlap, and with the unzoned ground they make up the
// field's ground. Errors name the file and record: a missing or empty id, an
// invalid outline, no zone on the field, and what o refuses.
func NewZones(f Field, features []vector.Feature, idColumn string, o ZoneOptions) ([]Zone, []string, error) {
	zones, notes, err := groupZones(f, features, idColumn)
	if err != nil {
		return nil, nil, err
	}
	b := zoneBuilder{field: f, options: o, zones: zones, notes: notes}
	for _, step := range []func() error{b.separate, b.mergeSlivers, b.closeGaps} {
		if err := step(); err != nil {
			return nil, nil, err
		}
	}
	return b.zones, b.notes, nil
}

// zoneBuilder carries the zones through the steps of NewZones.
type zoneBuilder struct {
	field   Field
	options ZoneOptions
	zones   []Zone
	gaps    *geo.Region // ground that no zone claims, where it is known from the start
	notes   []string
}

func (b *zoneBuilder) note(format string, args ...any) {
	b.notes = append(b.notes, fmt.Sprintf(format, args...))
}

// share writes an area with its part of the field's ground.
func (b *zoneBuilder) share(a unit.Area) string {
	return fmt.Sprintf("%s (%s %% of the field)", AreaText(b.options.Units, a), number(100*float64(a)/float64(b.field.Ground.Area())))
}

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
	place := fmt.Sprintf("record %d", ft.At.Record)
	v, ok := ft.Get(column)
	if !ok {
		return "", &vector.InputError{File: ft.At.File, Place: place, What: fmt.Sprintf("has no column %q for the zone id; its columns are %s", column, columnNames(ft.Attributes)), Fix: "name one of these as id"}
	}
	id := strings.TrimSpace(v.String())
	if id == "" {
		return "", &vector.InputError{File: ft.At.File, Place: place, What: fmt.Sprintf("the zone id in column %s is empty", column), Fix: "give every zone an id"}
	}
	if err := printableID(ft.At, column, id); err != nil {
		return "", err
	}
	if len(id) > vector.MaxText {
		return "", &vector.InputError{File: ft.At.File, Place: place, What: fmt.Sprintf("the zone id %s has %d bytes, more than the %d that a map can hold", vector.Short(id), len(id), vector.MaxText), Fix: "shorten it"}
	}
	if id == UnzonedID || id == OffLimitsID {
		return "", &vector.InputError{File: ft.At.File, Place: place, What: fmt.Sprintf("the zone id %q is kept for ground without a zone", id), Fix: "give the zone another id"}
	}
	return id, nil
}

// printableID refuses an id that no map can carry: one with a character that
// does something to a terminal or a file instead of standing in it.
func printableID(at vector.Position, column, id string) error {
	if !strings.ContainsFunc(id, func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }) {
		return nil
	}
	return &vector.InputError{
		File: at.File, Place: fmt.Sprintf("record %d", at.Record),
		What: fmt.Sprintf("the zone id %+q in column %s holds a character that cannot be printed", id, column),
		Fix:  "write the id in letters, digits and marks on one line",
	}
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
	fault := func(what, fix string) error {
		return &vector.InputError{File: ft.At.File, Place: fmt.Sprintf("record %d", ft.At.Record), What: what, Fix: fix}
	}
	if len(ft.Outline.Polygons()) == 0 {
		return geo.Region{}, fault("is not an area", "zones must be polygons")
	}
	if !fits(f.Plane, ft.Outline) {
		// Projecting what is far away would give nonsense; it cannot touch the
		// field either.
		return geo.Region{}, nil
	}
	r, err := f.Plane.Region(ft.Outline)
	if err != nil {
		return geo.Region{}, fault(err.Error(), "")
	}
	if r, err = r.Intersect(f.Ground); err != nil {
		return geo.Region{}, fault("could not be cut to the field: "+err.Error(), "check its outline")
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
