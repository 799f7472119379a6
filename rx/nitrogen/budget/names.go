package budget

import (
	"fmt"
	"slices"
	"strings"
)

// Coefficient is one of them by name.
type Coefficient struct {
	Name, Unit string
	Published  float64
}

// named are the coefficients by name, in the order of their rules.
func (co *Coefficients) named() []struct {
	name, unit string
	at         *float64
} {
	return []struct {
		name, unit string
		at         *float64
	}{
		{"stanford_per_bushel", "lb N per bu", &co.StanfordPerBushel},
		{"penn_state_per_bushel", "lb N per bu", &co.PennStatePerBushel},
		{"south_dakota_per_bushel", "lb N per bu", &co.SouthDakotaPerBushel},
		{"expected_over", "share of the mean", &co.ExpectedOver},
		{"iowa_per_ppm", "lb N/ac per ppm", &co.IowaPerPPM},
		{"iowa_critical", "ppm of nitrate-N in the top foot", &co.IowaCritical},
		{"iowa_cap", "lb N/ac", &co.IowaCap},
		{"iowa_manured", "ppm of nitrate-N in the top foot", &co.IowaManured},
		{"penn_critical", "ppm of nitrate-N in the top foot", &co.PennCritical},
		{"penn_per_bushel", "lb N per bu", &co.PennPerBushel},
		{"penn_no_manure", "lb N/ac per ppm", &co.PennNoManure},
		{"penn_manure", "lb N/ac per ppm", &co.PennManure},
		{"penn_earlier_manure", "lb N/ac per ppm", &co.PennEarlierManure},
		{"penn_soybean", "lb N/ac per ppm", &co.PennSoybean},
		{"penn_forage", "lb N/ac per ppm", &co.PennForage},
		{"illinois_per_ppm", "lb N/ac per ppm in the top foot", &co.IllinoisPerPPM},
		{"illinois_from", "ppm of nitrate-N", &co.IllinoisFrom},
		{"test_shortest", "in", &co.TestShortest},
		{"test_tallest", "in", &co.TestTallest},
		{"ohio_none", "ppm of nitrate-N", &co.OhioNone},
		{"ohio_low", "ppm of nitrate-N", &co.OhioLow},
		{"ohio_low_off", "lb N/ac", &co.OhioLowOff},
		{"ohio_middle", "ppm of nitrate-N", &co.OhioMiddle},
		{"ohio_middle_off", "lb N/ac", &co.OhioMiddleOff},
		{"ohio_high", "ppm of nitrate-N", &co.OhioHigh},
		{"ohio_high_off", "lb N/ac", &co.OhioHighOff},
		{"om_base", "lb N/ac", &co.OmBase},
		{"om_per_bushel", "lb N per bu", &co.OmPerBushel},
		{"om_per_ppm", "lb N/ac per ppm", &co.OmPerPPM},
		{"om_per_bushel_percent", "lb N per bu and percent", &co.OmPerBushelPercent},
		{"om_least", "percent", &co.OmLeast},
		{"om_most", "percent", &co.OmMost},
		{"lb_per_ppm_inch", "lb N/ac per ppm and inch", &co.LbPerPPMInch},
		{"deep_note", "ppm of nitrate-N", &co.DeepNote},
		{"soybean_credit", "lb N/ac", &co.SoybeanCredit},
		{"soybean_sandy_credit", "lb N/ac", &co.SoybeanSandyCredit},
		{"soybean_low", "bu/ac of soybean", &co.SoybeanLow},
		{"dry_bean_credit", "lb N/ac", &co.DryBeanCredit},
		{"alfalfa_good", "lb N/ac", &co.AlfalfaGood},
		{"alfalfa_fair", "lb N/ac", &co.AlfalfaFair},
		{"alfalfa_poor", "lb N/ac", &co.AlfalfaPoor},
		{"alfalfa_second", "share", &co.AlfalfaSecond},
		{"water_lb_per_ppm_inch", "lb N/ac per ppm and inch", &co.WaterLbPerPPMInch},
		{"district_base", "lb N/ac", &co.DistrictBase},
		{"district_per_bushel", "lb N per bu", &co.DistrictPerBushel},
		{"no_till", "lb N/ac", &co.NoTill},
		{"recalibrated_per_bushel", "lb N per bu", &co.RecalibratedPerBushel},
		{"recalibrated_per_ppm", "lb N/ac per ppm", &co.RecalibratedPerPPM},
		{"recalibrated_cover", "lb N/ac", &co.RecalibratedCover},
		{"nitrate_medium", "ppm of nitrate-N", &co.NitrateMedium},
		{"nitrate_sandy", "ppm of nitrate-N", &co.NitrateSandy},
		{"soybean_dakotas", "lb N/ac", &co.SoybeanDakotas},
		{"soybean_per_bushel", "lb N per bu of soybean", &co.SoybeanPerBushel},
		{"alfalfa_wisconsin", "lb N/ac", &co.AlfalfaWisconsin},
		{"alfalfa_wisconsin_plants", "plants per square foot", &co.AlfalfaWisconsinPlants},
		{"alfalfa_wisconsin_regrowth", "in", &co.AlfalfaWisconsinRegrowth},
		{"alfalfa_wisconsin_less", "lb N/ac", &co.AlfalfaWisconsinLess},
		{"alfalfa_nebraska_good", "lb N/ac", &co.AlfalfaNebraskaGood},
		{"alfalfa_nebraska_half", "lb N/ac", &co.AlfalfaNebraskaHalf},
		{"alfalfa_kansas", "lb N/ac", &co.AlfalfaKansas},
		{"alfalfa_idaho", "lb N/ac", &co.AlfalfaIdaho},
		{"manure_beef", "lb N/ton", &co.ManureBeef},
		{"manure_beef_second", "share of the first year", &co.ManureBeefSecond},
	}
}

