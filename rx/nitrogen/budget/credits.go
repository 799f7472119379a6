package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// SoybeanRules are whose rule a credit of soybean follows.
func SoybeanRules() []string { return []string{"nebraska", "dakotas", "per-bushel"} }

// Soybean is the credit of soybean before corn. By Nebraska, which an empty rule stands
// for, 45 lb/ac, 35 on sandy soil, a pound a bushel where it yielded less than 30 bu/ac; by
// the Dakotas 40; by the old rule a pound a bushel. bushels is nil where the yield is not
// known.
// Source: Univ. of Nebraska EC117 and the Dakotas, from memory; the old Corn Belt rule.
func (co Coefficients) Soybean(rule string, sandy bool, bushels *float64) (Credit, error) {
	if bushels != nil {
		if err := bounded("a soybean yield", *bushels, 1, 150, "bu/ac", "check its unit"); err != nil {
			return Credit{}, err
		}
	}
	w := words{co.Units}
	c := Credit{Soybean: true, Crop: "soybean"}
	switch rule {
	case "", "nebraska":
		used := []*float64{&co.SoybeanCredit}
		c.What = "soybean before, on medium or fine soil"
		if sandy {
			used[0], c.What = &co.SoybeanSandyCredit, "soybean before, on sandy soil"
		}
		c.N = unit.LbNPerAcre(*used[0])
		if bushels != nil {
			used = append(used, &co.SoybeanLow)
			if *bushels < co.SoybeanLow {
				c.What = "soybean before, " + w.soybeans(*bushels)
				c.N = min(c.N, unit.LbNPerAcre(*bushels))
			}
		}
		c.Source = w.cite("Univ. of Nebraska EC117 (from memory)", "", co.own(used...))
	case "dakotas":
		c.What, c.N, c.Source = "soybean before", unit.LbNPerAcre(co.SoybeanDakotas), w.cite("North and South Dakota (from memory)", "", co.own(&co.SoybeanDakotas))
	case "per-bushel":
		if bushels == nil {
			return Credit{}, fmt.Errorf("a credit for each bushel of soybean needs the yield of the soybean")
		}
		c.What, c.N, c.Source = "soybean before, "+w.soybeans(*bushels), unit.LbNPerAcre(co.SoybeanPerBushel**bushels), w.cite("the old Corn Belt rule, 1 lb N/bu", "", co.own(&co.SoybeanPerBushel))
	default:
		return Credit{}, fmt.Errorf("no rule of soybean credits is called %q; there are %v", rule, SoybeanRules())
	}
	return c, nil
}

// AfterSoybean refuses a soybean credit on a rate that is one for corn after soybean
// already: it would be taken off twice.
// Source: Sawyer, Iowa State Univ. ICM: do not subtract a soybean credit from a
// rotation-specific rate.
func AfterSoybean(credits []Credit) error {
	for _, c := range credits {
		if c.Soybean {
			return fmt.Errorf("the rate is one for corn after soybean, so a soybean credit would be taken off twice; leave the credit out, or take a rate for corn after corn (Sawyer, Iowa State Univ.)")
		}
	}
	return nil
}

// DryBean is the credit of dry bean before corn.
// Source: Univ. of Nebraska as quoted by a natural resources district.
func (co Coefficients) DryBean() Credit {
	return Credit{What: "dry bean before", N: unit.LbNPerAcre(co.DryBeanCredit), Source: words{co.Units}.cite("Univ. of Nebraska", "", co.own(&co.DryBeanCredit)), Crop: "dry bean"}
}

// Manure is the credit of manure: what was put down, how much nitrogen it has, and which
// share of that the crop can have this year. None of the three is known without an
// analysis, so none has a default.
func (co Coefficients) Manure(perArea, nPerTon, available float64) (Credit, error) {
	for _, v := range []struct {
		what      string
		v, lo, hi float64
		unit      string
	}{{"a rate of manure", perArea, 0, 200, "ton/ac"}, {"nitrogen in manure", nPerTon, 0, 120, "lb/ton"}, {"available nitrogen", available, 0, 1, "as a share"}} {
		if err := bounded(v.what, v.v, v.lo, v.hi, v.unit, "check its unit"); err != nil {
			return Credit{}, err
		}
	}
	return Credit{
		What: fmt.Sprintf("manure: %s x %g %% available", words{co.Units}.manure(perArea, nPerTon), 100*available),
		N:    unit.LbNPerAcre(perArea * nPerTon * available), Source: "given in the job, from an analysis", Manure: true,
	}, nil
}

// BeefManure is the credit of manure of a beef feedlot without an analysis, in the year
// that it was put down, 1, or the year after, 2. tonsPerAcre counts short tons.
// Source: a natural resources district of Nebraska: 4 to 6 lb a ton, about half of that
// in the second year.
func (co Coefficients) BeefManure(tonsPerAcre float64, year int) (Credit, error) {
	if err := bounded("a rate of manure", tonsPerAcre, 0, 200, "ton/ac", "check its unit"); err != nil {
		return Credit{}, err
	}
	share, when, used := 1.0, "first", []*float64{&co.ManureBeef}
	switch year {
	case 1:
	case 2:
		share, when, used = co.ManureBeefSecond, "second", append(used, &co.ManureBeefSecond)
	default:
		return Credit{}, fmt.Errorf("the year after manure is %d; a credit is known for 1, the year that it was applied, and 2", year)
	}
	lb := co.ManureBeef * share
	c := Credit{
		What: fmt.Sprintf("beef feedlot manure, %s year: %s", when, words{co.Units}.manure(tonsPerAcre, lb)),
		N:    unit.LbNPerAcre(tonsPerAcre * lb), Source: words{co.Units}.cite("a natural resources district of Nebraska", "", co.own(used...)), Manure: true,
	}
	if len(co.own(&co.ManureBeef)) == 0 {
		c.Notes = []string{"the credit of beef manure is the middle of a range of one fifth either way; an analysis says more"}
	}
	return c, nil
}

// Water is the credit of irrigation water: 0.2266 lb/ac for each ppm of nitrate-N and
// inch. asNitrate tells that ppm counts nitrate, not its nitrogen.
// Source: arithmetic; Univ. of California ANR and Colorado State Univ. round it.
func (co Coefficients) Water(c unit.PPM, depth unit.Length, asNitrate bool) (Credit, error) {
	if err := checkPPM("nitrate in water", c); err != nil {
		return Credit{}, err
	}
	if err := bounded("irrigation", depth.Inches(), 0, 80, "in", "check its unit"); err != nil {
		return Credit{}, err
	}
	ppm, name := c.MgPerKg(), "nitrate-N"
	if asNitrate {
		name = fmt.Sprintf("nitrate-N (%g ppm of nitrate)", ppm)
		ppm *= nitrateN
	}
	return Credit{
		What: fmt.Sprintf("irrigation: %s x %.2f ppm of %s x %s", words{co.Units}.perPPMInch(co.WaterLbPerPPMInch), ppm, name, words{co.Units}.Depth(depth)),
		N:    unit.LbNPerAcre(co.WaterLbPerPPMInch * ppm * depth.Inches()), Source: words{co.Units}.cite("arithmetic; Univ. of California ANR", fmt.Sprintf("%g lb N/ac per ppm and in", co.WaterLbPerPPMInch), co.own(&co.WaterLbPerPPMInch)),
	}, nil
}

// Given is a credit that the job states.
func Given(what string, n unit.NRate) Credit {
	return Credit{What: what, N: n, Source: "given in the job"}
}
