package rates

import (
	"fmt"
	"maps"
	"slices"

	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
)

// CurvesOf are the curves themselves by zone, without any price: what a plan reads yields
// from. Notes say where they come from.
func (in Response) CurvesOf(zones []rx.Zone) (curves map[string]response.Curve, notes []string, err error) {
	curves = make(map[string]response.Curve, len(zones))
	switch {
	case in.Curve != nil:
		for _, z := range zones {
			curves[z.ID] = *in.Curve
		}
		return curves, []string{fmt.Sprintf("yields are read from a %s curve with the coefficients given", in.Curve.Model)}, nil
	case in.Curves != nil:
		return in.givenCurves(zones)
	case in.ByZone:
		return in.fittedCurves(zones)
	}
	var r Result
	fit, err := in.fit(&r)
	if err != nil {
		return nil, nil, err
	}
	for _, z := range zones {
		curves[z.ID] = fit.Curve
	}
	return curves, append(append(r.Findings, "yields are read from a "+in.source(fit)), fit.Notes...), nil
}

// givenCurves are those that are given; a zone may be without one.
func (in Response) givenCurves(zones []rx.Zone) (map[string]response.Curve, []string, error) {
	have := slices.Sorted(maps.Keys(in.Curves))
	match, err := rx.NewIDMatch(zoneIDs(zones), have)
	if err != nil {
		return nil, nil, fmt.Errorf("curves: %w", err)
	}
	curves := map[string]response.Curve{}
	for _, z := range zones {
		if at, ok := match.Find(z.ID); ok {
			curves[z.ID] = in.Curves[have[at]]
		}
	}
	notes := []string{"yields are read from curves by zone with the coefficients given"}
	if note := idle(zones, have); note != "" {
		notes = append(notes, note)
	}
	if note := match.Note(); note != "" {
		notes = append(notes, note)
	}
	return curves, notes, nil
}

func (in Response) fittedCurves(zones []rx.Zone) (map[string]response.Curve, []string, error) {
	fits, err := response.FitZones(in.Model, in.Trial, in.Practice, in.Options)
	if err != nil {
		return nil, nil, err
	}
	byID, without, note, err := in.matched(zones, fits)
	if err != nil {
		return nil, nil, err
	}
	notes := slices.Clone(fits.Notes)
	if note != "" {
		notes = append(notes, note)
	}
	curves := map[string]response.Curve{}
	for _, z := range zones {
		fit, of := byID[z.ID].Fit, ""
		if why, lacks := without[z.ID]; lacks {
			if !in.Otherwise.Field || fits.FieldWhy != nil {
				return nil, nil, fmt.Errorf("there is no curve to read yields from: %s", why)
			}
			fit, of = fits.Field, " as a whole, for it has no curve of its own: "+why
		}
		curves[z.ID] = fit.Curve
		notes = append(notes, fmt.Sprintf("zone %s: yields are read from a %s%s", z.ID, in.source(fit), of))
	}
	return curves, notes, nil
}
