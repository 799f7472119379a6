package rx

import (
	"errors"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// The grounds of the survey of a map.
const (
	onGround = iota
	inBoundary
)

// rings checks every polygon by itself, and surveys their regions for the checks
// on ground that follow.
func (c *checker) rings() {
	c.regions = make([]geo.Region, len(c.m.Features))
	seen := map[orb.Point]map[int]bool{}
	for i, ft := range c.m.Features {
		if len(ft.Polygon) == 0 {
			c.add(Refuse, "rings", "%s: has no ring", c.place(i))
			continue
		}
		r, err := polygonRegion(c.m.Plane, ft.Polygon)
		if err != nil {
			c.add(Refuse, "rings", "%s: %v", c.place(i), err)
			continue
		}
		if ft.Polygon[0].Orientation() != orb.CCW {
			c.add(Refuse, "rings", "%s: the outer ring runs clockwise", c.place(i))
		}
		for _, hole := range ft.Polygon[1:] {
			if hole.Orientation() != orb.CW {
				c.add(Refuse, "rings", "%s: a hole runs counter-clockwise", c.place(i))
			}
		}
		if !asDrawn(ft.Polygon, r) {
			c.add(Refuse, "rings", "%s: %v; join the rings, or make each piece a polygon of its own", c.place(i), errSharedEdge)
		}
		c.regions[i] = r
		c.duplicate(i, seen)
	}
	c.survey = surveyOf(c.regions, c.f.Ground, c.f.Boundary)
}

var errSharedEdge = errors.New("its rings share an edge or cut it in pieces")

// asDrawn reports whether the ground of a polygon is one polygon of the rings
// that were drawn. Package geo mends a polygon whose rings run along each other
// or touch so that they cut it; a controller may refuse it.
func asDrawn(drawn orb.Polygon, r geo.Region) bool {
	if polygons := r.Polygons(); len(polygons) != 1 || len(polygons[0]) != len(drawn) {
		return false
	}
	edges := map[[2]orb.Point]bool{}
	for _, ring := range drawn {
		for k := 0; k+1 < len(ring); k++ {
			if edges[[2]orb.Point{ring[k], ring[k+1]}] || edges[[2]orb.Point{ring[k+1], ring[k]}] {
				return false
			}
			edges[[2]orb.Point{ring[k], ring[k+1]}] = true
		}
	}
	return true
}

// duplicate finds a polygon drawn twice: the same vertices from the same lowest
// corner.
func (c *checker) duplicate(i int, seen map[orb.Point]map[int]bool) {
	low := c.m.Features[i].Polygon[0].Bound().Min
	for j := range seen[low] {
		if c.m.Features[i].Polygon.Equal(c.m.Features[j].Polygon) {
			c.add(Refuse, "rings", "%s: the same polygon as %s; keep one", c.place(i), c.place(j))
		}
	}
	if seen[low] == nil {
		seen[low] = map[int]bool{}
	}
	seen[low][i] = true
}

// crackTolerance is how near a vertex counts as lying on an edge, in metres: less
// than snap leaves between them, and more than the rounding to mapDigits.
const crackTolerance = 0.0005

// neighbours finds a vertex that lies on another polygon's edge without being,
// to the last digit, a vertex of it: a crack can open there.
func (c *checker) neighbours() {
	n := &nodes{reach: crackTolerance}
	index := map[orb.Point]int{}
	rings := make([][][]int, len(c.m.Features))
	for i, ft := range c.m.Features {
		if c.regions[i].IsEmpty() {
			continue
		}
		for _, ring := range ft.Polygon {
			ids := make([]int, 0, len(ring))
			for _, p := range ring[:len(ring)-1] {
				if _, known := index[p]; !known {
					index[p] = len(n.at)
					n.at = append(n.at, c.m.Plane.Project(geo.LonLat(p)))
				}
				ids = append(ids, index[p])
			}
			rings[i] = append(rings[i], ids)
		}
	}
	n.buildIndex()
	for i := range rings {
		for _, ring := range rings[i] {
			if n.passesOne(ring) {
				c.add(Refuse, "shared vertices", "%s: a neighbour's vertex lies on its edge and is no vertex of it; neighbours must share vertices", c.place(i))
				break
			}
		}
	}
}

// passesOne reports whether an edge of a ring passes a node.
func (n *nodes) passesOne(ring []int) bool {
	for i, u := range ring {
		if v := ring[(i+1)%len(ring)]; u != v && len(n.passed(u, v, nil)) > 0 {
			return true
		}
	}
	return false
}

func (c *checker) overlaps() {
	pairs, _, err := overlaps(c.regions, c.survey)
	if err != nil {
		c.add(Refuse, "overlaps", "overlaps could not be found: %v", err)
	}
	for _, p := range pairs {
		if p.area > c.options.Overlap {
			c.add(Refuse, "overlaps", "%s and %s overlap by %s; one spot must have one rate", c.place(p.first), c.place(p.second), AreaText(c.options.Units, p.area))
		}
	}
}

// coverage compares the map with the boundary: gaps, ground outside, and the
// sum of areas. Ground that the map leaves out because it is off limits is no
// gap.
func (c *checker) coverage() {
	allowed := unit.Area(c.options.Gap) * c.f.Boundary.Area()
	if a := c.survey.bare[onGround]; a > allowed {
		c.add(Refuse, "coverage", "%s of the field has no polygon; give it a rate, zero included", AreaText(c.options.Units, a))
	} else if a > c.options.Overlap {
		c.add(Note, "coverage", "%s of the field has no polygon", AreaText(c.options.Units, a))
	}
	if a := c.survey.beyond[inBoundary]; a > allowed {
		c.add(Refuse, "coverage", "%s of the map lies outside the boundary; cut the zones to it", AreaText(c.options.Units, a))
	} else if a > c.options.Overlap {
		c.add(Note, "coverage", "%s of the map lies outside the boundary", AreaText(c.options.Units, a))
	}
}

// offLimits refuses a rate above zero on cut-outs and setbacks. The ground that
// rounding of vertices moves is allowed for.
func (c *checker) offLimits() {
	if c.f.OffLimits.IsEmpty() {
		return
	}
	for i, ft := range c.m.Features {
		if !(ft.Rate > 0) || !c.regions[i].Bound().Intersects(c.f.OffLimits.Bound()) {
			continue
		}
		on, err := c.regions[i].Intersect(c.f.OffLimits)
		if err != nil {
			c.add(Refuse, "off limits", "%s: could not be compared with off-limits ground: %v", c.place(i), err)
			continue
		}
		if a := on.Area(); a > c.options.Overlap {
			c.add(Refuse, "off limits", "%s: %s of it is off limits and has the rate %s; cut the zone or set the rate to zero", c.place(i), AreaText(c.options.Units, a), number(ft.Rate))
		}
	}
}

// narrow notes polygons narrower than the machine: twice the area over the
// perimeter is the width of a long strip.
func (c *checker) narrow() {
	width := c.options.BarWidth
	if width <= 0 {
		return
	}
	count, least := 0, math.Inf(1)
	for i, ft := range c.m.Features {
		for _, p := range c.regions[i].Polygons() {
			if w := 2 * planar.Area(p) / planar.Length(p); ft.ZoneID != OffLimitsID && w < width.Metres() {
				count++
				least = min(least, w)
			}
		}
	}
	if count > 0 {
		c.add(Note, "narrow", "%s narrower than the machine's %s (the narrowest about %s): the rate changes before the whole bar is in", countOf(count, "polygon"), c.options.Units.Length(width), c.options.Units.Length(unit.Metres(least)))
	}
}
