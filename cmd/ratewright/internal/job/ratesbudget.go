package job

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/budget"
	"ratewright/rx/rates"
)

// quantities are those of the zones that a rule works with, by name.
type quantities map[string][]float64

// The names of quantities.
const (
	quantityYield   = "expected yield"        // kg/ha
	quantityNitrate = "nitrate-N in the soil" // ppm
	quantityOrganic = "organic matter"        // percent
	quantityBase    = "rate without a test"   // kg N/ha
)

func (o *opener) fromBudget(m *MethodSpec, zones []rx.Zone) (rates.Result, error) {
	s, q := m.Budget, quantities{}
	unsampled, err := s.unsampled(o, zones)
	if err != nil {
		return rates.Result{}, err
	}
	var varied []rates.Varied
	for _, v := range []struct {
		name      string
		spec      *ValueSpec
		low, high string
		moved     func(v float64, way float64) float64
	}{
		{quantityYield, s.Yield, "10 % less", "10 % more", yieldShare},
		{quantityNitrate, s.Nitrate, "5 ppm less", "5 ppm more", nitrateStep},
		{quantityOrganic, s.OrganicMatter, "0.5 % less", "0.5 % more", organicStep},
		{quantityBase, s.Base, "10 % less", "10 % more", baseShare},
	} {
		values := unsampled
		if v.name != quantityNitrate || values == nil {
			if v.spec == nil {
				continue
			}
			if values, err = s.values(o, v.spec, zones); err != nil {
				return rates.Result{}, err
			}
		}
		q[v.name] = values
		end := func(way float64) rates.Work {
			return func(i int) (budget.Budget, error) {
				moved := maps.Clone(q) // which has all of them by then
				moved[v.name] = slices.Clone(values)
				moved[v.name][i] = v.moved(values[i], way)
				return s.work(m.Name, moved, i)
			}
		}
		varied = append(varied, rates.Varied{What: v.name, LowText: v.low, HighText: v.high, Low: end(-1), High: end(1)})
	}
	varied = append(varied, s.movedCredits(m.Name, q)...)
	r, err := rates.FromBudgets(methodTitle(m), zones, func(i int) (budget.Budget, error) { return s.work(m.Name, q, i) }, varied)
	if note := s.Coefficients.Changed(); note != "" && err == nil {
		r.Notes = append(r.Notes, s.unusedNotes(r, o.notes)...)
		r.Notes = append(r.Notes, note)
	}
	return r, err
}

// movedCredits moves the test of the soil's nitrate before planting that a credit stands for.
func (s *BudgetSpec) movedCredits(method string, q quantities) []rates.Varied {
	for k, c := range s.Credits {
		if c.Residual == nil {
			continue
		}
		end := func(by unit.PPM) rates.Work {
			return func(i int) (budget.Budget, error) {
				moved := *s
				moved.Credits = slices.Clone(s.Credits)
				var err error
				if moved.Credits[k], err = s.Coefficients.Moved(*c.Residual, by); err != nil {
					return budget.Budget{}, err
				}
				return moved.work(method, q, i)
			}
		}
		return []rates.Varied{{What: quantityNitrate, LowText: "5 ppm less", HighText: "5 ppm more", Low: end(-nitrateRange), High: end(nitrateRange)}}
	}
	return nil
}

// unusedNotes tell which coefficients of the job took no part in the rates.
func (s *BudgetSpec) unusedNotes(r rates.Result, said []string) []string {
	text := strings.Join(append(slices.Clone(said), r.Notes...), "\n")
	for _, z := range r.Zones {
		for _, t := range z.Terms {
			text += "\n" + t.Source
		}
	}
	if unused := s.Coefficients.Unused(text); len(unused) > 0 {
		return []string{"coefficients of the job that took no part in these rates: " + strings.Join(unused, ", ")}
	}
	return nil
}

// How far an input is moved, up and down, to see what it does to the rate.
const (
	shareRange         = 0.1 // of expected yield and of a rate
	nitrateRange       = 5   // ppm
	organicMatterRange = 0.5 // percent
)

// An input is moved no further than the rules take it.

func yieldShare(v, way float64) float64 {
	return budget.WithinYield(unit.KgGrainPerHa(v * (1 + way*shareRange))).KgPerHa()
}

func nitrateStep(v, way float64) float64 {
	return budget.WithinPPM(unit.PPM(v + way*nitrateRange)).MgPerKg()
}

func organicStep(v, way float64) float64 { return budget.WithinOrganic(v + way*organicMatterRange) }

func baseShare(v, way float64) float64 {
	return budget.WithinBase(unit.KgNPerHa(v * (1 + way*shareRange))).KgNPerHa()
}

