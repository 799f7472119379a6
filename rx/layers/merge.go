package layers

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx/internal/pieces"
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

// merger joins parts.
type merger struct {
	*pieces.Set
	parts []part
	like  []int // by number, the part whose labels and place it has
	rank  []int // of parts by their labels, then as they were given
}

func mergerOf(parts []part, least unit.Area) *merger {
	m := &merger{parts: parts, rank: make([]int, len(parts))}
	regions := make([]geo.Region, len(parts))
	for i, p := range parts {
		regions[i] = p.region
		m.like = append(m.like, i)
	}
	m.Set = pieces.Of(regions, least)
	byLabel := slices.Clone(m.like)
	slices.SortStableFunc(byLabel, func(i, j int) int { return slices.Compare(parts[i].labels(), parts[j].labels()) })
	for rank, i := range byLabel {
		m.rank[i] = rank
	}
	for i := range parts {
		m.Offer(i, m.rank[i])
	}
	return m
}

func (m *merger) mergeAll() (done merges) {
	if !m.Waits() {
		return done
	}
	m.Measure()
	for i, ok := m.Next(); ok; i, ok = m.Next() {
		if into := m.likest(i); into >= 0 {
			done.count++
			done.area += m.Area[i]
			m.give(i, into)
		}
	}
	return done
}

// likest is the neighbour of a part that differs in the fewest labels and, of those, has
// the longest common border; the first of equals in the order of areas, and -1 where there
// is none.
func (m *merger) likest(i int) int {
	beside := slices.SortedFunc(maps.Keys(m.Border[i]), func(j, k int) int {
		return cmp.Or(cmp.Compare(m.Area[j], m.Area[k]), cmp.Compare(m.rank[m.like[j]], m.rank[m.like[k]]))
	})
	best, fewest, longest := -1, math.MaxInt, unit.Length(0)
	for _, j := range beside {
		m.Steps++
		differ := m.differ(i, j)
		if border := m.Border[i][j]; differ < fewest || differ == fewest && border > longest+pieces.Same {
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

// give joins part i with the one that it goes to, whose labels both have then.
func (m *merger) give(i, into int) {
	like := m.like[into]
	kept := m.Join(into, i)
	m.like[kept] = like
	m.Offer(kept, m.rank[like])
}

// result is the parts as they are joined now, in the order in which they were given.
func (m *merger) result() ([]part, error) {
	regions := make([][]geo.Region, len(m.parts))
	for i, p := range m.parts {
		to := m.like[m.Number(i)]
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
