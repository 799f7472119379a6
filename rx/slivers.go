package rx

import (
	"container/heap"
	"fmt"
	"maps"
	"slices"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx/internal/boxes"
)

// mergeSlivers gives connected pieces of a zone that are smaller than the limit
// to the zone they share the longest edge with, smallest first. A merge can make a
// sliver large enough or join it with another, which is then looked at as one. A
// piece that touches no other zone stays.
func (b *zoneBuilder) mergeSlivers() error {
	p := piecesOf(b.zones, b.options.SliverBelow)
	if p.queue.Len() == 0 {
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
func (p *pieces) mergeAll() (count int, moved unit.Area) {
	p.findBorders()
	for p.queue.Len() > 0 {
		s := heap.Pop(&p.queue).(queued)
		if p.joined(s.piece) != s.piece || p.area[s.piece] != s.area {
			continue // it has grown since
		}
		if to := p.longestBorder(s.piece); to >= 0 {
			count++
			moved += s.area
			p.give(s.piece, to)
		}
	}
	return count, moved
}

// gather gives the zones the pieces that are theirs now.
func (b *zoneBuilder) gather(p *pieces) error {
	parts := make([][]geo.Region, len(b.zones))
	changed := make([]bool, len(b.zones))
	for i, r := range p.regions {
		to := p.zone[p.joined(i)]
		parts[to] = append(parts[to], r)
		if from := p.first[i]; from != to {
			changed[from], changed[to] = true, true
		}
	}
	for i := range b.zones {
		if !changed[i] {
			continue
		}
		if len(parts[i]) == 0 {
			b.zones[i].Region = geo.Region{}
			continue
		}
		var err error
		if b.zones[i].Region, err = geo.UnionAll(parts[i]); err != nil {
			return fmt.Errorf("slivers of zone %s: %w", b.zones[i].ID, err)
		}
	}
	return nil
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

// pieces are the connected pieces of all zones. Pieces that have been joined go by
// one of their numbers.
type pieces struct {
	regions []geo.Region
	first   []int // the zone that each was drawn in
	limit   unit.Area
	queue   sliverQueue

	// Of joined pieces, by their number.
	up     []int // to the number they go by
	zone   []int
	area   []unit.Area
	border []map[int]unit.Length // shared with each of the others

	steps int // pieces and borders looked at
}

// piecesOf lists the pieces of zones and queues those below the limit.
func piecesOf(zones []Zone, limit unit.Area) *pieces {
	p := &pieces{limit: limit}
	for i, z := range zones {
		for _, r := range z.Region.Parts() {
			n := len(p.regions)
			p.regions = append(p.regions, r)
			p.first = append(p.first, i)
			p.zone = append(p.zone, i)
			p.up = append(p.up, n)
			p.area = append(p.area, r.Area())
			p.border = append(p.border, map[int]unit.Length{})
			p.enqueue(n)
		}
	}
	return p
}

func (p *pieces) enqueue(n int) {
	if p.area[n] < p.limit {
		heap.Push(&p.queue, queued{n, p.zone[n], p.area[n]})
	}
}

// findBorders measures the edges that slivers share with their neighbours.
func (p *pieces) findBorders() {
	const reach = 0.01 // m: boxes of neighbours may miss each other by rounding
	near := boxes.Of(p.regions)
	for i, r := range p.regions {
		if p.area[i] >= p.limit {
			continue
		}
		box := r.Bound().Pad(reach)
		for _, j := range near.Near(box) {
			if _, known := p.border[i][j]; known || i == j || !box.Intersects(p.regions[j].Bound()) {
				continue
			}
			p.steps++
			if l := r.SharedEdge(p.regions[j]); l > 0 {
				p.border[i][j], p.border[j][i] = l, l
			}
		}
	}
}

// joined is the number that piece i goes by.
func (p *pieces) joined(i int) int {
	for p.up[i] != i {
		p.up[i] = p.up[p.up[i]]
		i = p.up[i]
	}
	return i
}

// longestBorder is the zone that a piece shares the longest edge with, and -1 where
// it touches no other. The first of equals wins.
func (p *pieces) longestBorder(i int) int {
	const same = 1e-6 // m: what the ends of edges that are drawn alike may differ by
	shared := map[int]unit.Length{}
	for _, j := range slices.Sorted(maps.Keys(p.border[i])) {
		p.steps++
		if p.zone[j] != p.zone[i] {
			shared[p.zone[j]] += p.border[i][j]
		}
	}
	best, length := -1, unit.Length(0)
	for _, z := range slices.Sorted(maps.Keys(shared)) {
		if best < 0 || shared[z] > length+unit.Metres(same) {
			best, length = z, shared[z]
		}
	}
	return best
}

// give moves a piece to a zone and joins it with the pieces that it borders on
// there.
func (p *pieces) give(i, to int) {
	from, whole := p.zone[i], i
	p.zone[i] = to
	for _, j := range slices.Sorted(maps.Keys(p.border[i])) {
		switch {
		case p.zone[j] == to:
			whole = p.join(whole, j)
		case p.zone[j] == from:
			p.enqueue(j) // across a crack; it may have had no other zone beside it
		}
	}
	p.enqueue(whole)
}

// join makes one of two pieces of a zone; the one with the longer list of borders
// keeps its number, so that each border is moved a few times at most.
func (p *pieces) join(i, j int) int {
	if len(p.border[i]) < len(p.border[j]) {
		i, j = j, i
	}
	for k, l := range p.border[j] {
		p.steps++
		delete(p.border[k], j)
		if k != i {
			p.border[i][k] += l
			p.border[k][i] = p.border[i][k]
		}
	}
	p.border[j] = nil
	p.up[j] = i
	p.area[i] += p.area[j]
	return i
}

// alone counts the pieces that are still below the limit.
func (p *pieces) alone() int {
	n := 0
	for i := range p.regions {
		if p.joined(i) == i && p.area[i] < p.limit {
			n++
		}
	}
	return n
}

// queued is a piece that was below the limit when it had this area.
type queued struct {
	piece, zone int
	area        unit.Area
}

// sliverQueue is a heap of slivers, the smallest first; of equals, in the order of
// zones and of their pieces.
type sliverQueue []queued

func (q sliverQueue) Len() int { return len(q) }
func (q sliverQueue) Less(i, j int) bool {
	if q[i].area != q[j].area {
		return q[i].area < q[j].area
	}
	return q[i].zone < q[j].zone || q[i].zone == q[j].zone && q[i].piece < q[j].piece
}
func (q sliverQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *sliverQueue) Push(x any)   { *q = append(*q, x.(queued)) }
func (q *sliverQueue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}

// longestEdge returns the zone of those near that shares the longest common
// boundary with p, and -1 where none does. The first of equals wins.
func (b *zoneBuilder) longestEdge(near *boxes.Index, p geo.Region) int {
	const reach = 0.01 // m: boxes of neighbours may miss each other by rounding
	box := p.Bound().Pad(reach)
	best, length := -1, unit.Length(0)
	for _, i := range near.Near(box) {
		z := b.zones[i]
		if z.Region.IsEmpty() || !box.Intersects(z.Region.Bound()) {
			continue
		}
		if l := p.SharedEdge(z.Region); l > length {
			best, length = i, l
		}
	}
	return best
}
