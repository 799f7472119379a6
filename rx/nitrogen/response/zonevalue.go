package response

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// ZoneValue is what zone rates bring over one rate for the whole field. All
// returns are per hectare of the zones that have a curve.
type ZoneValue struct {
	Zones   []ZoneRate
	OneRate Optimum     // the one rate of the largest return over these zones
	Value   unit.Return // zone rates over OneRate; never below zero
	// FieldRate is the optimum of the one curve fitted to the whole field, and
	// OverField the value of zone rates over it; both meaningless where HasField
	// is false because that curve was refused.
	FieldRate Optimum
	OverField unit.Return
	HasField  bool
	Notes     []string
}

// ZoneRate is one zone's optimum.
type ZoneRate struct {
	ID      string
	Share   float64 // of the area of the zones that have a curve
	Optimum Optimum
	// Gain is the return of the zone's optimum over that of OneRate in the zone.
	Gain unit.Return
}

// InSample is the warning that belongs to every value of zone rates.
const InSample = "the value of zone rates is in-sample: rates and value come from the same yields, so that it flatters zones and is not to be expected in another year; a trial of zone rates against one rate would tell"

// Value is what zone rates bring at prices above zero. Areas by zone weigh the
// zones, each above zero; nil weighs them by their observations, and a note says
// so. A zone without a curve takes no part, and a note says so. Where none has a
// curve, it is refused.
func (z ZoneFits) Value(p Prices, areas map[string]unit.Area) (ZoneValue, error) {
	var v ZoneValue
	members, err := z.members(areas, &v)
	if err != nil {
		return ZoneValue{}, err
	}
	mean, err := NewMean(members)
	if err != nil {
		return ZoneValue{}, err
	}
	if v.OneRate, err = mean.Optimum(p); err != nil {
		return ZoneValue{}, err
	}
	total := 0.0
	for _, m := range members {
		total += m.Weight
	}
	zones := 0.0
	for _, m := range members {
		r, err := m.rate(p, v.OneRate.Rate)
		if err != nil {
			return ZoneValue{}, err
		}
		r.Share = m.Weight / total
		zones += r.Share * r.Optimum.Return.PerHa()
		v.Value += unit.Return(r.Share * float64(r.Gain))
		v.Zones = append(v.Zones, r)
	}
	v.Notes = append(v.Notes, InSample)
	return v, z.overField(p, mean, zones, &v)
}

// rate is the optimum of a zone and its gain over another rate.
func (m Member) rate(p Prices, other unit.NRate) (ZoneRate, error) {
	alone, err := single(m.Curve)
	if err != nil {
		return ZoneRate{}, err
	}
	o, err := alone.Optimum(p)
	if err != nil {
		return ZoneRate{}, err
	}
	o.Why = m.Curve.why(o.ByCurve, p.Ratio())
	return ZoneRate{ID: m.Name, Optimum: o, Gain: max(0, o.Return-alone.gain(other.KgNPerHa(), p))}, nil
}

func (z ZoneFits) overField(p Prices, mean Mean, zones float64, v *ZoneValue) error {
	if z.FieldWhy != nil {
		v.Notes = append(v.Notes, "the field as a whole has no curve of its own: "+z.FieldWhy.Why)
		return nil
	}
	o, err := z.Field.Curve.Optimum(p)
	if err != nil {
		return err
	}
	v.FieldRate, v.HasField = o, true
	v.OverField = unit.Return(math.Max(0, zones-mean.gain(o.Rate.KgNPerHa(), p).PerHa()))
	return nil
}

// members are the zones that have a curve, with their weights.
func (z ZoneFits) members(areas map[string]unit.Area, v *ZoneValue) ([]Member, error) {
	var out []Member
	for _, f := range z.Zones {
		weight := float64(f.Observations)
		if areas != nil {
			weight = areas[f.ID].Hectares()
			if !(weight > 0) || math.IsInf(weight, 1) {
				return nil, refuse(BadObservation, "zone %s has an area of %s ha; give the area of every zone of the trial, above zero", f.ID, figure(weight))
			}
		}
		if f.Refusal != nil {
			v.Notes = append(v.Notes, fmt.Sprintf("zone %s takes no part in the value of zone rates, for it has no curve", f.ID))
			continue
		}
		out = append(out, Member{Name: f.ID, Curve: f.Fit.Curve, Weight: weight})
	}
	if areas == nil {
		v.Notes = append(v.Notes, "no areas of zones are given: each zone weighs as many observations as it has")
	}
	return out, nil
}
