package vector

import (
	"fmt"

	"github.com/paulmach/orb"
)

// maxPositions bounds the positions of one feature, which is held as a whole.
const maxPositions = 4 << 20

// nest holds the coordinates of one geometry, flat, whatever their type: the
// positions, where each list of positions ends, and where each list of those
// ends. Its slices are used again for the next geometry.
type nest struct {
	depth  int // brackets around a number: 1 for a point; 0 where there are none
	points []orb.Point
	lines  []int // ends in points
	polys  []int // ends in lines
	total  int   // positions of all geometries of the feature
}

// read reads the value of a coordinates member.
func (n *nest) read(s *jsonScanner) error {
	*n = nest{points: n.points[:0], lines: n.lines[:0], polys: n.polys[:0], total: n.total}
	if err := s.take('['); err != nil {
		return err
	}
	level := 1 // open brackets
	first := true
	for level > 0 {
		c, err := s.next()
		if err != nil {
			return err
		}
		switch {
		case c == ']':
			s.pos++
			if first && level > 1 {
				return s.fail("the coordinates hold an empty list", "remove it")
			}
			level--
			n.ended(level)
			first = false
			continue
		case !first && c != ',':
			return s.fail(fmt.Sprintf("%q stands where ',' or ']' is due", c), "repair the JSON")
		case !first:
			s.pos++
			if c, err = s.next(); err != nil {
				return err
			}
		}
		if c == '[' {
			s.pos++
			level++
			if level > 4 || n.depth != 0 && level > n.depth {
				return s.fail("the coordinates are nested unevenly or too deep", "repair the brackets")
			}
			first = true
			continue
		}
		if !first || n.depth != 0 && level != n.depth {
			return s.fail(fmt.Sprintf("%q stands where a position in brackets is due", c), "repair the JSON")
		}
		n.depth = level
		if err := n.position(s); err != nil {
			return err
		}
		level--
		first = false
	}
	return nil
}

// ended notes that a list was closed which leaves level brackets open.
func (n *nest) ended(level int) {
	switch n.depth - level {
	case 2:
		n.lines = append(n.lines, len(n.points))
	case 3:
		n.polys = append(n.polys, len(n.lines))
	}
}

// position reads the numbers of one position and its closing bracket.
func (n *nest) position(s *jsonScanner) error {
	var p orb.Point
	for i := 0; ; i++ {
		f, err := s.float()
		if err != nil {
			return err
		}
		if i < 2 {
			p[i] = f
		}
		c, err := s.next()
		if err != nil {
			return err
		}
		s.pos++
		if c == ',' {
			continue
		}
		if c != ']' {
			s.pos--
			return s.fail(fmt.Sprintf("%q stands where ',' or ']' is due", c), "repair the JSON")
		}
		if i == 0 {
			return s.fail("a position has one number", "give longitude and latitude")
		}
		n.points = append(n.points, p)
		if n.total++; n.total > maxPositions {
			return s.fail(fmt.Sprintf("the feature has more than %d positions", maxPositions), "split or simplify it")
		}
		return nil
	}
}

// float reads one number of a position.
func (s *jsonScanner) float() (float64, error) {
	raw, err := s.number()
	if err != nil {
		return 0, err
	}
	f, ok := parseDecimal(raw)
	if !ok {
		return 0, s.fail(fmt.Sprintf("%.40q is beyond all numbers", raw), "repair the coordinate")
	}
	return f, nil
}

// shape copies the coordinates out as a shape of the given type, whose depth has
// been compared with them.
func (n *nest) shape(typ string) orb.Geometry {
	if typ == "Point" {
		return n.points[0]
	}
	points := append([]orb.Point(nil), n.points...)
	switch typ {
	case "MultiPoint":
		return orb.MultiPoint(points)
	case "LineString":
		return orb.LineString(points)
	case "MultiLineString":
		lines := make(orb.MultiLineString, len(n.lines))
		start := 0
		for i, end := range n.lines {
			lines[i] = points[start:end:end]
			start = end
		}
		return lines
	}
	rings := make([]orb.Ring, len(n.lines))
	start := 0
	for i, end := range n.lines {
		rings[i] = points[start:end:end]
		start = end
	}
	if typ == "Polygon" {
		return orb.Polygon(rings)
	}
	mp := make(orb.MultiPolygon, len(n.polys))
	start = 0
	for i, end := range n.polys {
		mp[i] = rings[start:end:end]
		start = end
	}
	return mp
}
