package cover

import (
	"cmp"
	"maps"
	"slices"

	"ratewright/geo/parallel"

	"github.com/paulmach/orb"
)

// joinRows puts the parts of all rows together into patches.
func joinRows(rows []rowResult, o Options) ([]Patch, map[int]SmallPatches) {
	j := joiner{small: make(map[int]SmallPatches)}
	j.grow(rows)
	for i := range rows {
		if p := rows[i].patches; p != nil {
			j.takeRow(p)
			rows[i].patches = nil
		}
	}
	j.closeLine(nil)
	return j.patches(o), j.small
}

// joiner holds the parts of all rows under common numbers.
type joiner struct {
	whole  []Patch // that lie in one row
	traps  []trap
	shares []share
	parent []int32
	rows   []rowChains
	seams  [maxKinds]chains // outlines on the lines between rows
	joins  spanJoiner
	tops   [maxKinds][]span // of the row before
	topY   float64
	small  map[int]SmallPatches
}

// rowChains are the chains of one row, whose parts have numbers from base.
type rowChains struct {
	base   int32
	chains [maxKinds]chains
}

// grow makes room for all rows, which would be copied over and over.
func (j *joiner) grow(rows []rowResult) {
	var whole, parts, shares int
	for i := range rows {
		if p := rows[i].patches; p != nil {
			whole, parts, shares = whole+len(p.patches), parts+len(p.parts), shares+len(p.shares)
		}
	}
	j.whole, j.traps = make([]Patch, 0, whole), make([]trap, 0, parts)
	j.parent, j.shares = make([]int32, 0, parts), make([]share, 0, shares)
}

// takeRow adds a row and joins its lower line to the row before.
func (j *joiner) takeRow(r *rowPatches) {
	base := int32(len(j.traps))
	j.whole = append(j.whole, r.patches...)
	j.traps = append(j.traps, r.parts...)
	for i := range r.parts {
		j.parent = append(j.parent, base+int32(i))
	}
	for _, s := range r.shares {
		s.trap += base
		j.shares = append(j.shares, s)
	}
	j.rows = append(j.rows, rowChains{base, r.chains})
	for k := range r.small {
		renumber(r.bottoms[k], base)
		renumber(r.tops[k], base)
		j.addSmall(k, r.small[k])
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
		j.joins.join(above, j.tops[k], func(a, b float64, t int32) {
			j.seams[k].add(t, []orb.Point{{a, j.topY}, {b, j.topY}})
		}, func(a, b int32) { union(j.parent, a, b) })
		j.tops[k] = nil
	}
}

func renumber(spans []span, base int32) {
	for i := range spans {
		spans[i].trap += base
	}
}

func (j *joiner) addSmall(k int, s SmallPatches) {
	if s.AreaM2 == 0 {
		return
	}
	t := j.small[k]
	t.add(s)
	j.small[k] = t
}

// patches sums the trapezoids by patch and outlines the large ones.
func (j *joiner) patches(o Options) []Patch {
	of := make([]int32, len(j.traps)) // trapezoid -> patch
	var found []Patch
	for i := range j.traps {
		// A root has the lowest number of its patch, so it comes first.
		if root := find(j.parent, int32(i)); root == int32(i) {
			of[i] = int32(len(found))
			found = append(found, Patch{Kind: int(j.traps[i].kind), Label: None})
		} else {
			of[i] = of[root]
		}
		p := &found[of[i]]
		p.AreaM2 += j.traps[i].areaM2
		for a := range p.Amounts {
			p.Amounts[a] += j.traps[i].amounts[a]
		}
	}
	labels(j.shares, of, found)
	for k := range maxKinds {
		j.outline(k, found, j.chainsOf(k, of, found, o.MinPatchM2), o)
	}
	all := append(j.whole, found...)
	if o.SimplifyM <= 0 {
		draw(all, o)
	}
	listed := slices.DeleteFunc(all, func(p Patch) bool {
		if len(p.Polygons) > 0 {
			return false
		}
		// Too small to outline, or too thin.
		j.addSmall(p.Kind, SmallPatches{Count: 1, AreaM2: p.AreaM2, Amounts: p.Amounts})
		return true
	})
	slices.SortStableFunc(listed, func(a, b Patch) int {
		if a.Kind != b.Kind {
			return cmp.Compare(a.Kind, b.Kind)
		}
		return cmp.Compare(b.AreaM2, a.AreaM2)
	})
	return listed
}

// labels gives each patch the label with the largest share of it. Most patches
// lie in one label.
func labels(shares []share, of []int32, found []Patch) {
	type key struct{ patch, label int32 }
	first := make([]bool, len(found)) // a label was seen
	mixed := make(map[int32]bool)
	for _, s := range shares {
		p := of[s.trap]
		if !first[p] {
			first[p], found[p].Label = true, s.label
		} else if found[p].Label != s.label {
			mixed[p] = true
		}
	}
	if len(mixed) == 0 {
		return
	}
	sums := make(map[key]float64)
	for _, s := range shares {
		if p := of[s.trap]; mixed[p] {
			sums[key{p, s.label}] += s.areaM2
		}
	}
	best := make(map[int32]float64)
	for k, a := range sums {
		// Of equal shares the lower label holds.
		if b, ok := best[k.patch]; !ok || a > b || a == b && k.label < found[k.patch].Label {
			best[k.patch], found[k.patch].Label = a, k.label
		}
	}
}

// chainRef names a chain of a row; row -1 is the seams.
type chainRef struct{ row, chain int32 }

// chainsOf sorts the chains of a kind by patch, leaving out patches too small to
// outline.
func (j *joiner) chainsOf(k int, of []int32, found []Patch, minM2 float64) map[int32][]chainRef {
	out := make(map[int32][]chainRef)
	take := func(row int, base int32, c *chains) {
		for i, part := range c.parts {
			if p := of[base+part]; found[p].AreaM2 >= minM2 {
				out[p] = append(out[p], chainRef{int32(row), int32(i)})
			}
		}
	}
	for i := range j.rows {
		take(i, j.rows[i].base, &j.rows[i].chains[k])
	}
	take(-1, 0, &j.seams[k])
	return out
}

// chain returns the points of a chain of a kind.
func (j *joiner) chain(k int, r chainRef) []orb.Point {
	if r.row < 0 {
		return j.seams[k].of(int(r.chain))
	}
	return j.rows[r.row].chains[k].of(int(r.chain))
}

// outline traces the patches that have chains, on several processors, and lets the
// chains go.
func (j *joiner) outline(k int, found []Patch, refs map[int32][]chainRef, o Options) {
	patches := slices.Sorted(maps.Keys(refs))
	parallel.EachBy(len(patches), o.Workers, func() func(int) {
		t := newTracer(o)
		return func(i int) {
			p := patches[i]
			points := 0
			for _, r := range refs[p] {
				points += len(j.chain(k, r))
			}
			t.begin(points)
			for _, r := range refs[p] {
				t.addChain(j.chain(k, r))
			}
			t.trace(&found[p])
		}
	})
	for i := range j.rows {
		j.rows[i].chains[k] = chains{}
	}
	j.seams[k] = chains{}
}
