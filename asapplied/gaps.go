package asapplied

import (
	"math"
	"slices"
)

const (
	// gapIntervals is how many median intervals make a gap where the job names
	// no longest one.
	gapIntervals = 3
	// stepSlackM is what a step may always be longer than the speed allows.
	stepSlackM = 2
	// loggedSpeedFactor and medianSpeedFactor say how far the way between two
	// records may exceed the logged speed, or three times the median one.
	loggedSpeedFactor = 2
	medianSpeedFactor = 3
)

// markGaps marks each fix that does not continue the one before it: too much
// time has passed, or the step is longer than the speed allows. Where stamps are
// coarse only what they tell of the time counts, and steps are held against the usual.
func (t *track) markGaps(drives []Drive) {
	interval, speed := t.medians()
	var loose float64
	if t.loose > 0 {
		loose = t.looseReach()
	}
	for i := 1; i < len(t.fixes); i++ {
		a, b := &t.fixes[i-1], &t.fixes[i]
		dt := b.seconds - a.seconds
		d := &drives[a.log]
		longest := d.MaxGap.Seconds()
		if longest <= 0 {
			longest = gapIntervals * interval
		}
		// A stamp may be off by rounding; a thousandth of a second is no gap.
		b.gap = t.timed && dt > longest+1e-3
		// Stamps may be a record out; the way is measured against no less.
		drive := max(dt, interval)
		reach := medianSpeedFactor * speed * drive
		va, vb := valueAt(d.Log.Speed, int(a.rec)), valueAt(drives[b.log].Log.Speed, int(b.rec))
		if v := math.Max(va, vb); t.timed && !math.IsNaN(v) {
			reach = loggedSpeedFactor * v * drive
		}
		reach += stepSlackM
		if a.loose && b.loose {
			b.gap, reach = t.timed && dt > longest+t.tick, loose
		}
		if dist(a.at, b.at) > reach {
			b.gap = true
		}
	}
}

// medianSteps is about how many steps the medians are taken over, evenly spread.
const medianSteps = 10_000

// medians returns the median interval and the median speed over moving steps.
// Without time an interval is one record and a speed is metres a record.
func (t *track) medians() (interval, speed float64) {
	var dts, vs []float64
	for i := 1; i < len(t.fixes); i += 1 + len(t.fixes)/medianSteps {
		dt := t.fixes[i].seconds - t.fixes[i-1].seconds
		if dt <= 0 {
			continue
		}
		dts = append(dts, dt)
		if v := dist(t.fixes[i-1].at, t.fixes[i].at) / dt; v > 0.1 || !t.timed && v > 0 {
			vs = append(vs, v)
		}
	}
	return median(dts), median(vs)
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[len(v)/2]
}
