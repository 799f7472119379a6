package rx

import (
	"fmt"
	"math"
	"sort"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// sliver is a connected piece of a zone that is smaller than the limit.
type sliver struct {
	zone  int
	piece geo.Region
}

// mergeSlivers gives connected pieces of a zone that are smaller than the limit
// to the zone they share the longest edge with, smallest first. A piece that
// touches no other zone stays.
//
// A merge can make a sliver large enough or join it with another, so they are
// looked for again until nothing moves or they get no fewer: across a crack of
// less than the millimetre that a shared edge allows, a merge joins nothing.
func (b *zoneBuilder) mergeSlivers() error {
	var moved unit.Area
	count, before := 0, math.MaxInt
	for {
		found := b.slivers()
		if len(found) >= before {
			b.noteSlivers(count, moved, len(found))
			return b.dropEmpty("slivers throughout")
		}
		before = len(found)
		merged, err := b.mergeOnce(found)
		if err != nil {
			return err
		}
		for _, s := range merged {
			moved += s.piece.Area()
		}
		count += len(merged)
	}
}

// mergeOnce merges what it can and returns it. Pieces of a zone that has just
// gained ground wait for the next look.
func (b *zoneBuilder) mergeOnce(found []sliver) ([]sliver, error) {
	if len(found) == 0 {
		return nil, nil
	}
	near := boxesOf(zoneRegions(b.zones))
	gained := map[int]bool{}
	var merged []sliver
	for _, s := range found {
		if gained[s.zone] {
			continue
		}
		to := b.longestEdge(near, s.piece, s.zone)
		if to < 0 {
			continue
		}
		if err := b.move(s, to); err != nil {
			return nil, err
		}
		near.add(to, b.zones[to].Region.Bound())
		gained[to] = true
		merged = append(merged, s)
	}
	return merged, nil
}

func (b *zoneBuilder) noteSlivers(count int, moved unit.Area, alone int) {
	limit := areaText(b.options.SliverBelow)
	if count > 0 {
		b.note("%s below %s (%s together) merged into the zone each shares its longest edge with", countOf(count, "sliver"), limit, areaText(moved))
	}
	if alone > 0 {
		b.note("%s below %s that join no other zone left as drawn", countOf(alone, "piece"), limit)
	}
}

func (b *zoneBuilder) slivers() []sliver {
	var found []sliver
	for i, z := range b.zones {
		if len(z.Region.Polygons()) == 1 && z.Region.Area() >= b.options.SliverBelow {
			continue
		}
		for _, p := range z.Region.Parts() {
			if p.Area() < b.options.SliverBelow {
				found = append(found, sliver{i, p})
			}
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].piece.Area() < found[j].piece.Area() })
	return found
}

// move takes a sliver out of its zone and into another.
func (b *zoneBuilder) move(s sliver, to int) error {
	var err error
	if b.zones[to].Region, err = b.zones[to].Region.Union(s.piece); err != nil {
		return fmt.Errorf("sliver of zone %s: %w", b.zones[s.zone].ID, err)
	}
	if b.zones[s.zone].Region, err = b.zones[s.zone].Region.Subtract(s.piece); err != nil {
		return fmt.Errorf("sliver of zone %s: %w", b.zones[s.zone].ID, err)
	}
	return nil
}

// longestEdge returns the zone of those near, other than except, that shares the
// longest common boundary with p, and -1 where none does. The first of equals wins.
func (b *zoneBuilder) longestEdge(near *boxes, p geo.Region, except int) int {
	const reach = 0.01 // m: boxes of neighbours may miss each other by rounding
	box := p.Bound().Pad(reach)
	best, length := -1, unit.Length(0)
	for _, i := range near.near(box) {
		z := b.zones[i]
		if i == except || z.Region.IsEmpty() || !box.Intersects(z.Region.Bound()) {
			continue
		}
		if l := p.SharedEdge(z.Region); l > length {
			best, length = i, l
		}
	}
	return best
}
