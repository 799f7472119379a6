// Package demo makes up a field with its zones, its job file and a machine log
// whose faults are known, so that a newcomer sees the whole job at work without
// files of their own. Everything is computed, nothing is drawn from a real
// place: the same bytes come out every time.
//
// All shapes are laid out in metres on a plane, x to the east and y to the north
// of the field's south-west corner, and written as degrees.
package demo

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
)

// The made-up bar: 60 ft with 8 sections, its receiver 8 ft ahead of it.
const (
	feet     = 0.3048
	barWidth = 60 * feet
	sections = 8
	ahead    = 8 * feet
	setback  = 100 * feet
	headland = 2 * barWidth
)

// corner is where the field lies on the globe: somewhere in the corn belt.
var corner = geo.LonLat{-93.137, 41.872}

var (
	boundary = orb.Ring{{0, 0}, {780, 0}, {800, 420}, {700, 790}, {0, 770}, {0, 0}}
	well     = orb.Point{600, 560}
	waterway = strip(orb.LineString{{250, -6}, {330, 150}, {400, 300}, {505, 430}}, 14)
)

// zone is one of the four; its outline reaches beyond the field, as soil maps do.
type zone struct {
	id, texture string
	residue     float64 // percent of the ground covered
	nLbAc       float64
	ring        orb.Ring
	drainage    string
	ph          float64
}

var zones = layZones()

func layZones() []zone {
	const west, east, south, north = -20.0, 820.0, -20.0, 810.0
	centre := orb.Point{420, 390}
	down := []orb.Point{{390, 250}, {405, 120}, {380, south}}
	up := []orb.Point{{450, 520}, {430, 660}, {460, north}}
	left := []orb.Point{{270, 370}, {120, 385}, {west, 360}}
	right := []orb.Point{{560, 410}, {690, 395}, {east, 415}}
	quarter := func(out []orb.Point, far orb.Point, back []orb.Point) orb.Ring {
		r := append(orb.Ring{centre}, out...)
		r = append(r, far)
		for i := len(back) - 1; i >= 0; i-- {
			r = append(r, back[i])
		}
		return append(r, centre)
	}
	return []zone{
		{"A", "silt loam", 15, 150, quarter(left, orb.Point{west, south}, down), "well drained", 6.4},
		{"B", "clay loam", 35, 165, quarter(down, orb.Point{east, south}, right), "poorly drained", 7.1},
		{"C", "sandy loam", 20, 120, quarter(right, orb.Point{east, north}, up), "excessively drained", 5.9},
		{"D", "loam", 60, 180, quarter(up, orb.Point{west, north}, left), "somewhat poorly drained", 6.6},
	}
}

// strip is the ground within half a width of a line that bends gently.
func strip(line orb.LineString, width float64) orb.Ring {
	var left, right orb.Ring
	for i, p := range line {
		a, b := line[max(i-1, 0)], line[min(i+1, len(line)-1)]
		length := planar.Distance(a, b)
		nx, ny := -(b[1]-a[1])/length*width/2, (b[0]-a[0])/length*width/2
		left = append(left, orb.Point{p[0] + nx, p[1] + ny})
		right = append(right, orb.Point{p[0] - nx, p[1] - ny})
	}
	for i := len(left) - 1; i >= 0; i-- {
		right = append(right, left[i])
	}
	return append(right, right[0])
}

// wanted tells ground that is to be treated: in the field, not in the waterway,
// not near the well.
func wanted(p orb.Point) bool {
	return planar.RingContains(boundary, p) && !planar.RingContains(waterway, p) && planar.Distance(p, well) >= setback
}

// northEdge is the height of the field's north edge above x, and its slope.
func northEdge(x float64) (y, slope float64) {
	slope = (790.0 - 770.0) / 700.0
	return 770 + slope*x, slope
}

// inner tells ground that the passes up and down treat: wanted, and not in the
// headlands at the south and north edges.
func inner(p orb.Point) bool {
	north, slope := northEdge(p[0])
	return p[1] > headland && p[1] < north-headland*math.Hypot(1, slope) && wanted(p)
}

// targetLbAc is the prescribed nitrogen at a point.
func targetLbAc(p orb.Point) float64 {
	for _, z := range zones {
		if planar.RingContains(z.ring, p) {
			return z.nLbAc
		}
	}
	return 0
}