// Names lists the coefficients with their units and published values.
func Names() []Coefficient {
	p := Published()
	var list []Coefficient
	for _, n := range p.named() {
		list = append(list, Coefficient{n.name, n.unit, *n.at})
	}
	return list
}

// senseless are the coefficients that a rule does not bear at zero: it would give no rate,
// or every rate. The others may be none.
func senseless() []string {
	return []string{
		"stanford_per_bushel", "penn_state_per_bushel", "south_dakota_per_bushel", "district_per_bushel",
		"iowa_per_ppm", "iowa_critical", "iowa_cap", "penn_critical", "penn_per_bushel", "recalibrated_per_bushel",
		"illinois_per_ppm", "test_tallest", "ohio_low", "ohio_middle", "ohio_high",
		"om_per_bushel", "om_most", "lb_per_ppm_inch", "water_lb_per_ppm_inch", "deep_note",
		"soybean_per_bushel", "alfalfa_wisconsin_plants", "manure_beef",
	}
}

// Set changes a coefficient by its name to a value of zero or more, above zero where zero
// has no sense. Check tells whether the coefficients fit together.
func (co *Coefficients) Set(name string, v float64) error {
	for _, n := range co.named() {
		if n.name != name {
			continue
		}
		if err := bounded("the coefficient "+name, v, 0, 1000, n.unit, "see the published value"); err != nil {
			return err
		}
		if v == 0 && slices.Contains(senseless(), name) {
			return fmt.Errorf("the coefficient %s is 0 %s, at which the rule says nothing; leave it out for the published value", name, n.unit)
		}
		*n.at = v
		return nil
	}
	return fmt.Errorf("no coefficient is called %q", name)
}

// Check refuses coefficients that cross: ends of a range the wrong way round, classes out of
// order, and shares above the whole.
func (co Coefficients) Check() error {
	type one struct {
		name string
		v    float64
	}
	for _, rising := range [][]one{
		{{"om_least", co.OmLeast}, {"om_most", co.OmMost}},
		{{"test_shortest", co.TestShortest}, {"test_tallest", co.TestTallest}},
		{{"ohio_none", co.OhioNone}, {"ohio_low", co.OhioLow}, {"ohio_middle", co.OhioMiddle}, {"ohio_high", co.OhioHigh}},
		{{"ohio_low_off", co.OhioLowOff}, {"ohio_middle_off", co.OhioMiddleOff}, {"ohio_high_off", co.OhioHighOff}},
		{{"penn_no_manure", co.PennNoManure}, {"penn_manure", co.PennManure}},
		{{"alfalfa_poor", co.AlfalfaPoor}, {"alfalfa_fair", co.AlfalfaFair}, {"alfalfa_good", co.AlfalfaGood}},
		{{"alfalfa_nebraska_half", co.AlfalfaNebraskaHalf}, {"alfalfa_nebraska_good", co.AlfalfaNebraskaGood}},
		{{"alfalfa_wisconsin_less", co.AlfalfaWisconsinLess}, {"alfalfa_wisconsin", co.AlfalfaWisconsin}},
		{{"alfalfa_second", co.AlfalfaSecond}, {"the whole, which is", 1}},
		{{"manure_beef_second", co.ManureBeefSecond}, {"the whole, which is", 1}},
		{{"expected_over", co.ExpectedOver}, {"the whole, which is", 1}},
	} {
		for i, b := range rising[1:] {
			if a := rising[i]; a.v > b.v {
				return fmt.Errorf("the coefficient %s is %g, above %s %g; set both so that they do not cross", a.name, a.v, b.name, b.v)
			}
		}
	}
	return nil
}

// Unused are the coefficients of the job, not the published ones, of which nothing that was
// said speaks: they took no part in it.
func (co Coefficients) Unused(said string) []string {
	var list []string
	p := Published()
	published := p.named()
	for i, n := range co.named() {
		if *n.at != *published[i].at && !strings.Contains(said, " "+n.name+" ") {
			list = append(list, n.name)
		}
	}
	return list
}

// Changed tells which coefficients are not the published ones, as a sentence; "" for none.
func (co Coefficients) Changed() string {
	p := Published()
	published := p.named()
	var list []string
	for i, n := range co.named() {
		if *n.at != *published[i].at {
			list = append(list, fmt.Sprintf("%s %g (published: %g) %s", n.name, *n.at, *published[i].at, n.unit))
		}
	}
	if len(list) == 0 {
		return ""
	}
	slices.Sort(list)
	return "coefficients of the job stand in place of the published ones: " + strings.Join(list, "; ")
}
