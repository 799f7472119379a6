package rx

import (
	"fmt"
	"sort"

	"ratewright/geo"
	"ratewright/geo/parallel"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx/internal/boxes"
)

// separate takes ground claimed twice from one of the two zones.
func (b *zoneBuilder) separate() error {
	regions := zoneRegions(b.zones)
	if gaps, ok := b.field.Ground.SubtractApart(regions); ok {
		b.gaps = &gaps // what slivers are merged into changes none
		return nil
	}
	pairs, total, err := overlaps(regions, surveyOf(regions))
	if err != nil {
		return err
	}
	if len(pairs) == 0 {
		return nil
	}
	allowed := unit.Area(b.options.OverlapTolerance) * b.field.Ground.Area()
	if b.options.Overlap == OverlapRefuse && total > allowed {
		worst := pairs[0]
		z := b.zones[worst.second]
		return z.fault(
			fmt.Sprintf("overlaps zone %s by %s; all overlaps together are %s, above the %s allowed", vector.Short(b.zones[worst.first].ID), AreaText(b.options.Units, worst.area), b.share(total), AreaText(b.options.Units, allowed)),
			"correct the outlines, or choose whether the first or the last zone in the file keeps such ground")
	}
	for _, p := range pairs {
		keeps, gives := p.first, p.second
		if b.options.Overlap == OverlapLast {
			keeps, gives = gives, keeps
		}
		if b.zones[gives].Region, err = b.zones[gives].Region.Subtract(b.zones[keeps].Region); err != nil {
			return fmt.Errorf("zones %s and %s: %w", b.zones[keeps].ID, b.zones[gives].ID, err)
		}
	}
	b.noteOverlaps(pairs, total)
	return b.dropEmpty("covered by other zones")
}

func (b *zoneBuilder) noteOverlaps(pairs []overlap, total unit.Area) {
	const worthTelling = 1 // m2: below this, overlaps are rounding of the vertices
	if total.SquareMetres() < worthTelling {
		return
	}
	keeper := "first"
	if b.options.Overlap == OverlapLast {
		keeper = "last"
	}
	b.note("%s of zones overlap by %s together; the zone that comes %s in the file keeps that ground", countOf(len(pairs), "pair"), b.share(total), keeper)
}

// overlap is ground that two regions, by their place in a list, share.
type overlap struct {
	first, second int
	area          unit.Area
}

