package rx

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ratewright/geo"
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
