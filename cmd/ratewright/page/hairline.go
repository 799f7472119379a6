package page

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Where passes meet edge to edge, patches hang together by ground of a millimetre's
// width and a field's length. It counts in every figure, but drawn as a line it hides
// what matters, so that patches are parted there for drawing.
const (
	hairlineM   = 0.05                       // narrower ground between wider parts is not drawn
	hairPieceM  = 3.0                        // edges are looked at in pieces of this length, about a record's
	hairPatchM  = 25.0                       // patches smaller than this have none that is seen
	hairCellM   = 2.0                        // the smallest square in which pieces are looked for
	hairReachM  = 2*hairPieceM + 3*hairlineM // from where an outline breaks off to where it goes on
	leastPartM2 = 1.0                        // smaller parts are not drawn
	mostChains  = 1000                       // outlines broken more often stay as they are
)

// withoutHairlines parts polygons where they are narrower than hairlineM. A polygon
// that is so everywhere stays: it is all there is to see of its patch.
func withoutHairlines(mp orb.MultiPolygon) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, polygon := range mp {
		if parts := parted(polygon); len(parts) > 0 {
			out = append(out, parts...)
		} else {
			out = append(out, polygon)
		}
	}
	return out
}

// piece is a part of an edge; ground lies to its left.
type piece struct{ a, b orb.Point }

// parted returns the wider parts of a polygon, or none where it has no hairline, is
// nothing else, or cannot be parted.
func parted(polygon orb.Polygon) orb.MultiPolygon {
	if len(polygon) == 0 {
		return nil
	}
	if b, _ := around(polygon[:1]); math.Hypot(b.w(), b.h()) < hairPatchM {
		return nil
	}
	rings := make([][]piece, len(polygon))
	total := 0
	for i, ring := range polygon {
		rings[i] = pieces(ring, i == 0)
		total += len(rings[i])
	}
	if total == 0 {
		return nil
	}
	near := newNeighbours(rings, total)
	thin := make([][]bool, len(rings))
	none := true
	for i, ps := range rings {
		thin[i] = make([]bool, len(ps))
		for j, p := range ps {
			thin[i][j] = near.thinAt(p)
			none = none && !thin[i][j]
		}
	}
	if none {
		return nil
	}
	var chains []orb.Ring
	for i, ps := range rings {
		chains = append(chains, wideChains(ps, thin[i])...)
	}
	if len(chains) > mostChains {
		return nil
	}
	return assembled(joinedChains(chains))
}

// pieces cuts a ring into short edges, ground to the left of each.
func pieces(ring orb.Ring, shell bool) []piece {
	l := slices.Clone(ring)
	if n := len(l); n > 1 && l[0] == l[n-1] {
		l = l[:n-1]
	}
	area := signedArea(l)
	if len(l) < 3 || math.IsNaN(area-area) {
		return nil
	}
	if (area > 0) != shell {
		slices.Reverse(l)
	}
	ps := make([]piece, 0, len(l)+len(l)/2)
	for i, a := range l {
		b := l[(i+1)%len(l)]
		if distance2(a, b) <= hairPieceM*hairPieceM {
			if a != b {
				ps = append(ps, piece{a, b})
			}
			continue
		}
		n := math.Ceil(min(math.Hypot(b[0]-a[0], b[1]-a[1])/hairPieceM, 1e5))
		for k := range int(n) {
			at := func(k float64) orb.Point { return orb.Point{a[0] + (b[0]-a[0])*k/n, a[1] + (b[1]-a[1])*k/n} }
			ps = append(ps, piece{at(float64(k)), at(float64(k + 1))})
		}
	}
	return ps
}

// thinAt tells whether the ground to the left of a piece's middle ends within a hairline.
func (n *neighbours) thinAt(p piece) bool {
	dx, dy := p.b[0]-p.a[0], p.b[1]-p.a[1]
	length := math.Hypot(dx, dy)
	m := orb.Point{(p.a[0] + p.b[0]) / 2, (p.a[1] + p.b[1]) / 2}
	to := orb.Point{m[0] - dy/length*hairlineM, m[1] + dx/length*hairlineM}
	square := n.row(m[1])*n.cols + n.col(m[0])
	for _, q := range n.pieces[n.start[square]:n.start[square+1]] {
		if q != p && cross(m, to, q.a) > 0 != (cross(m, to, q.b) > 0) {
			u, v := cross(q.a, q.b, m), cross(q.a, q.b, to)
			if u > 0 != (v > 0) {
				return true
			}
		}
	}
	return false
}