// overlaps returns the pairs of regions that share ground, largest first, and
// the sum of what they share. Their survey tells which regions have ground of
// another at all; only these are compared by overlay.
func overlaps(regions []geo.Region, found survey) ([]overlap, unit.Area, error) {
	maybe := sharingPairs(regions, found)
	areas := make([]unit.Area, len(maybe))
	err := parallel.Try(len(maybe), 0, func(i int) error {
		shared, err := regions[maybe[i][0]].Intersect(regions[maybe[i][1]])
		areas[i] = shared.Area()
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	var pairs []overlap
	var total unit.Area
	for i, p := range maybe {
		if a := areas[i]; a > 0 {
			pairs = append(pairs, overlap{p[0], p[1], a})
			total += a
		}
	}
	sort.SliceStable(pairs, func(i, j int) bool { return pairs[i].area > pairs[j].area })
	return pairs, total, nil
}

// sharingPairs returns the pairs i < j, in order, whose boxes meet and of which j
// has ground of a region before it.
func sharingPairs(regions []geo.Region, found survey) [][2]int {
	var near *boxes.Index
	var pairs [][2]int
	for j, r := range regions {
		if !found.sharesGround(j, r) {
			continue
		}
		if near == nil {
			near = boxes.Of(regions)
		}
		for _, i := range near.Near(r.Bound()) {
			if i < j {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	sort.Slice(pairs, func(a, b int) bool {
		return pairs[a][0] < pairs[b][0] || pairs[a][0] == pairs[b][0] && pairs[a][1] < pairs[b][1]
	})
	return pairs
}

// dropEmpty removes zones that have no ground left and says so.
func (b *zoneBuilder) dropEmpty(why string) error {
	var kept []Zone
	var gone []string
	for _, z := range b.zones {
		if z.Region.IsEmpty() {
			gone = append(gone, z.ID)
			continue
		}
		kept = append(kept, z)
	}
	if len(gone) > 0 {
		b.note("%s left out, %s: %s", countOf(len(gone), "zone"), why, listOf(gone))
	}
	b.zones = kept
	return nil
}

// closeGaps treats ground of the field that no zone claims.
func (b *zoneBuilder) closeGaps() error {
	gaps, err := b.unclaimed()
	if err != nil || gaps.IsEmpty() {
		return err
	}
	allowed := unit.Area(b.options.GapTolerance) * b.field.Ground.Area()
	if b.options.Gap == GapRefuse && gaps.Area() > allowed {
		file := b.zones[0].At.File
		return &vector.InputError{File: file, What: fmt.Sprintf("no zone covers %s, above the %s allowed", b.share(gaps.Area()), AreaText(b.options.Units, allowed)), Fix: "extend the zones to the boundary, or choose what happens to gaps"}
	}
	var filled, left unit.Area
	near := boxes.Of(zoneRegions(b.zones))
	gains := make([][]geo.Region, len(b.zones))
	for _, p := range gaps.Parts() {
		to := -1
		if b.options.Gap == GapFill || p.Area() < b.options.SliverBelow {
			to = b.longestEdge(near, p)
		}
		if to < 0 {
			left += p.Area()
			continue
		}
		gains[to] = append(gains[to], p)
		filled += p.Area()
	}
	// All at once, for a border of teeth leaves gaps by the thousand. They share no
	// edges, so that none of them changes where another goes.
	err = parallel.Try(len(gains), 0, func(to int) (err error) {
		if len(gains[to]) == 0 {
			return nil
		}
		if b.zones[to].Region, err = geo.UnionAll(append(gains[to], b.zones[to].Region)); err != nil {
			err = fmt.Errorf("gaps beside zone %s: %w", b.zones[to].ID, err)
		}
		return err
	})
	if err != nil {
		return err
	}
	b.noteGaps(filled, left)
	return nil
}

func (b *zoneBuilder) noteGaps(filled, left unit.Area) {
	const worthTelling = 1 // m2
	if filled.SquareMetres() >= worthTelling {
		b.note("gaps between zones of %s together went to the zone each shares its longest edge with", b.share(filled))
	}
	if left.SquareMetres() >= worthTelling {
		fate := b.options.Unzoned
		if fate == "" {
			fate = "no rate is prescribed there, and the map says zero"
		}
		b.note("no zone covers %s: %s", b.share(left), fate)
	}
}

// unclaimed is the ground of the field that no zone claims.
func (b *zoneBuilder) unclaimed() (geo.Region, error) {
	if b.gaps != nil {
		return b.field.worthTaking(*b.gaps), nil
	}
	return unzoned(b.field, zoneRegions(b.zones))
}

// unzoned is the field's ground in none of the regions; empty where that is nothing but
// rounding. Regions that share ground are swept before they are joined, unless they are
// intricate.
func unzoned(f Field, zones []geo.Region) (geo.Region, error) {
	if rest, ok := f.Ground.SubtractApart(zones); ok {
		return f.worthTaking(rest), nil
	}
	if !areIntricate(zones) {
		if f.isRounding(surveyOf(zones, f.Ground).bare[0]) {
			return geo.Region{}, nil
		}
	}
	all, err := geo.UnionAll(zones)
	if err != nil {
		return geo.Region{}, fmt.Errorf("zones: %w", err)
	}
	rest, err := f.Ground.Subtract(all)
	if err != nil {
		return geo.Region{}, fmt.Errorf("field less zones: %w", err)
	}
	return f.worthTaking(rest), nil
}

// worthTaking is what is left of a field, or nothing where that is rounding.
func (f Field) worthTaking(rest geo.Region) geo.Region {
	if f.isRounding(rest.Area()) {
		return geo.Region{}
	}
	return rest
}

// isRounding reports whether an area is what rounding leaves of a field.
func (f Field) isRounding(a unit.Area) bool {
	return float64(a) <= noGround*float64(f.Ground.Area())
}

func zoneRegions(zones []Zone) []geo.Region {
	out := make([]geo.Region, len(zones))
	for i, z := range zones {
		out[i] = z.Region
	}
	return out
}
