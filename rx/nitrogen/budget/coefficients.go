package budget

import (
	"fmt"
	"slices"
	"strings"

	"ratewright/geo/unit"
)

// Coefficients are the numbers of the rules. Take them from Published and change what
// your state says otherwise.
type Coefficients struct {
	Units unit.System // of the terms and notes; the numbers below stay in those of their publication

	StanfordPerBushel    float64 // lb N per bu
	PennStatePerBushel   float64 // lb N per bu
	SouthDakotaPerBushel float64 // lb N per bu
	ExpectedOver         float64 // share of the mean
	IowaPerPPM           float64 // lb N/ac per ppm
	IowaCritical         float64 // ppm of nitrate-N in the top foot
	IowaCap              float64 // lb N/ac
	IowaManured          float64 // ppm of nitrate-N in the top foot
	PennCritical         float64 // ppm of nitrate-N in the top foot
	PennPerBushel        float64 // lb N per bu
	PennNoManure         float64 // lb N/ac per ppm
	PennManure           float64 // lb N/ac per ppm
	PennEarlierManure    float64 // lb N/ac per ppm
	PennSoybean          float64 // lb N/ac per ppm
	PennForage           float64 // lb N/ac per ppm
	IllinoisPerPPM       float64 // lb N/ac per ppm in the top foot
	IllinoisFrom         float64 // ppm of nitrate-N
	TestShortest         float64 // in
	TestTallest          float64 // in
	OhioNone             float64 // ppm of nitrate-N
	OhioLow              float64 // ppm of nitrate-N
	OhioLowOff           float64 // lb N/ac
	OhioMiddle           float64 // ppm of nitrate-N
	OhioMiddleOff        float64 // lb N/ac
	OhioHigh             float64 // ppm of nitrate-N
	OhioHighOff          float64 // lb N/ac
	OmBase               float64 // lb N/ac
	OmPerBushel          float64 // lb N per bu
	OmPerPPM             float64 // lb N/ac per ppm
	OmPerBushelPercent   float64 // lb N per bu and percent
	OmLeast              float64 // percent
	OmMost               float64 // percent
	LbPerPPMInch         float64 // lb N/ac per ppm and inch
	DeepNote             float64 // ppm of nitrate-N
	SoybeanCredit        float64 // lb N/ac
	SoybeanSandyCredit   float64 // lb N/ac
	SoybeanLow           float64 // bu/ac of soybean
	DryBeanCredit        float64 // lb N/ac
	AlfalfaGood          float64 // lb N/ac
	AlfalfaFair          float64 // lb N/ac
	AlfalfaPoor          float64 // lb N/ac
	AlfalfaSecond        float64 // share
	WaterLbPerPPMInch    float64 // lb N/ac per ppm and inch
}

// Published are the cited constants.
func Published() Coefficients {
	return Coefficients{
		StanfordPerBushel:    stanfordPerBushel,
		PennStatePerBushel:   pennStatePerBushel,
		SouthDakotaPerBushel: southDakotaPerBushel,
		ExpectedOver:         expectedOver,
		IowaPerPPM:           iowaPerPPM,
		IowaCritical:         iowaCritical,
		IowaCap:              iowaCap,
		IowaManured:          iowaManured,
		PennCritical:         pennCritical,
		PennPerBushel:        pennPerBushel,
		PennNoManure:         pennNoManure,
		PennManure:           pennManure,
		PennEarlierManure:    pennEarlierManure,
		PennSoybean:          pennSoybean,
		PennForage:           pennForage,
		IllinoisPerPPM:       illinoisPerPPM,
		IllinoisFrom:         illinoisFrom,
		TestShortest:         testShortest,
		TestTallest:          testTallest,
		OhioNone:             ohioNone,
		OhioLow:              ohioLow,
		OhioLowOff:           ohioLowOff,
		OhioMiddle:           ohioMiddle,
		OhioMiddleOff:        ohioMiddleOff,
		OhioHigh:             ohioHigh,
		OhioHighOff:          ohioHighOff,
		OmBase:               omBase,
		OmPerBushel:          omPerBushel,
		OmPerPPM:             omPerPPM,
		OmPerBushelPercent:   omPerBushelPercent,
		OmLeast:              omLeast,
		OmMost:               omMost,
		LbPerPPMInch:         lbPerPPMInch,
		DeepNote:             deepNote,
		SoybeanCredit:        soybeanCredit,
		SoybeanSandyCredit:   soybeanSandyCredit,
		SoybeanLow:           soybeanLow,
		DryBeanCredit:        dryBeanCredit,
		AlfalfaGood:          alfalfaGood,
		AlfalfaFair:          alfalfaFair,
		AlfalfaPoor:          alfalfaPoor,
		AlfalfaSecond:        alfalfaSecond,
		WaterLbPerPPMInch:    waterLbPerPPMInch,
	}
}

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

// Set changes a coefficient by its name to a value of zero or more.
func (co *Coefficients) Set(name string, v float64) error {
	for _, n := range co.named() {
		if n.name != name {
			continue
		}
		if err := bounded("the coefficient "+name, v, 0, 1000, n.unit, "see the published value"); err != nil {
			return err
		}
		*n.at = v
		return nil
	}
	return fmt.Errorf("no coefficient is called %q", name)
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