func methodTitle(m *MethodSpec) string {
	title := map[string]string{methodYield: "yield goal", methodOrganic: "yield, organic matter and nitrate", methodTest: "soil nitrate test"}[m.Name]
	if m.Budget.Form != "" {
		title += ", " + m.Budget.Form
	}
	return title
}

// work is the rule of a method for zone i.
func (s *BudgetSpec) work(method string, q quantities, i int) (budget.Budget, error) {
	yield := func() unit.Yield { return unit.KgGrainPerHa(q[quantityYield][i]) }
	sampled := s.Sampled
	if v := q[quantityNitrate]; v != nil {
		sampled.Test = unit.PPM(v[i])
	}
	switch {
	case method == methodYield:
		return s.yieldGoal(yield())
	case method == methodOrganic:
		return s.Coefficients.YieldOrganicMatterNitrate(budget.OrganicMatter{
			Yield: yield(), Nitrate: sampled.Test, Percent: q[quantityOrganic][i], Credits: s.Credits, Price: s.Price, Timing: s.Timing,
		})
	case s.Form == "iowa":
		return budget.Less(s.Credits)(s.Coefficients.LateSpring(sampled, s.Iowa))
	case s.Form == "penn-state":
		return budget.Less(s.Credits)(s.Coefficients.PreSidedress(sampled, yield(), s.Penn))
	case s.Form == pennRecalibrated:
		return budget.Less(s.Credits)(s.Coefficients.Recalibrated(sampled, yield(), s.LongManure, s.CoverCrop))
	case s.Form == "ohio":
		return budget.Less(s.Credits)(s.Coefficients.OhioReduction(sampled, unit.KgNPerHa(q[quantityBase][i])))
	case s.Form == "illinois":
		return budget.Less(s.Credits)(s.Coefficients.IllinoisReduction(sampled, unit.KgNPerHa(q[quantityBase][i])))
	}
	return budget.Budget{}, fmt.Errorf("no rule %s %s", method, s.Form)
}

// yieldGoal is the form of the job.
func (s *BudgetSpec) yieldGoal(y unit.Yield) (budget.Budget, error) {
	for _, f := range s.Coefficients.YieldGoalForms() {
		if f.Name != s.Form {
			continue
		}
		if s.NoTill {
			var err error
			if f, err = s.Coefficients.WithoutTillage(f); err != nil {
				return budget.Budget{}, err
			}
		}
		return s.Coefficients.YieldGoal(y, f, s.Credits)
	}
	return budget.Budget{}, fmt.Errorf("no yield goal is called %s", s.Form)
}

// values are those of the zones; of past yields they are the expected yield.
func (s *BudgetSpec) values(o *opener, v *ValueSpec, zones []rx.Zone) ([]float64, error) {
	if len(v.Years) == 0 {
		return v.of(o, zones)
	}
	past := make([][]unit.Yield, len(zones))
	for _, column := range v.Years {
		year := ValueSpec{Rule: rx.ValueRule{What: "yield", Column: column}, Factor: v.Factor}
		values, err := year.of(o, zones)
		if err != nil {
			return nil, err
		}
		for i, y := range values {
			past[i] = append(past[i], unit.KgGrainPerHa(y))
		}
	}
	out := make([]float64, len(zones))
	for i := range zones {
		y, err := s.Coefficients.ExpectedYield(past[i])
		if err != nil {
			return nil, fmt.Errorf("zone %s: %w", zones[i].ID, err)
		}
		out[i] = y.KgPerHa()
	}
	o.notes = append(o.notes, fmt.Sprintf("the expected yield is the mean of %d past years and %g %% (%s); five years are usual, without those of hail or frost", len(v.Years), 100*s.Coefficients.ExpectedOver, s.Coefficients.ExpectedSource()))
	return out, nil
}

// unsampled is the nitrate of a soil that was not sampled, by its texture; nil where it
// was.
func (s *BudgetSpec) unsampled(o *opener, zones []rx.Zone) ([]float64, error) {
	if s.Soil == nil {
		return nil, nil
	}
	sandy, err := s.Soil.sandy(zones)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(zones))
	for i := range zones {
		out[i] = s.Coefficients.DefaultNitrate(sandy[i]).MgPerKg()
	}
	o.notes = append(o.notes, fmt.Sprintf("the soil was not sampled for nitrate: %g ppm stand for medium and fine soil and %g for sandy (%s); a sample says more", s.Coefficients.NitrateMedium, s.Coefficients.NitrateSandy, s.Coefficients.UnsampledSource()))
	return out, nil
}
