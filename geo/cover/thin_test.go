package cover_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/cover"
)

var tolerances = []float64{0.02, 0.5, 3, 10, 20, 50, 100}

// thinScene is a scene whose outlines touch, nest and fold: fields with holes,
// driven over at random, by a bar with gaps and by one that only wanders.
func thinScene(seed uint64) cover.Input {
	rng := rand.New(rand.NewPCG(seed, 19))
	r := newRig(rng)
	r.wild(8)
	in := cover.Input{Layers: []cover.Layer{{square(25, 4)}, {square(7, 1), square(30, 7)}}}
	in.Swaths = append(r.out, wander(rng, 150, 0.5+rng.Float64()*4, 0.5+rng.Float64()*2, 0.3+rng.Float64()*2)...)
	return in
}

func TestThinnedOutlinesAreValidNearAndNoLargerWithTheTolerance(t *testing.T) {
	vertices := make([]int, len(tolerances))
	held := 0
	for seed := range uint64(40) {
		in := thinScene(seed)
		sums, whole := measure(in, cover.Options{Patches: true})
		for k, by := range tolerances {
			at := fmt.Sprintf("seed %d, %v m", seed, by)
			got, res := measure(in, cover.Options{Patches: true, SimplifyM: by})
			require.Equal(t, sums, got, at)
			require.Equal(t, whole.Small, res.Small, at)
			require.Len(t, res.Patches, len(whole.Patches), at)
			for i, p := range res.Patches {
				of := whole.Patches[i]
				require.Equal(t, of.AreaM2, p.AreaM2, at)
				require.NoError(t, outlineFault(p.Polygons), "%s, patch %d", at, i)
				require.InDelta(t, of.AreaM2, drawnArea(p.Polygons), by*length(of.Polygons)+1e-3, "%s, patch %d", at, i)
				require.LessOrEqual(t, farthest(of.Polygons, p.Polygons), by+1e-4, "%s, patch %d", at, i)
				vertices[k] += count(p.Polygons)
				if p.Held {
					held++
				}
			}
		}
	}
	require.Positive(t, held)
	for k := 1; k < len(vertices); k++ {
		require.LessOrEqual(t, float64(vertices[k]), 1.05*float64(vertices[k-1]), "vertices for %v m: %v", tolerances, vertices)
	}
}

// Holes near a shell: thinned by what bridges the ground between, it would leave
// them outside without crossing them.
func TestHolesStayWhereTheyAre(t *testing.T) {
	field := orb.MultiPolygon{{{{0, 0}, {60, 0}, {60, 1}, {59.7, 1.2}, {60, 1.4}, {60, 30}, {0, 30}, {0, 0}}}}
	hole := func(x, y, half float64) orb.Ring {
		return orb.Ring{{x - half, y - half}, {x - half, y + half}, {x + half, y + half}, {x + half, y - half}, {x - half, y - half}}
	}
	// An arch over the lower side, with a hole below its crown.
	arch := orb.Ring{{0, 0}, {60, 0}, {60, 8}}
	for i := range 21 {
		a := math.Pi * float64(i) / 20
		arch = append(arch, orb.Point{30 + 28*math.Cos(a), 8 + 4*math.Sin(a)})
	}
	arch = append(arch, orb.Point{0, 8}, orb.Point{0, 0})
	for name, poly := range map[string]orb.Polygon{
		"beside a notch": append(field[0], hole(59.4, 1.2, 0.1)),
		"under an arch":  {arch, hole(30, 11.5, 0.3), hole(12, 10.4, 0.1)},
	} {
		for _, by := range tolerances {
			_, res := measure(cover.Input{Layers: []cover.Layer{{orb.MultiPolygon{poly}}}}, cover.Options{Patches: true, SimplifyM: by})
			require.Len(t, res.Patches, 1, name)
			p := res.Patches[0]
			require.NoError(t, outlineFault(p.Polygons), "%s, %v m", name, by)
			require.Len(t, p.Polygons, 1, "%s, %v m", name, by)
			require.Len(t, p.Polygons[0], len(poly), "%s, %v m", name, by)
		}
	}
}

