package cover

// rowPatches is what a row of blocks gives to the patches: its trapezoids joined
// into parts, one for each patch of the row.
type rowPatches struct {
	parts         []trap
	shares        []share
	segments      [maxKinds][]segment
	bottomY, topY float64
	bottoms, tops [maxKinds][]span
	small         [maxKinds]SmallPatches
}

// close joins the row's trapezoids into parts. A part that is smaller than the
// smallest patch and touches neither line of the row is a small patch and leaves
// no outline.
func (r *recorder) close(minM2 float64) *rowPatches {
	p := &rowPatches{bottomY: r.bottomY, topY: r.topY, small: r.slivers}
	r.parent = identity(r.parent, len(r.traps))
	for _, l := range r.links {
		union(r.parent, l[0], l[1])
	}
	touches := make([]bool, len(r.traps))
	for k := range r.bottoms {
		for _, s := range r.bottoms[k] {
			touches[find(r.parent, s.trap)] = true
		}
		for _, s := range r.tops[k] {
			touches[find(r.parent, s.trap)] = true
		}
	}
	r.sumParts(p, touches, minM2)
	r.number = r.number[:len(r.traps)]
	for _, s := range r.shares {
		if s.trap = r.number[s.trap]; s.trap >= 0 {
			p.addShare(s)
		}
	}
	for k := range r.segments {
		n := 0
		for _, s := range r.segments[k] {
			if r.number[s.trap] >= 0 {
				n++
			}
		}
		p.segments[k] = make([]segment, 0, n)
		for _, s := range r.segments[k] {
			if s.trap = r.number[s.trap]; s.trap >= 0 {
				p.segments[k] = append(p.segments[k], s)
			}
		}
		p.bottoms[k] = r.renumbered(r.bottoms[k])
		p.tops[k] = r.renumbered(r.tops[k])
	}
	return p
}

// sumParts numbers the parts that are kept and sums them; number is -1 for the
// trapezoids of those that are not.
func (r *recorder) sumParts(p *rowPatches, touches []bool, minM2 float64) {
	// A root has the lowest number of its part, so it comes first.
	sums := make([]trap, len(r.traps))
	for i := range r.traps {
		sums[find(r.parent, int32(i))].add(&r.traps[i])
	}
	r.number = identity(r.number, len(r.traps))
	for i := range r.traps {
		root := find(r.parent, int32(i))
		switch {
		case root != int32(i):
			r.number[i] = r.number[root]
		case !touches[i] && sums[i].areaM2 < minM2:
			s := &p.small[r.traps[i].kind]
			s.add(SmallPatches{1, sums[i].areaM2, sums[i].amounts})
			r.number[i] = -1
		default:
			r.number[i] = int32(len(p.parts))
			sums[i].kind, sums[i].share = r.traps[i].kind, -1
			p.parts = append(p.parts, sums[i])
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