func cross(a, b, p orb.Point) float64 {
	return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0])
}

// wideChains are the runs of pieces of a ring that are not along a hairline. A ring
// without hairlines is one chain that ends where it begins.
func wideChains(ps []piece, thin []bool) []orb.Ring {
	last := len(thin) - 1 // a chain cannot run over a thin piece
	for last >= 0 && !thin[last] {
		last--
	}
	var chains []orb.Ring
	var c orb.Ring
	for k := range ps {
		i := (last + 1 + k) % len(ps)
		switch {
		case !thin[i] && c == nil:
			c = orb.Ring{ps[i].a, ps[i].b}
		case !thin[i]:
			c = append(c, ps[i].b)
		case c != nil:
			chains, c = append(chains, c), nil
		}
	}
	if c != nil {
		chains = append(chains, c)
	}
	return chains
}

// link leads from the end of a chain to the beginning of one.
type link struct {
	from, to int
	d        float64
}

// links are all that are short enough, the shortest first.
func links(chains []orb.Ring) []link {
	begins := make(orb.MultiPoint, len(chains))
	for i, c := range chains {
		begins[i] = c[0]
	}
	box := begins.Bound()
	along := 0 // the axis along which they lie farther apart
	if box.Max[1]-box.Min[1] > box.Max[0]-box.Min[0] {
		along = 1
	}
	inOrder := make([]int, len(chains))
	for i := range inOrder {
		inOrder[i] = i
	}
	slices.SortFunc(inOrder, func(i, j int) int { return cmp.Compare(begins[i][along], begins[j][along]) })
	var all []link
	for i, c := range chains {
		end := c[len(c)-1]
		k, _ := slices.BinarySearchFunc(inOrder, end[along]-hairReachM, func(j int, at float64) int { return cmp.Compare(begins[j][along], at) })
		for _, j := range inOrder[k:] {
			if begins[j][along] > end[along]+hairReachM {
				break
			}
			if math.Abs(end[1-along]-begins[j][1-along]) > hairReachM {
				continue
			}
			if d := math.Hypot(end[0]-begins[j][0], end[1]-begins[j][1]); d <= hairReachM {
				all = append(all, link{i, j, d})
			}
		}
	}
	slices.SortFunc(all, func(a, b link) int {
		if a.d != b.d {
			return cmp.Compare(a.d, b.d)
		}
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	return all
}

// joinedChains makes rings of chains, each going on where the nearest begins; none
// where one would have to go far.
func joinedChains(chains []orb.Ring) []orb.Ring {
	next, taken := make([]int, len(chains)), make([]bool, len(chains))
	for i := range next {
		next[i] = -1
	}
	n := 0
	for _, l := range links(chains) {
		if next[l.from] < 0 && !taken[l.to] {
			next[l.from], taken[l.to] = l.to, true
			n++
		}
	}
	if n < len(chains) {
		return nil
	}
	var rings []orb.Ring
	for i := range chains {
		if next[i] < 0 {
			continue
		}
		var ring orb.Ring
		for k := i; next[k] >= 0; {
			ring = append(ring, chains[k]...)
			to := next[k]
			next[k] = -1
			k = to
		}
		rings = append(rings, append(ring, ring[0]))
	}
	return rings
}

// assembled puts holes into the shells that hold them; what is too small to be seen
// is left out.
func assembled(rings []orb.Ring) orb.MultiPolygon {
	var shells orb.MultiPolygon
	var bounds []orb.Bound // of the shells: most do not hold most holes
	for _, r := range rings {
		if signedArea(r) > leastPartM2 {
			shells, bounds = append(shells, orb.Polygon{r}), append(bounds, r.Bound())
		}
	}
	for _, r := range rings {
		if signedArea(r) > -leastPartM2 {
			continue
		}
		for i, s := range shells {
			if p := halfway(r); bounds[i].Contains(p) && within(p, s[0]) {
				shells[i] = append(s, r)
				break
			}
		}
	}
	return shells
}

// halfway is the middle of an edge of a ring: rings may touch in a vertex.
func halfway(r orb.Ring) orb.Point {
	a, b := r[len(r)/2-1], r[len(r)/2]
	return orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
}

func within(p orb.Point, ring orb.Ring) bool {
	odd := false
	for _, x := range crossings([]line{ring}, p[1]) {
		odd = odd != (p[0] < x)
	}
	return odd
}
