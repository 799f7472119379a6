package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// noded makes edges that run on each other to within the noise run on each
// other exactly: vertices nearer than noiseM become one, and an edge that passes
// a vertex within noiseM gets it. Overlay needs this. An edge cut from another
// region lies on it to the last digits and not exactly, and the overlay library
// then sometimes leaves out a whole piece, without an error.
//
// Ground moves by less than noiseM.
func noded(parts []orb.MultiPolygon) []orb.MultiPolygon {
	near := contested(parts)
	n := newNoder(parts, near)
	if len(n.points) == 0 {
		return parts
	}
	out := make([]orb.MultiPolygon, len(parts))
	for i, mp := range parts {
		for _, poly := range mp {
			if q := n.polygon(poly); q != nil {
				out[i] = append(out[i], q)
			}
		}
	}
	return out
}

// anywhere is the box around everything.
var anywhere = orb.Bound{Min: orb.Point{math.Inf(-1), math.Inf(-1)}, Max: orb.Point{math.Inf(1), math.Inf(1)}}

// contested is the box in which two of the parts can meet. For two it is what
// their boxes have in common; for more, all.
func contested(parts []orb.MultiPolygon) orb.Bound {
	if len(parts) != 2 || len(parts[0]) == 0 || len(parts[1]) == 0 {
		return anywhere
	}
	return common(parts[0].Bound(), parts[1].Bound())
}

// nodedEdges does so with those edges of two regions that may meet others, near the
// box in which they can. What comes to run both ways bounds nothing any more.
func nodedEdges(edges []borderEdge, near orb.Bound) []borderEdge {
	all := make([]orb.Point, 0, len(edges)+8)
	add := func(q orb.Point) {
		if near.Contains(q) {
			all = append(all, q)
		}
	}
	for i, e := range edges {
		if !e.mayMeet {
			continue
		}
		if i == 0 || !edges[i-1].mayMeet || e.a != edges[i-1].b {
			add(e.a)
		}
		add(e.b)
	}
	n := noderOf(all, near)
	if len(n.points) == 0 {
		return edges
	}
	out := make([]borderEdge, 0, len(edges)+8)
	var passed orb.Ring
	for _, e := range edges {
		a, b := n.node(e.a), n.node(e.b)
		if passed = passed[:0]; e.mayMeet {
			passed = n.appendPassed(passed, a, b)
		}
		for _, q := range append(passed, b) {
			if q != a {
				out = append(out, borderEdge{segment{a, q}, e.net, e.mayMeet})
				a = q
			}
		}
	}
	return out
}

// withoutSpikes closes a ring given without its last point and takes out
// repeated points and steps out and straight back; nil where fewer than three
// points are left.
func withoutSpikes(open orb.Ring) orb.Ring {
	out := make(orb.Ring, 0, len(open)+1)
	for _, q := range open {
		out = append(out, q)
		for len(out) >= 2 {
			k := len(out) - 1
			if out[k] == out[k-1] {
				out = out[:k]
			} else if k >= 2 && out[k] == out[k-2] {
				out = out[:k-1]
			} else {
				break
			}
		}
	}
	for len(out) >= 3 {
		k := len(out) - 1
		if out[0] == out[k] {
			out = out[:k]
		} else if out[1] == out[k] {
			out = out[1:]
		} else if out[0] == out[k-1] {
			out = out[:k]
		} else {
			return append(out, out[0])
		}
	}
	return nil
}
