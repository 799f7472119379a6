package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// PerBushel is nitrogen for each bushel of expected yield by a published rule.
type PerBushel struct {
	Name   string  // as in YieldGoalForms
	Lb     float64 // lb N per bu
	Source string
	Base   float64 // lb N/ac besides; 0 for most

	BaseWhat, BaseSource string

	own, baseOwn []string // of the two, what the job gives
}

const southDakota = "south-dakota"

// YieldGoalForms are the published factors.
func (co Coefficients) YieldGoalForms() []PerBushel {
	return []PerBushel{
		{Name: "stanford", Lb: co.StanfordPerBushel, Source: "Stanford 1966, 1973; the old Corn Belt rule", own: co.own(&co.StanfordPerBushel)},
		{Name: "penn-state", Lb: co.PennStatePerBushel, Source: "Penn State Agronomy Guide, table 1.2-5", own: co.own(&co.PennStatePerBushel)},
		{Name: southDakota, Lb: co.SouthDakotaPerBushel, Source: "South Dakota State Univ. 2023", own: co.own(&co.SouthDakotaPerBushel)},
		{
			Name: "nebraska-district", Lb: co.DistrictPerBushel, Source: "a natural resources district of Nebraska",
			Base: co.DistrictBase, BaseWhat: "constant", BaseSource: "a natural resources district of Nebraska",
			own: co.own(&co.DistrictPerBushel), baseOwn: co.own(&co.DistrictBase),
		},
	}
}

// YieldGoal is nitrogen for the expected yield less credits. A sum below zero is zero.
// Source of the form: Stanford 1973.
func (co Coefficients) YieldGoal(y unit.Yield, f PerBushel, credits []Credit) (Budget, error) {
	w := words{co.Units}
	b := Budget{words: w}
	if err := w.checkYield(y); err != nil {
		return b, err
	}
	if err := bounded("nitrogen for a bushel", f.Lb, 0, 3, "lb/bu", "common rules have 1.0 to 1.2"); err != nil {
		return b, err
	}
	if f.Base != 0 || f.BaseWhat != "" {
		b.add(f.BaseWhat, unit.LbNPerAcre(f.Base), w.cite(f.BaseSource, fmt.Sprintf("%g lb N/ac", f.Base), f.baseOwn))
	}
	b.add(w.perYield(f.Lb)+" x "+w.Yield(y), unit.LbNPerAcre(f.Lb*y.BushelsPerAcre()), w.cite(f.Source, fmt.Sprintf("%g lb N/bu", f.Lb), f.own))
	if err := b.take(credits); err != nil {
		return b, err
	}
	b.floor()
	return b.checked()
}

// WithoutTillage is the form with what South Dakota adds without tillage; of other forms
// nothing of the kind is known.
// Source: South Dakota State Univ. EC750, from memory.
func (co Coefficients) WithoutTillage(f PerBushel) (PerBushel, error) {
	if f.Name != southDakota {
		return f, fmt.Errorf("what ground without tillage needs more is known for %s, and the form is %s", southDakota, f.Name)
	}
	f.Base, f.BaseWhat, f.BaseSource = co.NoTill, "without tillage", "South Dakota State Univ. EC750 (from memory)"
	f.baseOwn = co.own(&co.NoTill)
	return f, nil
}

// ExpectedYield is the mean of past yields and 5 %. Years of hail or frost are for the
// caller to leave out; fewer than two years and a yield of zero are refused.
// Source: Univ. of Nebraska; Colorado State Univ. fact sheet 0.538.
func (co Coefficients) ExpectedYield(past []unit.Yield) (unit.Yield, error) {
	if len(past) < 2 {
		return 0, fmt.Errorf("%d past years make no expected yield; two are the least, and five are usual", len(past))
	}
	var sum unit.Yield
	for i, y := range past {
		if y == 0 {
			return 0, fmt.Errorf("the past yield number %d is 0, a year without a crop; leave years of hail, frost or another crop out", i+1)
		}
		if err := bounded("a past yield", y.BushelsPerAcre(), 0, mostYield, "bu/ac", "check its unit"); err != nil {
			return 0, err
		}
		sum += y
	}
	return sum / unit.Yield(len(past)) * unit.Yield(1+co.ExpectedOver), nil
}
