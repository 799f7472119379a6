package asapplied

import (
	"math"
	"sync/atomic"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

const (
	// headingStepM is the way over which a heading is taken from positions, so
	// that their noise does not turn the bar.
	headingStepM = 0.3
	// cuspDeg is the change of course from one step to the next above which the
	// machine has begun to reverse, or ceased to.
	cuspDeg = 120
	// stoodM is how near the end of a stretch the next may begin for the machine to
	// have stood between: it faces the same way.
	stoodM = 2
)

// headings gives every fix a heading in the plane: the logged one, or where
// there is none the course between its neighbours within the same stretch.
func (t *track) headings(drives []Drive, p geo.Plane, workers int) {
	var missing atomic.Bool
	inChunks(len(t.fixes), workers, func(lo, hi int) {
		for i := lo; i < hi; i++ {
			f := &t.fixes[i]
			log := &drives[f.log].Log
			h := valueAt(log.Heading, int(f.rec))
			if math.IsNaN(h) {
				missing.Store(true)
				continue
			}
			f.heading = p.GridAzimuth(geo.LonLat{log.Lon[f.rec], log.Lat[f.rec]}, h)
		}
	})
	if !missing.Load() {
		return
	}
	for from := 0; from < len(t.fixes); {
		to := from + 1
		for to < len(t.fixes) && !t.fixes[to].gap {
			to++
		}
		before := math.NaN()
		if from > 0 && dist(t.fixes[from-1].at, t.fixes[from].at) < stoodM {
			before = t.fixes[from-1].heading
		}
		deriveHeadings(t.fixes[from:to], before)
		from = to
	}
}

// deriveHeadings fills in the headings of one stretch without gaps. It walks
// legs: from one cusp to the next the machine moves one way, and on every second
// leg it moves backwards, so the heading is turned about and left stays left.
// before is the heading of a machine that stood through the gap before, else NaN.
func deriveHeadings(fs []fix, before float64) {
	way := waypoints(fs)
	if len(way) < 2 {
		if len(fs) > 0 && !math.IsNaN(before) {
			fillHeadings(fs, []int{0}, []float64{before})
		}
		return
	}
	course := make([]float64, len(way)) // heading of the machine at each waypoint
	backwards := !math.IsNaN(before) && between(azimuth(fs[way[0]].at, fs[way[1]].at), before) > 90
	for leg := 0; leg+1 < len(way); {
		end := leg + 1
		for end+1 < len(way) && turnBetween(fs, way[end-1], way[end], way[end+1]) < cuspDeg {
			end++
		}
		for k := leg; k <= end; k++ {
			a, b := way[max(k-1, leg)], way[min(k+1, end)]
			h := azimuth(fs[a].at, fs[b].at)
			if backwards {
				h += 180
			}
			if k > leg || leg == 0 {
				course[k] = h
			}
		}
		backwards = !backwards
		leg = end
	}
	fillHeadings(fs, way, course)
}

// fillHeadings gives each fix without a heading that of the last waypoint, turned
// about where the last logged heading says that the machine faces the other way.
func fillHeadings(fs []fix, way []int, course []float64) {
	next := 0
	logged := math.NaN()
	for i := range fs {
		for next+1 < len(way) && way[next+1] <= i {
			next++
		}
		if !math.IsNaN(fs[i].heading) {
			logged = fs[i].heading
			continue
		}
		h := course[next]
		if !math.IsNaN(logged) && between(h, logged) > 90 {
			h += 180
		}
		fs[i].heading = h
	}
}

// between is the angle between two headings in degrees, 0 to 180.
func between(a, b float64) float64 {
	d := math.Mod(math.Abs(a-b), 360)
	return min(d, 360-d)
}

// waypoints returns the fixes that lie at least headingStepM apart.
func waypoints(fs []fix) []int {
	way := []int{0}
	for i := 1; i < len(fs); i++ {
		if dist(fs[way[len(way)-1]].at, fs[i].at) >= headingStepM {
			way = append(way, i)
		}
	}
	return way
}

// turnBetween is the change of course at b in degrees, 0 to 180.
func turnBetween(fs []fix, a, b, c int) float64 {
	return between(azimuth(fs[b].at, fs[c].at), azimuth(fs[a].at, fs[b].at))
}

// azimuth is the course from a to b in degrees clockwise from the y axis.
func azimuth(a, b orb.Point) float64 {
	return math.Mod(math.Atan2(b[0]-a[0], b[1]-a[1])*180/math.Pi+360, 360)
}

// dist2 is the square of dist, which is cheaper.
func dist2(a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	return dx*dx + dy*dy
}

func dist(a, b orb.Point) float64 { return math.Sqrt(dist2(a, b)) }
