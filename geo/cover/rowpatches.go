package cover

import (
	"slices"

	"github.com/paulmach/orb"
)

// rowPatches is what a row of blocks gives to the patches: the patches that lie
// wholly in it, and of others the parts, one for each patch that reaches a line to
// the next row.
type rowPatches struct {
	patches       []Patch
	parts         []trap
	shares        []share
	chains        [maxKinds]chains
	bottomY, topY float64
	bottoms, tops [maxKinds][]span
	small         [maxKinds]SmallPatches
}

// dropped numbers trapezoids of patches too small to outline; whole patches have
// the numbers below it, parts those from 0.
const dropped = -1

// close joins the row's trapezoids into patches and parts.
func (r *recorder) close(minM2 float64) *rowPatches {
	p := &rowPatches{bottomY: r.bottomY, topY: r.topY, small: r.slivers}
	r.parent = identity(r.parent, len(r.traps))
	for _, l := range r.links {
		union(r.parent, l[0], l[1])
	}
	r.sumParts(p, r.touching(), minM2)
	r.wholeShares = r.wholeShares[:0]
	for _, s := range r.shares {
		switch n := r.number[s.trap]; {
		case n >= 0:
			s.trap = n
			p.addShare(s)
		case n < dropped:
			s.trap = dropped - 1 - n
			r.wholeShares = append(r.wholeShares, s)
		}
	}
	r.wholes = identity(r.wholes, len(p.patches))
	labels(r.wholeShares, r.wholes, p.patches)
	for k := range r.segments {
		r.outline(p, k)
		p.bottoms[k] = r.renumbered(r.bottoms[k])
		p.tops[k] = r.renumbered(r.tops[k])
	}
	return p
}

// touching marks the roots of the trapezoids that reach a line to another row.
func (r *recorder) touching() []bool {
	touches := make([]bool, len(r.traps))
	for k := range r.bottoms {
		for _, s := range r.bottoms[k] {
			touches[find(r.parent, s.trap)] = true
		}
		for _, s := range r.tops[k] {
			touches[find(r.parent, s.trap)] = true
		}
	}
	return touches
}

// sumParts numbers the trapezoids by part or whole patch and sums those.
func (r *recorder) sumParts(p *rowPatches, touches []bool, minM2 float64) {
	// A root has the lowest number of its part, so it comes first.
	sums := make([]trap, len(r.traps))
	for i := range r.traps {
		sums[find(r.parent, int32(i))].add(&r.traps[i])
	}
	r.number = identity(r.number, len(r.traps))
	for i := range r.traps {
		root := find(r.parent, int32(i))
		t := &sums[i]
		switch {
		case root != int32(i):
			r.number[i] = r.number[root]
		case touches[i]:
			r.number[i] = int32(len(p.parts))
			t.kind, t.share = r.traps[i].kind, -1
			p.parts = append(p.parts, *t)
		case t.areaM2 < minM2:
			p.small[r.traps[i].kind].add(SmallPatches{1, t.areaM2, t.amounts})
			r.number[i] = dropped
		default:
			r.number[i] = dropped - 1 - int32(len(p.patches))
			p.patches = append(p.patches, Patch{Kind: int(r.traps[i].kind), AreaM2: t.areaM2, Amounts: t.amounts, Label: None})
		}
	}
}

// outline traces the whole patches of a kind and makes chains of its parts.
func (r *recorder) outline(p *rowPatches, k int) {
	r.sortSegments(k, len(p.parts)+len(p.patches), func(n int32) int {
		if n >= 0 {
			return int(n)
		}
		return len(p.parts) + int(dropped-1-n)
	})
	onLine := func(q orb.Point) bool { return q[1] == r.bottomY || q[1] == r.topY }
	start := 0
	for i, end := range r.ends {
		if end == start {
			continue
		}
		if i < len(p.parts) {
			r.tracer.toChains(r.sorted[start:end], onLine, func(points []orb.Point) { p.chains[k].add(int32(i), points) })
		} else {
			r.tracer.begin(2 * (end - start))
			r.tracer.addSegments(r.sorted[start:end])
			r.tracer.trace(&p.patches[i-len(p.parts)])
		}
		start = end
	}
	p.chains[k].points = slices.Clip(p.chains[k].points)
}

// sortSegments sorts the segments of a kind by what place says of their number;
// ends tells where the segments of each place end.
func (r *recorder) sortSegments(k, places int, place func(n int32) int) {
	r.ends = slices.Grow(r.ends[:0], places)[:places]
	clear(r.ends)
	total := 0
	for _, s := range r.segments[k] {
		if n := r.number[s.trap]; n != dropped {
			r.ends[place(n)]++
			total++
		}
	}
	at := 0
	for i, n := range r.ends {
		r.ends[i] = at // where the segments of the place go
		at += n
	}
	r.sorted = slices.Grow(r.sorted[:0], total)[:total]
	for _, s := range r.segments[k] {
		if n := r.number[s.trap]; n != dropped {
			r.sorted[r.ends[place(n)]] = s
			r.ends[place(n)]++
		}
	}
}

// addShare adds a share to a part, to the last entry where the label is the same.
func (p *rowPatches) addShare(s share) {
	t := &p.parts[s.trap]
	if t.share < 0 || p.shares[t.share].label != s.label {
		t.share = int32(len(p.shares))
		p.shares = append(p.shares, share{s.trap, s.label, 0})
	}
	p.shares[t.share].areaM2 += s.areaM2
}

func (r *recorder) renumbered(spans []span) []span {
	out := make([]span, len(spans))
	for i, s := range spans {
		s.trap = r.number[s.trap]
		out[i] = s
	}
	return out
}

// identity returns 0 to n-1, in the memory of list where it fits.
func identity(list []int32, n int) []int32 {
	if cap(list) < n {
		list = make([]int32, n, n+n/2)
	}
	list = list[:n]
	for i := range list {
		list[i] = int32(i)
	}
	return list
}

// find and union keep sets as trees whose root is the lowest number.
func find(parent []int32, i int32) int32 {
	for parent[i] != i {
		parent[i] = parent[parent[i]]
		i = parent[i]
	}
	return i
}

func union(parent []int32, a, b int32) {
	a, b = find(parent, a), find(parent, b)
	if a != b {
		parent[max(a, b)] = min(a, b)
	}
}

func (s *SmallPatches) add(o SmallPatches) {
	s.Count += o.Count
	s.AreaM2 += o.AreaM2
	for i := range s.Amounts {
		s.Amounts[i] += o.Amounts[i]
	}
}
