package cover

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// joinRows puts the trapezoids of all rows together into patches.
func joinRows(rows []rowResult, o Options) ([]Patch, map[int]SmallPatches) {
	j := joiner{small: make(map[int]SmallPatches)}
	for i := range rows {
		if rows[i].rec != nil {
			j.takeRow(rows[i].rec)
		}
	}
	j.closeLine(nil)
	return j.patches(o), j.small
}

// joiner holds the trapezoids of all rows under common numbers.
type joiner struct {
	traps    []trap
	shares   []share
	parent   []int32
	segments [maxKinds][]segment
	tops     [maxKinds][]span // of the row before
	topY     float64
	small    map[int]SmallPatches
}

// takeRow adds a row and joins its lower line to the row before.
func (j *joiner) takeRow(r *recorder) {
	base := int32(len(j.traps))
	j.traps = append(j.traps, r.traps...)
	for i := range r.traps {
		j.parent = append(j.parent, base+int32(i))
	}
	for _, s := range r.shares {
		s.trap += base
		j.shares = append(j.shares, s)
	}
	for _, l := range r.links {
		j.union(base+l[0], base+l[1])
	}
	for k := range r.segments {
		for _, s := range r.segments[k] {
			s.trap += base
			j.segments[k] = append(j.segments[k], s)
		}
		renumber(r.bottoms[k], base)
		renumber(r.tops[k], base)
		j.addSmall(k, r.slivers[k])
	}
	if len(r.traps) == 0 {
		j.closeLine(nil)
		return
	}
	if j.topY != r.bottomY {
		j.closeLine(nil)
	}
	j.topY = r.bottomY
	j.closeLine(&r.bottoms)
	j.tops, j.topY = r.tops, r.topY
}

// closeLine joins the open tops with what begins on the same line.
func (j *joiner) closeLine(bottoms *[maxKinds][]span) {
	for k := range j.tops {
		var above []span
		if bottoms != nil {
			above = bottoms[k]
		}
		joinSpans(above, j.tops[k], func(a, b float64, t int32) {
			j.segments[k] = append(j.segments[k], segment{orb.Point{a, j.topY}, orb.Point{b, j.topY}, t})
		}, j.union)
		j.tops[k] = nil
	}
}

func renumber(spans []span, base int32) {
	for i := range spans {
		spans[i].trap += base
	}
}

func (j *joiner) find(i int32) int32 {
	for j.parent[i] != i {
		j.parent[i] = j.parent[j.parent[i]]
		i = j.parent[i]
	}
	return i
}

func (j *joiner) union(a, b int32) {
	a, b = j.find(a), j.find(b)
	if a != b {
		j.parent[max(a, b)] = min(a, b)
	}
}

func (j *joiner) addSmall(k int, s SmallPatches) {
	if s.AreaM2 == 0 {
		return
	}
	t := j.small[k]
	t.Count += s.Count
	t.AreaM2 += s.AreaM2
	for i := range t.Amounts {
		t.Amounts[i] += s.Amounts[i]
	}
	j.small[k] = t
}

// patches sums the trapezoids by patch and outlines the large ones.
func (j *joiner) patches(o Options) []Patch {
	at := make(map[int32]int) // root -> patch
	var found []Patch
	for i := range j.traps {
		root := j.find(int32(i))
		p, ok := at[root]
		if !ok {
			p = len(found)
			at[root] = p
			found = append(found, Patch{Kind: int(j.traps[i].kind), Label: None})
		}
		found[p].AreaM2 += j.traps[i].areaM2
		for a := range found[p].Amounts {
			found[p].Amounts[a] += j.traps[i].amounts[a]
		}
	}
	j.labels(at, found)
	outlines := make([][]segment, len(found))
	for k := range j.segments {
		for _, s := range j.segments[k] {
			if p := at[j.find(s.trap)]; found[p].AreaM2 >= o.MinPatchM2 {
				outlines[p] = append(outlines[p], s)
			}
		}
	}
	return j.outline(found, outlines, o)
}

// labels gives each patch the label with the largest share of it.
func (j *joiner) labels(at map[int32]int, found []Patch) {
	type key struct {
		patch int
		label int32
	}
	sums := make(map[key]float64)
	for _, s := range j.shares {
		sums[key{at[j.find(s.trap)], s.label}] += s.areaM2
	}
	best := make([]float64, len(found))
	for k, a := range sums {
		if a > best[k.patch] || a == best[k.patch] && k.label < found[k.patch].Label {
			best[k.patch], found[k.patch].Label = a, k.label
		}
	}
}

// outline traces the patches that are large enough and sums the others.
func (j *joiner) outline(found []Patch, outlines [][]segment, o Options) []Patch {
	snap := o.Snap
	if snap == nil {
		snap = snapMicrometre
	}
	var listed []Patch
	for i := range found {
		p := found[i]
		if p.AreaM2 >= o.MinPatchM2 {
			p.Polygons = trace(outlines[i], snap)
		}
		if len(p.Polygons) == 0 {
			j.addSmall(p.Kind, SmallPatches{Count: 1, AreaM2: p.AreaM2, Amounts: p.Amounts})
			continue
		}
		listed = append(listed, p)
	}
	slices.SortStableFunc(listed, func(a, b Patch) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(b.AreaM2, a.AreaM2))
	})
	return listed
}

// snapMicrometre is the grid of outlines when the caller names none.
func snapMicrometre(p orb.Point) orb.Point {
	return orb.Point{math.Round(p[0]*1e6) / 1e6, math.Round(p[1]*1e6) / 1e6}
}
