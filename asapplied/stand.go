package asapplied

import (
	"cmp"
	"math"
	"slices"
)

const (
	// A machine also stands where for so long, and over so many records, its bar or
	// its logged position stays so near one place: 0.5 m in 10 s is no working speed,
	// but more than a receiver's position wanders. Many records are long enough by
	// themselves: where a log has one stamp for all, time does not tell.
	standSeconds = 10
	standRecords = 10
	standMany    = 100
	standRadiusM = 0.5
	// standTurnDeg is how far the heading of a machine that stands may wander and the
	// bar has not turned.
	standTurnDeg = 10
	// standStepDeg is the least turn on the spot that covers ground. All bars of such a
	// turn cross one another near its middle; in smaller steps a slow turn would cost
	// seconds, and the ground between two chords 8 degrees apart is within 0.4 % of the
	// sector.
	standStepDeg = 4
)

// standsUntil tells how far the machine stands from fix i on, the bar being kept: the
// last fix of a stretch in which the middle of the bar, or the logged position, stays
// within standRadiusM, whichever way it turns. Where it does not stand that is i.
func (d *driver) standsUntil(t *track, i int, kept bar) int {
	far := i + standRecords
	if far >= len(t.fixes) || !d.mayStand(t, i, far, kept) {
		return i // as nearly always, and found without placing a bar
	}
	for t.timed && far < len(t.fixes) && far < i+standMany && t.fixes[far].seconds-t.fixes[i].seconds < standSeconds {
		far++
	}
	if far >= len(t.fixes) || !d.mayStand(t, i, far, kept) {
		return i
	}
	end := i
	for end+1 < len(t.fixes) && d.standsAt(t, i, end+1, kept) {
		end++
	}
	if end < far {
		return i
	}
	return end
}

// mayStand is false where the machine, at fix j, cannot be at the place of fix i.
func (d *driver) mayStand(t *track, i, j int, kept bar) bool {
	f := &t.fixes[j]
	return dist2(kept.at(0.5), f.at) <= d.standReach2[f.log] || dist2(t.fixes[i].at, f.at) <= standRadiusM*standRadiusM
}

// standsAt tells whether the machine, at fix j, is at the place of fix i and at work.
func (d *driver) standsAt(t *track, i, j int, kept bar) bool {
	f := &t.fixes[j]
	if f.gap || f.state != works || !d.mayStand(t, i, j, kept) {
		return false
	}
	b, reason := d.bar(f)
	return reason == "" &&
		(dist2(t.fixes[i].at, f.at) <= standRadiusM*standRadiusM || dist2(kept.at(0.5), b.at(0.5)) <= standRadiusM*standRadiusM)
}

// stand follows a machine that stands from fix i to fix end. What of its positions
// and headings is noise nobody can tell; taken one by one they would make thousands
// of swaths over one another. So it is at one place, and ground is covered only where
// the bar turns beyond where it has been: to and fro over the same ground counts once.
func (d *driver) stand(c *course, t *track, i, end int) {
	f := fan{bars: []bar{c.kept}, last: c.kept, settled: d.settles(t, i, end, c.kept)}
	for ; i < end; i++ {
		d.take(c, t, i, t.fixes[i+1].seconds-t.fixes[i].seconds)
		next, _ := d.bar(&t.fixes[i+1])
		if from, beyond := f.turnTo(next); beyond {
			d.cover(c, &t.fixes[i], from, next)
			f.settled = d.settles(t, i+1, end, next)
		}
	}
	odometer := c.kept.odometer
	c.kept = f.nearest()
	c.kept.odometer = odometer
}

// settles tells whether the heading of a machine that stands until fix end stays,
// from fix i on, about that of its bar for as long as it takes to stand.
func (d *driver) settles(t *track, i, end int, at bar) bool {
	for j := i + 1; j <= end; j++ {
		if b, _ := d.bar(&t.fixes[j]); math.Abs(at.turn(b)) > standTurnDeg {
			return false
		}
		if j-i >= standRecords && (!t.timed || j-i >= standMany || t.fixes[j].seconds-t.fixes[i].seconds >= standSeconds) {
			return true
		}
	}
	return false
}

// fan is where the bar of a machine that stands has been, from the furthest to the
// left to the furthest to the right.
type fan struct {
	bars        []bar // between which ground was covered, and the first
	left, right float64
	turn        float64 // of the last bar, in degrees to the right of the first
	last        bar
	settled     bool // the heading has stayed, or come back: it wanders, and is no turn
}

// turnTo turns the bar. Where it goes beyond where it has been it says from which
// bar on.
func (f *fan) turnTo(to bar) (from bar, beyond bool) {
	f.turn += f.last.turn(to)
	f.last = to
	switch {
	case f.right-f.left >= 360:
		return bar{}, false // it has been everywhere
	case f.turn > f.right:
		from = f.bars[len(f.bars)-1]
		if beyond = f.goesBeyond(from, to, f.turn-f.right); beyond {
			f.right, f.bars = f.turn, append(f.bars, to)
		}
	case f.turn < f.left:
		from = f.bars[0]
		if beyond = f.goesBeyond(from, to, f.left-f.turn); beyond {
			f.left, f.bars = f.turn, slices.Insert(f.bars, 0, to)
		}
	default:
		f.settled = f.settled || f.right > f.left
	}
	return from, beyond
}

// goesBeyond tells whether a bar so many degrees beyond the outermost covers ground.
func (f *fan) goesBeyond(outermost, to bar, deg float64) bool {
	if f.settled {
		return deg > standTurnDeg
	}
	return deg > standStepDeg && to.movedFrom(outermost)
}

// nearest is the bar of the fan from which the machine moves on.
func (f *fan) nearest() bar {
	return slices.MinFunc(f.bars, func(a, b bar) int {
		return cmp.Compare(math.Abs(a.turn(f.last)), math.Abs(b.turn(f.last)))
	})
}

// turn is the angle from one bar to another in degrees, positive to the right.
func (b bar) turn(o bar) float64 {
	ux, uy := b.right[0]-b.left[0], b.right[1]-b.left[1]
	vx, vy := o.right[0]-o.left[0], o.right[1]-o.left[1]
	return math.Atan2(uy*vx-ux*vy, ux*vx+uy*vy) * 180 / math.Pi
}
