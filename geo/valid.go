package geo

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
)

// isValid reports whether polygons are valid and share no ground, as the overlay
// library judges them. Those that are so for a plain reason are known here, crowded ones
// in time in proportion to n log² n: the library compares all edges whose boxes meet.
func isValid(mp orb.MultiPolygon) bool {
	var x edgeIndex
	x.build(mp)
	plain := false
	if len(x.edges) > crowdedAbove && x.isCrowded() {
		plain = isPlain(mp)
	} else {
		plain = x.areApart(mp)
	}
	return plain || fault(mp) == nil
}

// fault is what the overlay library finds wrong with polygons; nil where they are valid
// and share no ground. Where sides of two run on each other but for rounding it may
// contradict itself and panic: they share some then.
func fault(mp orb.MultiPolygon) (err error) {
	defer func() {
		if r := recover(); r != nil {
			text, its := r.(string)
			if !its {
				panic(r)
			}
			err = errors.New(text)
		}
	}()
	return toGeom(mp).Validate()
}

func vertices(mp orb.MultiPolygon) int {
	n := 0
	for _, poly := range mp {
		for _, ring := range poly {
			n += len(ring)
		}
	}
	return n
}

// isPlain reports whether polygons are valid for a plain reason: their edges meet in
// shared vertices alone, no ring passes a vertex twice, rings of a polygon touch so
// that they do not cut it in pieces, and walking across any ring changes from no
// ground to ground that is covered once. Rings turn the right way and holes lie in
// the polygon that has them. Polygons that are valid for other reasons, such as a
// hole that touches an edge between two vertices, are not plain.
func isPlain(mp orb.MultiPolygon) bool {
	return meetInVertices(mp) && !anyCutInPieces(mp)
}

// meetInVertices reports whether edges meet in shared vertices alone and ground is
// covered once.
func meetInVertices(mp orb.MultiPolygon) bool {
	var edges []segment
	plain := true
	s := &slabs{sets: 1, meet: func(e, f segmentID) bool {
		plain = plain && apartOrJoined(edges[e.edge], edges[f.edge])
		return plain
	}}
	var longest []segment // of each ring
	for _, poly := range mp {
		for _, ring := range poly {
			for k, q := range ring[1:] {
				e := segment{ring[k], q}
				s.add(segmentID{0, int32(len(edges))}, e.a, e.b)
				edges = append(edges, e)
			}
			longest = append(longest, longestEdge(ring))
		}
	}
	asked := append(longest, afterTouch(mp)...)
	west := make([]int32, len(asked)) // of the middle of each, the winding
	for i, e := range asked {
		s.ask(0, e.middle(), &west[i])
	}
	s.run()
	for i, e := range asked {
		var due int32
		if up(e) {
			due = 1
		}
		plain = plain && west[i] == due
	}
	return plain
}

// afterTouch returns the edges that begin where rings touch: only there may one come to
// lie in another.
func afterTouch(mp orb.MultiPolygon) (edges []segment) {
	times := map[orb.Point]int{}
	for _, poly := range mp {
		for _, ring := range poly {
			for _, q := range ring[1:] {
				times[q]++
			}
		}
	}
	for _, poly := range mp {
		for _, ring := range poly {
			for k, q := range ring[1:] {
				if times[ring[k]] > 1 {
					edges = append(edges, segment{ring[k], q})
				}
			}
		}
	}
	return edges
}

// apartOrJoined reports whether two edges have nothing in common, or one end alone.
func apartOrJoined(e, f segment) bool {
	if e.b == f.a || e.b == f.b {
		e.a, e.b = e.b, e.a
	}
	if e.a == f.b {
		f.a, f.b = f.b, f.a
	}
	if e.a == f.a {
		if onLine(e, f.b) || onLine(f, e.b) {
			return (e.b[0]-e.a[0])*(f.b[0]-f.a[0])+(e.b[1]-e.a[1])*(f.b[1]-f.a[1]) < 0
		}
		return true
	}
	return sameSide(e, f) || sameSide(f, e)
}

// sameSide reports whether f lies wholly on one side of the line of e.
func sameSide(e, f segment) bool {
	return !onLine(e, f.a) && !onLine(e, f.b) && (turnOf(e, f.a) > 0) == (turnOf(e, f.b) > 0)
}

// onLine reports whether rounding leaves open on which side of a line a point lies.
func onLine(s segment, q orb.Point) bool {
	dx, dy, ex, ey := s.b[0]-s.a[0], s.b[1]-s.a[1], q[0]-s.a[0], q[1]-s.a[1]
	return math.Abs(dx*ey-dy*ex) <= 1e-15*(math.Abs(dx*ey)+math.Abs(dy*ex))
}

// anyCutInPieces reports whether rings touch in vertices so that they cut a polygon
// in pieces, or one passes a vertex twice. Rings and the vertices where they touch
// are the nodes of a graph; a loop in it cuts the ground within from that around.
func anyCutInPieces(mp orb.MultiPolygon) bool {
	for _, poly := range mp {
		first := map[orb.Point]int{} // vertex -> the ring that came first
		group := make([]int, len(poly))
		for i := range group {
			group[i] = i
		}
		for i, ring := range poly {
			for _, q := range ring[1:] {
				j, known := first[q]
				if !known {
					first[q] = i
					continue
				}
				i, j := groupOf(group, i), groupOf(group, j)
				if i == j {
					return true
				}
				group[i] = j
			}
		}
	}
	return false
}

// groupOf is the last of the chain that group names, which it makes shorter.
func groupOf(group []int, i int) int {
	for group[i] != i {
		group[i] = group[group[i]]
		i = group[i]
	}
	return i
}
