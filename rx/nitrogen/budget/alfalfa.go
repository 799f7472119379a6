package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// Stand is how good a stand of alfalfa was.
type Stand string

// The stands.
const (
	Good Stand = "good"
	Fair Stand = "fair"
	Poor Stand = "poor"
	Half Stand = "half"
)

// AlfalfaStates are the states whose credits of alfalfa are known.
func AlfalfaStates() []string {
	return []string{"minnesota", "wisconsin", "nebraska", "kansas", "idaho"}
}

// AlfalfaBefore is alfalfa before corn. What counts depends on the state.
type AlfalfaBefore struct {
	State    string      // of AlfalfaStates; "" is minnesota
	Year     int         // of corn after it; 2 in Minnesota alone
	Stand    Stand       // Minnesota: good, fair or poor; Nebraska: good or half
	Plants   float64     // Wisconsin: plants per square foot
	Regrowth unit.Length // Wisconsin: when it was killed
	Sandy    bool        // Wisconsin's credit is for medium and fine soil
}

// Alfalfa is the credit of alfalfa before corn, by state. Where a state publishes a range
// it is the middle, with a note of the ends.
// Source: Yost et al., Univ. of Minnesota; Wisconsin, Kansas and Idaho in Hay & Forage
// Grower (second-hand); a natural resources district of Nebraska.
func (co Coefficients) Alfalfa(a AlfalfaBefore) (Credit, error) {
	if a.Year != 1 && (a.Year != 2 || a.State != "" && a.State != "minnesota") {
		return Credit{}, fmt.Errorf("the year of corn after alfalfa is %d; a credit is known for 1, and in Minnesota for 2", a.Year)
	}
	var c Credit
	var err error
	switch a.State {
	case "", "minnesota":
		c, err = co.alfalfaMinnesota(a.Stand, a.Year)
	case "wisconsin":
		c, err = co.alfalfaWisconsin(a)
	case "nebraska":
		switch a.Stand {
		case Good:
			c = co.middle("good stand", &co.AlfalfaNebraskaGood, 80, 120, "a natural resources district of Nebraska")
		case Half:
			c = co.middle("half a stand", &co.AlfalfaNebraskaHalf, 40, 60, "a natural resources district of Nebraska")
		default:
			err = fmt.Errorf("a stand of alfalfa is %q; Nebraska knows good and half", a.Stand)
		}
	case "kansas":
		c = co.middle("first year", &co.AlfalfaKansas, 100, 140, "Kansas in Hay & Forage Grower")
	case "idaho":
		c = co.middle("first year", &co.AlfalfaIdaho, 100, 200, "Idaho in Hay & Forage Grower")
	default:
		err = fmt.Errorf("no credits of alfalfa are known of %q; there are %v", a.State, AlfalfaStates())
	}
	if err != nil {
		return Credit{}, err
	}
	c.Notes = append(c.Notes, "credits for alfalfa differ between states by more than twice; set your state's")
	return c, nil
}

// middle is the credit in the middle of a published range, or what the job has in place of
// it.
func (co *Coefficients) middle(what string, lb *float64, low, high float64, source string) Credit {
	c := Credit{What: "alfalfa the year before, " + what, N: unit.LbNPerAcre(*lb), Source: words{co.Units}.cite(source, "", co.own(lb)), Crop: "alfalfa"}
	if len(co.own(lb)) == 0 {
		c.Notes = []string{fmt.Sprintf("the credit of alfalfa is the middle of the published %s to %s", co.Units.NRateNumber(unit.LbNPerAcre(low)), co.Units.NRate(unit.LbNPerAcre(high)))}
	}
	return c
}

func (co *Coefficients) alfalfaMinnesota(s Stand, year int) (Credit, error) {
	lb, ok := map[Stand]*float64{Good: &co.AlfalfaGood, Fair: &co.AlfalfaFair, Poor: &co.AlfalfaPoor}[s]
	if !ok {
		return Credit{}, fmt.Errorf("a stand of alfalfa is %q; write good, fair or poor", s)
	}
	const source = "Yost et al., Univ. of Minnesota"
	w := words{co.Units}
	if year == 1 {
		return Credit{What: fmt.Sprintf("alfalfa the year before, %s stand", s), N: unit.LbNPerAcre(*lb), Source: w.cite(source, "", co.own(lb)), Crop: "alfalfa"}, nil
	}
	c := Credit{What: fmt.Sprintf("alfalfa two years before, %s stand", s), N: unit.LbNPerAcre(*lb * co.AlfalfaSecond), Source: w.cite(source, "", co.own(lb, &co.AlfalfaSecond))}
	if s != Good && len(co.own(&co.AlfalfaSecond)) == 0 {
		c.Notes = append(c.Notes, fmt.Sprintf("the second year after a %s stand was reckoned as half of the first, as it is published for a good one", s))
	}
	return c, nil
}

// alfalfaWisconsin is known for a good stand on medium and fine soil.
func (co *Coefficients) alfalfaWisconsin(a AlfalfaBefore) (Credit, error) {
	switch {
	case !(a.Plants > 0 && a.Plants <= mostPlants):
		return Credit{}, fmt.Errorf("%g plants of alfalfa per square foot cannot be; count them, a good stand has more than %g%s", a.Plants, co.AlfalfaWisconsinPlants, co.aside(wisconsin, &co.AlfalfaWisconsinPlants))
	case a.Plants <= co.AlfalfaWisconsinPlants:
		return Credit{}, fmt.Errorf("%g plants per square foot are no good stand, which has more than %g%s; credits of thinner stands are not built in: give yours under other", a.Plants, co.AlfalfaWisconsinPlants, co.aside(wisconsin, &co.AlfalfaWisconsinPlants))
	case a.Sandy:
		return Credit{}, fmt.Errorf("the credit of alfalfa in Wisconsin is for medium and fine soil; that of sandy soil is not built in: give yours under other")
	case !(a.Regrowth.Inches() >= 0 && a.Regrowth.Inches() <= mostRegrowth):
		return Credit{}, fmt.Errorf("a regrowth of %.4g in cannot be; check its unit", a.Regrowth.Inches())
	}
	used := []*float64{&co.AlfalfaWisconsin, &co.AlfalfaWisconsinPlants, &co.AlfalfaWisconsinRegrowth}
	c := Credit{What: "alfalfa the year before, " + words{co.Units}.plants(a.Plants), N: unit.LbNPerAcre(co.AlfalfaWisconsin), Crop: "alfalfa"}
	least := unit.Inches(co.AlfalfaWisconsinRegrowth)
	if a.Regrowth < least*(1-1e-9) {
		used = append(used, &co.AlfalfaWisconsinLess)
		c.N -= unit.LbNPerAcre(min(co.AlfalfaWisconsinLess, co.AlfalfaWisconsin))
		c.What += ", regrowth below " + co.Units.Depth(least)
	}
	c.Source = words{co.Units}.cite(wisconsin, "", co.own(used...))
	return c, nil
}

const wisconsin = "Univ. of Wisconsin in Hay & Forage Grower"

// Bounds beyond which a count or a measure is a slip.
const (
	// mostPlants is above any stand.
	//
	// Source: common practice; a seeding year has 20 to 30.
	// Range: 30 to 60.
	// Unit: plants per square foot.
	mostPlants = 60

	// mostRegrowth is above the height of alfalfa.
	//
	// Source: common practice.
	// Range: 40 to 60.
	// Unit: in.
	mostRegrowth = 60
)
