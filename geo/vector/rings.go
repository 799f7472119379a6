package vector

import (
	"fmt"

	"github.com/paulmach/orb"
)

// The checks here look at the structure of a shape in the coordinates of its
// file, so that a message shows the numbers that the user finds there. Whether
// rings cross themselves or each other is for geo.Plane.Region to say.

// fault is what is wrong with a shape and what to do; the reader adds the file
// and the place to make an InputError.
type fault struct{ what, fix string }

func (f *fault) in(file, place string) *InputError {
	return &InputError{File: file, Place: place, What: f.what, Fix: f.fix}
}

// spot prints a position in the coordinates of the file.
func spot(p orb.Point) string { return fmt.Sprintf("(%v, %v)", p[0], p[1]) }

// checkShape checks that rings are closed and have four points or more, and that
// lines have two.
func checkShape(g orb.Geometry) *fault {
	switch g := g.(type) {
	case orb.LineString:
		return checkLine("the line", g)
	case orb.MultiLineString:
		for i, l := range g {
			if f := checkLine(fmt.Sprintf("line %d", i+1), l); f != nil {
				return f
			}
		}
	case orb.Polygon:
		return checkPolygon(g, "")
	case orb.MultiPolygon:
		for i, p := range g {
			where := ""
			if len(g) > 1 {
				where = fmt.Sprintf(" of polygon %d", i+1)
			}
			if f := checkPolygon(p, where); f != nil {
				return f
			}
		}
	}
	return nil
}

func checkLine(name string, l orb.LineString) *fault {
	if len(l) < 2 {
		return &fault{name + " has fewer than two points", "give it two or make it a point"}
	}
	return nil
}

func checkPolygon(p orb.Polygon, where string) *fault {
	for i, r := range p {
		if f := checkRing(i, where, r); f != nil {
			return f
		}
	}
	return nil
}

func checkRing(i int, where string, r orb.Ring) *fault {
	first, last := r[0], r[len(r)-1]
	if first != last {
		return &fault{
			fmt.Sprintf("ring %d%s is not closed: it starts at %s and ends at %s", i+1, where, spot(first), spot(last)),
			"close it by repeating its first point",
		}
	}
	if len(r) < 4 {
		return &fault{
			fmt.Sprintf("ring %d%s has %d points at %s, and a ring needs four, the last equal to the first", i+1, where, len(r), spot(first)),
			"remove it or draw it again",
		}
	}
	return nil
}

// signedArea is positive for a ring that turns counter-clockwise. Degrees or
// metres, it serves for signs and for comparing, never as an area.
func signedArea(r orb.Ring) float64 {
	if len(r) < 3 {
		return 0
	}
	// Taking the first point off keeps the digits of small rings far from zero.
	o := r[0]
	sum := 0.0
	for i := 1; i+1 < len(r); i++ {
		sum += (r[i][0]-o[0])*(r[i+1][1]-o[1]) - (r[i+1][0]-o[0])*(r[i][1]-o[1])
	}
	return sum / 2
}
