package asapplied

import (
	"math"

	"ratewright/geo/cover"
)

// equalRel is the share of a rate within which two rates are the same, so that
// a rate of exactly the tolerance counts as prescribed.
const equalRel = 1e-9

// standard is what faces are judged by.
type standard struct {
	values    []swathValue // nil where all are unknown
	planKgM2  []float64    // rate of each rate zone
	onZones   bool         // the rate zones are the zones
	hasPlan   bool
	tolerance float64
	shallowM  float64 // 0: no limit
}

// judge adds up the faces of one row of blocks, by zone.
type judge struct {
	*standard
	rows map[int32]*sums
	last int32
	sums *sums
}

func (s *standard) newJudge() cover.Judge {
	return &judge{standard: s, rows: make(map[int32]*sums)}
}

// row returns the sums of a zone.
func (j *judge) row(zone int32) *sums {
	if j.sums == nil || j.last != zone {
		s, ok := j.rows[zone]
		if !ok {
			s = &sums{}
			j.rows[zone] = s
		}
		j.sums, j.last = s, zone
	}
	return j.sums
}

// Face judges one face and adds it to its zone.
func (j *judge) Face(f *cover.Face, a float64) cover.Verdict {
	var applied float64
	if j.values == nil && len(f.Over) > 0 {
		applied = math.NaN()
	} else {
		for _, o := range f.Over {
			applied += j.values[o.Swath].kgPerM2 * float64(o.Times)
		}
	}
	v := cover.Verdict{Label: f.Labels[layerZones], Amounts: [2]float64{applied, 0}}
	switch {
	case f.Labels[layerBoundary] == cover.None:
		if f.Visits > 0 {
			v.Label = cover.None
			s := j.row(cover.None)
			s.area.Outside += a
			s.n.Outside += applied * a
			v.Kinds = bit(Outside)
		}
	case f.Labels[layerOffLimits] != cover.None:
		if f.Visits > 0 {
			v.Label = cover.None
			s := j.row(cover.None)
			s.area.OffLimits += a
			s.n.OffLimits += applied * a
			v.Kinds = bit(OffLimits)
		}
	default:
		j.inField(f, a, applied, &v)
	}
	return v
}

// inField judges a face of the field.
func (j *judge) inField(f *cover.Face, a, applied float64, v *cover.Verdict) {
	s := j.row(f.Labels[layerZones])
	s.area.Field += a
	var target float64
	p := f.Labels[layerPlan]
	if j.onZones {
		p = f.Labels[layerZones]
	}
	if p != cover.None {
		target = j.planKgM2[p]
	}
	s.n.Prescribed += target * a
	s.n.InField += applied * a
	if short := target - applied; short > 0 {
		s.n.Short += short * a
		v.Amounts[1] = short
	} else {
		s.n.Excess -= short * a
	}
	if f.Visits == 0 {
		j.bare(s, a, target, v)
		return
	}
	s.area.Covered += a
	if f.Visits > 1 {
		s.area.Doubled += a
		v.Kinds |= bit(Doubled)
	} else {
		s.area.Once += a
		if len(f.Over) > 1 || f.Over[0].Times > 1 {
			s.area.Lapped += a
			v.Kinds |= bit(Lapped)
		}
	}
	if j.hasPlan {
		j.against(s, a, applied, target, v)
	}
	j.depth(f, s, a, v)
}

// bare counts ground where nothing was put down.
func (j *judge) bare(s *sums, a, target float64, v *cover.Verdict) {
	if j.hasPlan && target <= 0 {
		s.area.NotPlanned += a
		return
	}
	s.area.Missed += a
	s.n.ShortMissed += target * a
	v.Kinds = bit(Missed)
}

// against counts covered ground by what was put down against the prescription.
func (j *judge) against(s *sums, a, applied, target float64, v *cover.Verdict) {
	switch {
	case target <= 0:
		s.area.Unprescribed += a
		v.Kinds |= bit(Unprescribed)
	case math.IsNaN(applied):
	case applied < target*(1-j.tolerance-equalRel):
		s.area.Light += a
		s.n.ShortLight += (target - applied) * a
		v.Kinds |= bit(Light)
	case applied > target*(1+j.tolerance+equalRel):
		s.area.Heavy += a
		v.Kinds |= bit(Heavy)
	default:
		s.area.AsPrescribed += a
		s.n.ShortWithin += max(0, target-applied) * a
	}
}

// depth counts covered ground by the depth of its swaths.
func (j *judge) depth(f *cover.Face, s *sums, a float64, v *cover.Verdict) {
	if j.values == nil {
		s.area.DepthUnknown += a
		return
	}
	shallow, unknown := false, false
	for _, o := range f.Over {
		w := &j.values[o.Swath]
		switch {
		case math.IsNaN(w.depthM):
			unknown = true
		case w.depthM < j.shallowM*(1-equalRel):
			shallow = true
			s.n.Shallow += w.kgPerM2 * float64(o.Times) * a
		}
	}
	if shallow {
		s.area.Shallow += a
		v.Kinds |= bit(Shallow)
	} else if unknown {
		s.area.DepthUnknown += a
	}
}
