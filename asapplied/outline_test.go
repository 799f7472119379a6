package asapplied

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// outlineFault says in whole steps of the written grid where two sides of an
// outline meet elsewhere than in a vertex of both, or a ring turns the wrong way.
func outlineFault(mp orb.MultiPolygon) error {
	type side struct{ ax, ay, bx, by int64 }
	steps := func(v float64) int64 { return int64(math.Round(v * degreeSteps)) }
	turn := func(s side, x, y int64) int {
		switch d := (s.bx-s.ax)*(y-s.ay) - (s.by-s.ay)*(x-s.ax); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return 0
	}
	end := func(s side, x, y int64) bool { return s.ax == x && s.ay == y || s.bx == x && s.by == y }
	inside := func(s side, x, y int64) bool {
		return !end(s, x, y) && turn(s, x, y) == 0 && min(s.ax, s.bx) <= x && x <= max(s.ax, s.bx) && min(s.ay, s.by) <= y && y <= max(s.ay, s.by)
	}
	var sides []side
	for _, poly := range mp {
		for i, ring := range poly {
			if len(ring) < 4 || ring[0] != ring[len(ring)-1] {
				return fmt.Errorf("a ring of %d points, or open", len(ring))
			}
			var area float64
			for k := 1; k < len(ring); k++ {
				s := side{steps(ring[k-1][0]), steps(ring[k-1][1]), steps(ring[k][0]), steps(ring[k][1])}
				sides = append(sides, s)
				o := sides[len(sides)-k]
				area += float64(s.ax-o.ax)*float64(s.by-o.ay) - float64(s.bx-o.ax)*float64(s.ay-o.ay)
			}
			if area == 0 || (area > 0) != (i == 0) {
				return fmt.Errorf("ring %d turns the wrong way or has no area", i)
			}
		}
	}
	for i, s := range sides {
		for _, o := range sides[:i] {
			if max(s.ax, s.bx) < min(o.ax, o.bx) || max(o.ax, o.bx) < min(s.ax, s.bx) ||
				max(s.ay, s.by) < min(o.ay, o.by) || max(o.ay, o.by) < min(s.ay, s.by) {
				continue
			}
			cross := turn(s, o.ax, o.ay)*turn(s, o.bx, o.by) < 0 && turn(o, s.ax, s.ay)*turn(o, s.bx, s.by) < 0
			if cross || inside(s, o.ax, o.ay) || inside(s, o.bx, o.by) || inside(o, s.ax, s.ay) || inside(o, s.bx, s.by) || s == o || s == (side{o.bx, o.by, o.ax, o.ay}) {
				return fmt.Errorf("two sides meet near %v, %v", float64(s.ax)/degreeSteps, float64(s.ay)/degreeSteps)
			}
		}
	}
	return nil
}

func TestOutlineFaultFindsFaults(t *testing.T) {
	const d = 1e-10
	ring := func(p ...orb.Point) orb.MultiPolygon { return orb.MultiPolygon{{append(p, p[0])}} }
	require.NoError(t, outlineFault(ring(orb.Point{0, 0}, orb.Point{4 * d, 0}, orb.Point{4 * d, 4 * d})))
	require.Error(t, outlineFault(ring(orb.Point{0, 0}, orb.Point{4 * d, 4 * d}, orb.Point{4 * d, 0})), "clockwise")
	require.Error(t, outlineFault(ring(orb.Point{0, 0}, orb.Point{4 * d, 4 * d}, orb.Point{4 * d, 0}, orb.Point{0, 6 * d})), "bow-tie")
	require.Error(t, outlineFault(ring(orb.Point{0, 0}, orb.Point{8 * d, 0}, orb.Point{8 * d, 4 * d}, orb.Point{4 * d, 0}, orb.Point{0, 4 * d})), "a vertex on a side")
}
