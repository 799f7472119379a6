package rx

import (
	"fmt"
	"maps"
	"slices"

	"ratewright/geo"
	"ratewright/geo/parallel"
	"ratewright/geo/unit"
	"ratewright/rx/internal/boxes"
	"ratewright/rx/internal/pieces"
)

// mergeSlivers gives connected pieces of a zone that are smaller than the limit
// to the zone they share the longest edge with, smallest first. A merge can make a
// sliver large enough or join it with another, which is then looked at as one. A
// piece that touches no other zone stays.
func (b *zoneBuilder) mergeSlivers() error {
	p := piecesOf(b.zones, b.options.SliverBelow)
	if !p.Waits() {
		return nil
	}
	count, moved := p.mergeAll()
	if err := b.gather(p); err != nil {
		return err
	}
	b.noteSlivers(count, moved, p.alone())
	return b.dropEmpty("slivers throughout")
}

// mergeAll merges slivers until none is left that touches another zone. It tells how
// many it moved and how much ground.
func (p *zonePieces) mergeAll() (count int, moved unit.Area) {
	p.Measure()
	for i, ok := p.Next(); ok; i, ok = p.Next() {
		if to := p.longestBorder(i); to >= 0 {
			count++
			moved += p.Area[i]
			p.give(i, to)
		}
	}
	return count, moved
}

// gather gives the zones the pieces that are theirs now.
func (b *zoneBuilder) gather(p *zonePieces) error {
	parts := make([][]geo.Region, len(b.zones))
	changed := make([]bool, len(b.zones))
	for i, r := range p.Regions {
		to := p.zone[p.Number(i)]
		parts[to] = append(parts[to], r)
		if from := p.first[i]; from != to {
			changed[from], changed[to] = true, true
		}
	}
	return parallel.Try(len(b.zones), 0, func(i int) (err error) {
		if !changed[i] {
			return nil
		}
		if b.zones[i].Region, err = geo.UnionAll(parts[i]); err != nil {
			err = fmt.Errorf("slivers of zone %s: %w", b.zones[i].ID, err)
		}
		return err
	})
}

func (b *zoneBuilder) noteSlivers(count int, moved unit.Area, alone int) {
	limit := AreaText(b.options.Units, b.options.SliverBelow)
	if count > 0 {
		b.note("%s below %s (%s together) merged into the zone each shares its longest edge with", countOf(count, "sliver"), limit, AreaText(b.options.Units, moved))
	}
	if alone > 0 {
		b.note("%s below %s that join no other zone left as drawn", countOf(alone, "piece"), limit)
	}
}

// zonePieces are the connected pieces of all zones.
type zonePieces struct {
	*pieces.Set
	first []int // the zone that each was drawn in
	zone  []int // by number, the zone that it is in now
}

// piecesOf lists the pieces of zones and has those below the limit wait.
func piecesOf(zones []Zone, limit unit.Area) *zonePieces {
	var p zonePieces
	var regions []geo.Region
	for i, z := range zones {
		for _, r := range z.Region.Parts() {
			regions = append(regions, r)
			p.first = append(p.first, i)
		}
	}
	p.Set, p.zone = pieces.Of(regions, limit), slices.Clone(p.first)
	for n := range regions {
		p.Offer(n, p.zone[n])
	}
	return &p
}

// longestBorder is the zone that a piece shares the longest edge with, and -1 where
// it touches no other. The first of equals wins.
func (p *zonePieces) longestBorder(i int) int {
	shared := map[int]unit.Length{}
	for _, j := range slices.Sorted(maps.Keys(p.Border[i])) {
		p.Steps++
		if p.zone[j] != p.zone[i] {
			shared[p.zone[j]] += p.Border[i][j]
		}
	}
	best, length := -1, unit.Length(0)
	for _, z := range slices.Sorted(maps.Keys(shared)) {
		if best < 0 || shared[z] > length+pieces.Same {
			best, length = z, shared[z]
		}
	}
	return best
}

// give moves a piece to a zone and joins it with the pieces that it borders on
// there.
func (p *zonePieces) give(i, to int) {
	from, whole := p.zone[i], i
	p.zone[i] = to
	for _, j := range slices.Sorted(maps.Keys(p.Border[i])) {
		switch {
		case p.zone[j] == to:
			whole = p.Join(whole, j)
		case p.zone[j] == from:
			p.Offer(j, from) // across a crack; it may have had no other zone beside it
		}
	}
	p.Offer(whole, to)
}

// alone counts the pieces that are still below the limit.
func (p *zonePieces) alone() int {
	n := 0
	for i := range p.Regions {
		if p.Number(i) == i && p.IsSmall(i) {
			n++
		}
	}
	return n
}

// longestEdge returns the zone of those near that shares the longest common
// boundary with p, and -1 where none does. The first of equals wins.
func (b *zoneBuilder) longestEdge(near *boxes.Index, p geo.Region) int {
	best, length := -1, unit.Length(0)
	for _, i := range near.Beside(p) {
		if l := p.SharedEdge(b.zones[i].Region); l > length {
			best, length = i, l
		}
	}
	return best
}
