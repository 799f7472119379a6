package guard

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/growth"
)

// Options are the thresholds. Take DefaultOptions, whose figures are the published
// ones, and change what is known better.
type Options struct {
	DepthFine, DepthCoarse, DepthDry unit.Length // asked of ammonia
	DepthAbout                       unit.Length // by how much less counts as asked
	DepthFloor                       unit.Length // the least by practice
	DepthSafe                        unit.Length // no injury from here on
	ZoneRadius                       unit.Length // of ammonia around the knife
	SoilDensity                      float64     // kg/m3
	Reach                            unit.Length // seed and band farther apart are separate
	SeedDepth                        unit.Length
	NotePPM, WarnPPM                 unit.PPM // mean of the band, N by mass of soil
	WaitDays, WaitLongDays           int      // from ammonia to planting
	HelpDays, GoneDays               int      // the band matters less, and no more
	GentleRate, HarmRate             unit.NRate
	LeastAngleDeg                    float64
	LeastOffset                      unit.Length
	FallSoilC                        float64 // °C
	FallDays                         int     // longer than this before planting is fall, where no season is said

	HighResidue                     float64     // share of the ground
	ShallowMix                      unit.Length // worked in no deeper counts as on the surface
	RainSomeMM, RainMostMM          float64     // mm
	RainPracticeMM                  float64     // mm
	RainWindow, RainWindowInhibited int         // days
	UANEarly, UANLate, UANAtrazine  unit.NRate
	UANEarlyEnds, UANEnds           growth.Stage
	LateFrom, LateHarm              growth.Stage
	Uptake                          growth.Band

	NitratePercent   float64      // ammonium nitrate in a dry product, % of its mass, from which rules of security hold
	LightestSolution unit.Density // a product less dense is dry
}

// DefaultOptions are the published thresholds; see the constants for each source.
func DefaultOptions() Options {
	cm := func(v float64) unit.Length { return unit.Metres(v / 100) }
	return Options{
		DepthFine: unit.Inches(depthFine), DepthCoarse: unit.Inches(depthCoarse), DepthDry: unit.Inches(depthDry),
		DepthAbout: cm(depthAbout), DepthFloor: unit.Inches(depthFloor), DepthSafe: cm(depthSafe),
		ZoneRadius: unit.Inches(zoneRadius), SoilDensity: soilDensity, Reach: unit.Inches(reach), SeedDepth: cm(seedDepth),
		NotePPM: notePPM, WarnPPM: warnPPM,
		WaitDays: waitDays, WaitLongDays: waitLongDays, HelpDays: helpDays, GoneDays: goneDays,
		GentleRate: unit.LbNPerAcre(gentleRate), HarmRate: unit.KgNPerHa(harmRate),
		LeastAngleDeg: leastAngle, LeastOffset: unit.Inches(leastOffset), FallSoilC: celsius(fallSoil), FallDays: fallDays,
		HighResidue: highResidue, ShallowMix: unit.Inches(shallowMix), RainSomeMM: rainSome, RainMostMM: rainMost, RainPracticeMM: unit.Inches(rainPractice).Metres() * 1000,
		RainWindow: rainWindow, RainWindowInhibited: rainWindowInhibited,
		UANEarly: unit.LbNPerAcre(uanEarly), UANLate: unit.LbNPerAcre(uanLate), UANAtrazine: unit.LbNPerAcre(uanAtrazine),
		UANEarlyEnds: uanEarlyEnds, UANEnds: uanEnds, LateFrom: lateFrom, LateHarm: lateHarm, Uptake: growth.DefaultBand(),
		NitratePercent: nitrateShare, LightestSolution: unit.KgPerLitre(lightestSolution),
	}
}

// check refuses thresholds that are no numbers, or out of order.
func (o Options) check() error {
	for name, v := range map[string]float64{
		"depth in fine soil": o.DepthFine.Metres(), "depth in coarse soil": o.DepthCoarse.Metres(), "depth in dry soil": o.DepthDry.Metres(),
		"depth that falls short": o.DepthAbout.Metres(), "least depth": o.DepthFloor.Metres(), "safe depth": o.DepthSafe.Metres(), "radius of the band": o.ZoneRadius.Metres(),
		"density of the soil": o.SoilDensity, "reach of the band": o.Reach.Metres(), "depth of the seed": o.SeedDepth.Metres(),
		"ppm for a note": o.NotePPM.MgPerKg(), "ppm for a warning": o.WarnPPM.MgPerKg(), "rate without harm": o.GentleRate.KgNPerHa(),
		"rate with harm": o.HarmRate.KgNPerHa(), "angle": o.LeastAngleDeg, "offset": o.LeastOffset.Metres(), "residue cover": o.HighResidue, "shallow mixing": o.ShallowMix.Metres(),
		"some rain": o.RainSomeMM, "enough rain": o.RainMostMM, "rain by practice": o.RainPracticeMM,
		"early UAN": o.UANEarly.KgNPerHa(), "late UAN": o.UANLate.KgNPerHa(), "UAN with atrazine": o.UANAtrazine.KgNPerHa(),
		"stage of late UAN": float64(o.UANEarlyEnds), "last stage of UAN": float64(o.UANEnds), "late stage": float64(o.LateFrom), "stage of harm": float64(o.LateHarm),
		"days of waiting": float64(o.WaitDays), "days that help": float64(o.HelpDays), "days of rain": float64(o.RainWindow), "days before planting of fall": float64(o.FallDays),
		"share of ammonium nitrate": o.NitratePercent, "density of a solution": o.LightestSolution.KgPerLitre(),
	} {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("thresholds of warnings: the %s is %g; take the default, or give a number above zero", name, v)
		}
	}
	if math.IsNaN(o.FallSoilC) || math.IsInf(o.FallSoilC, 0) {
		return fmt.Errorf("thresholds of warnings: the soil temperature in fall is %g °C", o.FallSoilC)
	}
	for what, ordered := range map[string]bool{
		"ppm for a note and a warning": o.NotePPM <= o.WarnPPM, "rates without and with harm": o.GentleRate <= o.HarmRate,
		"days of waiting": o.WaitDays <= o.WaitLongDays, "days of the band": o.HelpDays <= o.GoneDays,
		"rain that helps some and most": o.RainSomeMM <= o.RainMostMM && o.RainMostMM <= o.RainPracticeMM,
		"days of rain":                  o.RainWindow <= o.RainWindowInhibited,
		"UAN early and late":            o.UANLate <= o.UANEarly && o.UANEarlyEnds <= o.UANEnds, "stages of a late sidedress": o.LateFrom <= o.LateHarm,
	} {
		if !ordered {
			return fmt.Errorf("thresholds of warnings: the %s are out of order", what)
		}
	}
	_, _, err := o.Uptake.At(growth.Emergence(), growth.R6)
	return err
}

func celsius(f float64) float64 { return (f - 32) * 5 / 9 }
