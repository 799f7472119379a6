package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// Soybean is the credit of soybean before corn: 45 lb/ac, 35 on sandy soil, a pound a
// bushel where it yielded less than 30 bu/ac. bushels is 0 where the yield is not known.
// Source: Univ. of Nebraska EC117, from memory.
func (co Coefficients) Soybean(sandy bool, bushels float64) (Credit, error) {
	c := Credit{What: "soybean before, on medium or fine soil", N: unit.LbNPerAcre(co.SoybeanCredit), Source: "Univ. of Nebraska EC117 (from memory)", Soybean: true}
	if sandy {
		c.What, c.N = "soybean before, on sandy soil", unit.LbNPerAcre(co.SoybeanSandyCredit)
	}
	if bushels == 0 {
		return c, nil
	}
	if err := bounded("a soybean yield", bushels, 1, 150, "bu/ac", "check its unit"); err != nil {
		return Credit{}, err
	}
	if bushels < co.SoybeanLow {
		c.What = "soybean before, " + words{co.Units}.soybeans(bushels)
		c.N = min(c.N, unit.LbNPerAcre(bushels))
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

// Stand is how good a stand of alfalfa was.
type Stand string

// The stands.
const (
	Good Stand = "good"
	Fair Stand = "fair"
	Poor Stand = "poor"
)

// Alfalfa is the credit of alfalfa before corn, by stand and by year of corn after it, 1 or 2.
// Source: Yost et al., Univ. of Minnesota (second-hand); states differ.
func (co Coefficients) Alfalfa(s Stand, year int) (Credit, error) {
	lb, ok := map[Stand]float64{Good: co.AlfalfaGood, Fair: co.AlfalfaFair, Poor: co.AlfalfaPoor}[s]
	if !ok {
		return Credit{}, fmt.Errorf("a stand of alfalfa is %q; write good, fair or poor", s)
	}
	c := Credit{Source: "Yost et al., Univ. of Minnesota"}
	c.Notes = []string{"credits for alfalfa differ between states by more than twice; set your state's"}
	switch year {
	case 1:
		c.What, c.N = fmt.Sprintf("alfalfa the year before, %s stand", s), unit.LbNPerAcre(lb)
	case 2:
		c.What, c.N = fmt.Sprintf("alfalfa two years before, %s stand", s), unit.LbNPerAcre(lb*co.AlfalfaSecond)
		if s != Good {
			c.Notes = append(c.Notes, fmt.Sprintf("the second year after a %s stand was reckoned as half of the first, as it is published for a good one", s))
		}
	default:
		return Credit{}, fmt.Errorf("the year of corn after alfalfa is %d; a credit is known for 1 and 2", year)
	}
	return c, nil
}

// DryBean is the credit of dry bean before corn.
// Source: Univ. of Nebraska as quoted by a natural resources district.
func (co Coefficients) DryBean() Credit {
	return Credit{What: "dry bean before", N: unit.LbNPerAcre(co.DryBeanCredit), Source: "Univ. of Nebraska"}
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
		N:    unit.LbNPerAcre(perArea * nPerTon * available), Source: "given in the job, from an analysis",
	}, nil
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
		N:    unit.LbNPerAcre(co.WaterLbPerPPMInch * ppm * depth.Inches()), Source: words{co.Units}.published("arithmetic; Univ. of California ANR", fmt.Sprintf("%g lb N/ac per ppm and in", co.WaterLbPerPPMInch)),
	}, nil
}

// Given is a credit that the job states.
func Given(what string, n unit.NRate) Credit {
	return Credit{What: what, N: n, Source: "given in the job"}
}