// outlineFault says what is wrong with an outline as it lies on the grid: rings
// that meet other than in a vertex, that turn the wrong way, or that lie where
// they should not.
func outlineFault(mp orb.MultiPolygon) error {
	type side struct {
		a, b [2]int64
	}
	var sides []side
	for _, poly := range mp {
		for i, r := range poly {
			if len(r) < 4 || (area(r) > 0) != (i == 0) {
				return fmt.Errorf("ring of %d positions turns the wrong way or is none", len(r))
			}
			for k := 1; k < len(r); k++ {
				sides = append(sides, side{steps(r[k-1]), steps(r[k])})
			}
			if i > 0 && !around(poly[0], middle(r)) {
				return fmt.Errorf("hole at %v lies outside its shell", r[0])
			}
			for j := 1; j < len(poly); j++ {
				if i != j && i > 0 && around(poly[j], middle(r)) {
					return fmt.Errorf("hole at %v lies in another", r[0])
				}
			}
		}
	}
	for i, p := range mp {
		for j, q := range mp {
			if i == j || !around(q[0], middle(p[0])) {
				continue
			}
			in := false
			for _, h := range q[1:] {
				in = in || around(h, middle(p[0]))
			}
			if !in {
				return fmt.Errorf("shell at %v lies on another", p[0][0])
			}
		}
	}
	turn := func(a, b, c [2]int64) int {
		v := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
		return min(max(int(v), -1), 1)
	}
	on := func(s side, p [2]int64) bool {
		return p != s.a && p != s.b && turn(s.a, s.b, p) == 0 &&
			min(s.a[0], s.b[0]) <= p[0] && p[0] <= max(s.a[0], s.b[0]) && min(s.a[1], s.b[1]) <= p[1] && p[1] <= max(s.a[1], s.b[1])
	}
	for i, s := range sides {
		for _, u := range sides[:i] {
			crossing := turn(s.a, s.b, u.a)*turn(s.a, s.b, u.b) < 0 && turn(u.a, u.b, s.a)*turn(u.a, u.b, s.b) < 0
			same := s.a == u.a && s.b == u.b || s.a == u.b && s.b == u.a
			if crossing || same || on(s, u.a) || on(s, u.b) || on(u, s.a) || on(u, s.b) {
				return fmt.Errorf("sides %v and %v meet", s, u)
			}
		}
	}
	return nil
}

func steps(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Round(p[0] * 1e5)), int64(math.Round(p[1] * 1e5))}
}

func middle(r orb.Ring) orb.Point {
	return orb.Point{(r[0][0] + r[1][0]) / 2, (r[0][1] + r[1][1]) / 2}
}

func around(r orb.Ring, p orb.Point) bool {
	in := false
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

func eachSide(mp orb.MultiPolygon, see func(a, b orb.Point)) {
	for _, poly := range mp {
		for _, r := range poly {
			for i := 1; i < len(r); i++ {
				see(r[i-1], r[i])
			}
		}
	}
}

func drawnArea(mp orb.MultiPolygon) (sum float64) {
	for _, poly := range mp {
		for _, r := range poly {
			sum += area(r)
		}
	}
	return sum
}

func length(mp orb.MultiPolygon) (sum float64) {
	eachSide(mp, func(a, b orb.Point) { sum += math.Hypot(b[0]-a[0], b[1]-a[1]) })
	return sum
}

func count(mp orb.MultiPolygon) (n int) {
	eachSide(mp, func(orb.Point, orb.Point) { n++ })
	return n
}

// farthest is how far vertices of an outline lie from another at most.
func farthest(of, from orb.MultiPolygon) float64 {
	most := 0.0
	eachSide(of, func(p, _ orb.Point) {
		near := math.Inf(1)
		eachSide(from, func(a, b orb.Point) {
			dx, dy := b[0]-a[0], b[1]-a[1]
			s := min(max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy), 0), 1)
			near = min(near, math.Hypot(a[0]+s*dx-p[0], a[1]+s*dy-p[1]))
		})
		most = max(most, near)
	})
	return most
}
