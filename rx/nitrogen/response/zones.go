package response

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// ZoneFit is the curve of one zone, or why it has none.
type ZoneFit struct {
	ID           string
	Observations int
	Fit          Fit      // meaningless where Refusal
	Refusal      *Refusal // nil for a fit
}

// ZoneTest is the extra-sum-of-squares F test of one shape of response for all zones
// against one for each, where every zone has a yield level of its own either way: zones that
// yield differently and respond alike want the same rate. Source: any text on regression;
// exact for the quadratic with independent errors, approximate where there is a join.
type ZoneTest struct {
	F        float64
	DF1, DF2 int
	P        float64 // chance of so large an F where the zones respond alike
}

// Words is the test as a sentence, with what was tested.
func (t ZoneTest) Words() string {
	s := fmt.Sprintf("one shape of response for all zones, each with a yield level of its own, was tested against a shape for each: F = %.2f with %d and %d degrees of freedom, P %s", t.F, t.DF1, t.DF2, chance(t.P))
	if t.P <= 1-responseLevel {
		return "the zones respond differently to nitrogen: " + s
	}
	return "the zones cannot be told apart by how they respond to nitrogen: " + s
}

func chance(p float64) string {
	if p < 0.0001 {
		return "below 0.0001"
	}
	return fmt.Sprintf("= %.4f", p)
}

// ZoneFits are the curves of a field by zone, all of one form.
type ZoneFits struct {
	Model    Model
	Choice   *FormChoice // how the form was chosen, where Best was asked for and some zone has a curve
	Field    Fit         // all observations as one; meaningless where FieldWhy
	FieldWhy *Refusal    // nil for a fit
	Zones    []ZoneFit   // by ID
	Test     ZoneTest    // meaningful where HasTest
	HasTest  bool
	Notes    []string
}

// FitZones fits one form to each zone and to the field as a whole. For Best one
// form is chosen for all zones by ZoneRule. A zone that is refused says why and does not stop the others. Fewer than two zones,
// or observations that are none, are refused.
func FitZones(m Model, obs []Observation, p Practice, o Options) (ZoneFits, error) {
	byZone := map[string][]Observation{}
	for i, ob := range obs {
		if strings.TrimSpace(ob.Zone) == "" {
			return ZoneFits{}, refuse(BadObservation, "observation %d has no zone; give each its zone, or fit the field as a whole", i+1)
		}
		if err := ob.check(i+1, o.Units); err != nil {
			return ZoneFits{}, err
		}
		byZone[ob.Zone] = append(byZone[ob.Zone], ob)
	}
	if len(byZone) < 2 {
		return ZoneFits{}, refuse(BadObservation, "the trial has %s; zones can be compared from two on", plural(len(byZone), "zone"))
	}
	z := ZoneFits{Model: m}
	none := map[string]*Refusal{}
	if m == Best {
		var err error
		if z.Choice, none, err = chooseForZones(byZone, p, o); err != nil {
			return ZoneFits{}, err
		}
		if z.Choice != nil {
			z.Model = z.Choice.Model
			if z.Choice.Close != "" {
				z.Notes = append(z.Notes, z.Choice.Close)
			}
		}
	}
	if err := z.fitField(obs, p, o); err != nil {
		return ZoneFits{}, err
	}
	for id, list := range byZone {
		f := ZoneFit{ID: id, Observations: len(list), Refusal: none[id]}
		var err error
		if f.Refusal == nil {
			f.Fit, err = FitCurve(z.Model, list, p, o)
		}
		if err != nil && !errors.As(err, &f.Refusal) {
			return ZoneFits{}, err
		}
		z.Zones = append(z.Zones, f)
	}
	slices.SortFunc(z.Zones, func(a, b ZoneFit) int { return strings.Compare(a.ID, b.ID) })
	for _, f := range z.Zones {
		if f.Refusal != nil {
			z.Notes = append(z.Notes, fmt.Sprintf("zone %s has no curve: %s", f.ID, f.Refusal.Why))
		}
	}
	z.test(byZone, o)
	return z, nil
}

func (z *ZoneFits) fitField(obs []Observation, p Practice, o Options) error {
	var err error
	if z.Model == Best {
		var c Choice
		if c, err = Choose(obs, p, o); err != nil {
			return err // neither the zones nor the field have a curve
		}
		z.Model, z.Field = c.Fit.Curve.Model, c.Fit
		return nil
	}
	z.Field, err = FitCurve(z.Model, obs, p, o)
	if err != nil && (!errors.As(err, &z.FieldWhy) || z.FieldWhy.Reason == BadCurve || z.FieldWhy.Reason == BadObservation) {
		return err
	}
	return nil
}

// test compares one shape of response with one for each of the zones that have a curve.
func (z *ZoneFits) test(byZone map[string][]Observation, o Options) {
	var used [][]Observation
	apart, plots, exact := 0.0, 0, true
	for _, f := range z.Zones {
		if f.Refusal == nil {
			used = append(used, byZone[f.ID])
			plots += len(byZone[f.ID])
			apart += f.Fit.SSE
			exact = exact && f.Fit.Exact
		}
	}
	zones := len(used)
	if zones < 2 {
		z.Notes = append(z.Notes, "fewer than two zones have a curve, so that nothing is said about whether zones differ")
		return
	}
	// One shape has two coefficients besides the level of each zone.
	t := ZoneTest{DF1: (coefficients - 1) * (zones - 1), DF2: plots - coefficients*zones}
	if exact || !(apart > 0) {
		z.Notes = append(z.Notes, "the curves of the zones go through every observation, so that there is no test of whether they differ")
		return
	}
	t.F = max(0, (oneShape(z.Model, onOneScale(used, o))-apart)/float64(t.DF1)/(apart/float64(t.DF2)))
	t.P = survival(t.F, t.DF1, t.DF2)
	z.Test, z.HasTest = t, true
	z.Notes = append(z.Notes, "the test of whether zones differ takes every observation as independent; neighbouring points of a yield monitor are not, and it then finds differences too easily")
}
