package layers

import (
	"cmp"
	"container/heap"
	"maps"
	"math"
	"slices"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx/internal/boxes"
)

// merges are how many parts joined another, and how much ground.
type merges struct {
	count int
	area  unit.Area
}

// mergeSmall joins parts below an area to a neighbour, the smallest first. A part that
// is still below it after others have joined it is looked at again.
func mergeSmall(parts []part, least unit.Area) ([]part, merges, error) {
	m := mergerOf(parts, least)
	done := m.mergeAll()
	if done.count == 0 {
		return parts, done, nil
	}
	joined, err := m.result()
	return joined, done, err
}

// merger joins parts. Those that have been joined go by
// one of their numbers.
type merger struct {
	parts  []part
	least  unit.Area
	queue  smallest
	up     []int // to the number a part goes by
	like   []int // the part whose labels and place it has
	area   []unit.Area
	border []map[int]float64 // m, shared with each of the others

	steps int // borders looked at
}

func mergerOf(parts []part, least unit.Area) *merger {
	m := &merger{parts: parts, least: least}
	for i, p := range parts {
		m.up, m.like = append(m.up, i), append(m.like, i)
		m.area = append(m.area, p.region.Area())
		m.border = append(m.border, map[int]float64{})
	}
	m.queue.before = m.before
	for i := range parts {
		m.enqueue(i)
	}
	return m
}

func (m *merger) enqueue(i int) {
	if m.area[i] < m.least {
		heap.Push(&m.queue, queued{i, m.area[i]})
	}
}

func (m *merger) mergeAll() (done merges) {
	if m.queue.Len() > 0 {
		m.findBorders()
	}
	for m.queue.Len() > 0 {
		s := heap.Pop(&m.queue).(queued)
		if m.joined(s.part) != s.part || m.area[s.part] != s.area {
			continue // it has grown since
		}
		if into := m.likest(s.part); into >= 0 {
			done.count++
			done.area += s.area
			m.give(s.part, into)
		}
	}
	return done
}

// findBorders measures the borders of small parts.
func (m *merger) findBorders() {
	const touch = 1e-6 // m: boxes of neighbours may miss each other by rounding
	regions := make([]geo.Region, len(m.parts))
	for i, p := range m.parts {
		regions[i] = p.region
	}
	near := boxes.Of(regions)
	for i, r := range regions {
		if m.area[i] >= m.least {
			continue
		}
		box := r.Bound().Pad(touch)
		for _, j := range near.Near(box) {
			if _, known := m.border[i][j]; known || i == j || !box.Intersects(regions[j].Bound()) {
				continue
			}
			m.steps++
			if l := r.SharedEdge(regions[j]).Metres(); l > 0 {
				m.border[i][j], m.border[j][i] = l, l
			}
		}
	}
}

// joined is the number that part i goes by.
func (m *merger) joined(i int) int {
	for m.up[i] != i {
		m.up[i] = m.up[m.up[i]]
		i = m.up[i]
	}
	return i
}

// before orders parts by area a and b, then by their labels, then as they were given.
func (m *merger) before(i int, a unit.Area, j int, b unit.Area) int {
	if a != b {
		return cmp.Compare(a, b)
	}
	i, j = m.like[i], m.like[j]
	return cmp.Or(slices.Compare(m.parts[i].labels(), m.parts[j].labels()), cmp.Compare(i, j))
}

// likest is the neighbour of a part that differs in the fewest labels and, of those, has
// the longest common border; the first of equals in the order of areas, and -1 where there
// is none.
func (m *merger) likest(i int) int {
	const same = 1e-6 // m: what borders that are drawn alike may differ by
	beside := slices.SortedFunc(maps.Keys(m.border[i]), func(j, k int) int { return m.before(j, m.area[j], k, m.area[k]) })
	best, fewest, longest := -1, math.MaxInt, 0.0
	for _, j := range beside {
		m.steps++
		differ := m.differ(i, j)
		if border := m.border[i][j]; differ < fewest || differ == fewest && border > longest+same {
			best, fewest, longest = j, differ, border
		}
	}
	return best
}

// differ counts the labels in which two parts differ.
func (m *merger) differ(i, j int) int {
	n := 0
	other := m.parts[m.like[j]].of
	for k, z := range m.parts[m.like[i]].of {
		if z.ID != other[k].ID {
			n++
		}
	}
	return n
}

// give joins part i with the one that it goes to. The one with the longer list of
// borders keeps its number, so that each border is moved a few times at most.
func (m *merger) give(i, into int) {
	like := m.like[into]
	kept, gone := into, i
	if len(m.border[gone]) > len(m.border[kept]) {
		kept, gone = gone, kept
	}
	for k, l := range m.border[gone] {
		m.steps++
		delete(m.border[k], gone)
		if k != kept {
			m.border[kept][k] += l
			m.border[k][kept] = m.border[kept][k]
		}
	}
	m.border[gone] = nil
	m.up[gone], m.like[kept] = kept, like
	m.area[kept] += m.area[gone]
	m.enqueue(kept)
}

// result is the parts as they are joined now, in the order in which they were given.
func (m *merger) result() ([]part, error) {
	regions := make([][]geo.Region, len(m.parts))
	for i, p := range m.parts {
		to := m.like[m.joined(i)]
		regions[to] = append(regions[to], p.region)
	}
	var out []part
	for i, list := range regions {
		if len(list) == 0 {
			continue
		}
		all, err := geo.UnionAll(list)
		if err != nil {
			return nil, err
		}
		out = append(out, part{all, m.parts[i].of})
	}
	return out, nil
}

// queued is a part that was too small when it had this area.
type queued struct {
	part int
	area unit.Area
}

// smallest is a heap of small parts, the smallest first.
type smallest struct {
	list   []queued
	before func(i int, a unit.Area, j int, b unit.Area) int
}

func (q smallest) Len() int { return len(q.list) }
func (q smallest) Less(i, j int) bool {
	a, b := q.list[i], q.list[j]
	return q.before(a.part, a.area, b.part, b.area) < 0
}
func (q smallest) Swap(i, j int) { q.list[i], q.list[j] = q.list[j], q.list[i] }
func (q *smallest) Push(x any)   { q.list = append(q.list, x.(queued)) }
func (q *smallest) Pop() any {
	last := q.list[len(q.list)-1]
	q.list = q.list[:len(q.list)-1]
	return last
}
