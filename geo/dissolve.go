package geo

import "github.com/paulmach/orb"

// dissolve joins polygons of several regions that share edges and no ground, as
// zones of one field do, by leaving out every edge that runs both ways. It takes
// time in proportion to the edges, where an overlay of thousands of polygons takes
// seconds.
//
// The edges left over go round every spot as often as the polygons cover it. So
// where they make valid polygons, no spot was covered twice and these are the
// union; where they do not, ok is false and the union needs an overlay.
func dissolve(p Plane, parts []orb.MultiPolygon) (r Region, ok bool) {
	return leaveOut(p, parts, nil)
}

// leaveOut is dissolve with polygons that are taken away: their edges count the other
// way round, and a spot that they cover is to be covered by one of the others.
func leaveOut(p Plane, parts, away []orb.MultiPolygon) (r Region, ok bool) {
	count := 0
	for _, mp := range append(parts[:len(parts):len(parts)], away...) {
		count += vertices(mp)
	}
	// Most run on each other exactly where zones were cut from one outline. They go
	// first, so that few are looked at for others that nearly do.
	u := newUnpaired(count)
	u.addBorders(parts, 1)
	u.addBorders(away, -1)
	o, ok := outlinesOf(nodedEdges(u.left(), anywhere)).once()
	if !ok {
		return Region{}, false
	}
	mp, ok := nest(o.rings())
	if !ok || !isValid(mp) {
		return Region{}, false
	}
	r = newRegion(p, mp)
	return r, vertices(r.Polygons()) == vertices(mp) || isValid(r.Polygons())
}

// addBorders adds the edges of polygons.
func (u *unpaired) addBorders(parts []orb.MultiPolygon, net int32) {
	for _, mp := range parts {
		for _, poly := range mp {
			for _, ring := range poly {
				for k, q := range ring[1:] {
					u.add(segment{ring[k], q}, net)
				}
			}
		}
	}
}

// once is the outline of the first region; ok is false where an edge bounds it twice.
func (t *twoOutlines) once() (o *outlineEdges, ok bool) {
	o = &outlineEdges{points: t.points.list}
	for i, e := range t.edges {
		switch t.net[i][0] {
		case 0:
		case 1:
			o.edges = append(o.edges, e)
		case -1:
			o.edges = append(o.edges, [2]int32{e[1], e[0]})
		default:
			return nil, false
		}
	}
	return o, o.join()
}
