package rates

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// Otherwise is the rate of a zone whose plots give no curve, or that has no plots.
type Otherwise struct {
	Field bool       // the optimum of one curve for all plots of the trial
	Rate  unit.NRate // or this
}

// matched finds the fit of each zone of the field in the trial's. without says of each
// zone that has none why; where there is to be no other rate, all of them are refused
// together, so that they can be seen to at once.
func (in Response) matched(zones []rx.Zone, fits response.ZoneFits) (byID map[string]response.ZoneFit, without map[string]string, note string, err error) {
	ids, have := zoneIDs(zones), make([]string, len(fits.Zones))
	for i, f := range fits.Zones {
		have[i] = f.ID
	}
	match, err := rx.NewIDMatch(ids, have)
	if err != nil {
		return nil, nil, "", fmt.Errorf("zones of the trial: %w", err)
	}
	byID, without = make(map[string]response.ZoneFit, len(zones)), map[string]string{}
	var first *response.Refusal
	for _, id := range ids {
		at, ok := match.Find(id)
		switch {
		case !ok:
			without[id] = fmt.Sprintf("zone %s is not in the trial, whose zones are %v", id, have)
		case fits.Zones[at].Refusal != nil:
			without[id] = fmt.Sprintf("zone %s: %s", id, fits.Zones[at].Refusal.Why)
			if first == nil {
				first = fits.Zones[at].Refusal
			}
		default:
			byID[id] = fits.Zones[at]
		}
	}
	if len(without) > 0 && in.Otherwise == nil {
		return nil, nil, "", refused(without, first)
	}
	return byID, without, match.Note(), nil
}

// refused names all zones that have no curve, and what can be done.
func refused(without map[string]string, first *response.Refusal) error {
	why := strings.Join(slices.Sorted(maps.Values(without)), "; ") + ". Give zones without a curve another rate (otherwise: field takes that of one curve for all plots, otherwise: 120 lb/ac one of your own), name the trial's zones as the field's, or leave `zone` out of its columns for one curve for all"
	if first == nil {
		return fmt.Errorf("%s", why)
	}
	return &response.Refusal{Reason: first.Reason, Why: why, Level: first.Level}
}

// otherwise is the rate of a zone without a curve of its own, its first reason saying
// why; the curve is nil where the rate is given.
func (in Response) otherwise(id, why string, fits response.ZoneFits) (ZoneRate, *response.Curve, error) {
	u := in.Options.Units
	if !in.Otherwise.Field {
		n := in.Otherwise.Rate
		return ZoneRate{
			ID: id, Rate: n, Terms: []Term{{"rate of a zone without a curve", n, "given in the job"}},
			Reasons: []string{fmt.Sprintf("%s; the %s is the rate that the job gives to zones without a curve", why, u.NRate(n))},
		}, nil, nil
	}
	if fits.FieldWhy != nil {
		return ZoneRate{}, nil, &response.Refusal{Reason: fits.FieldWhy.Reason, Why: why + "; and all plots together have no curve either: " + fits.FieldWhy.Why}
	}
	o, reasons, _, err := in.fitted(fits.Field)
	if err != nil {
		return ZoneRate{}, nil, inZone(id, err)
	}
	return ZoneRate{
		ID: id, Rate: o.Rate, Terms: []Term{{"rate of the largest return", o.Rate, in.source(fits.Field) + " as a whole"}},
		Reasons: append([]string{why + "; the rate is that of one curve for all plots of the trial"}, reasons...),
	}, &fits.Field.Curve, nil
}
