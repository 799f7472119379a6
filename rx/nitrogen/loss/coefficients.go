package loss

import "ratewright/rx/nitrogen/coefficient"

// Coefficients are the numbers of the losses. Take them from Mid, Low, High or Draw and
// change what you know better. Units and sources stand at the constants of the same
// names, and in Names.
type Coefficients struct {
	MixedBase              float64 // square root of (percent + 4)
	UAN                    float64 // square root of (percent + 4)
	Sulfate                float64 // square root of (percent + 4)
	Nitrate                float64 // square root of (percent + 4)
	InjectedTerm           float64 // square root of (percent + 4)
	Liquid                 float64 // square root of (percent + 4)
	HighPH                 float64 // square root of (percent + 4)
	HighPHUAN              float64 // square root of (percent + 4)
	HighPHSulfate          float64 // square root of (percent + 4)
	HighPHNitrate          float64 // square root of (percent + 4)
	HighPHFrom             float64 // pH
	MixedPerKg             float64 // square root of (percent + 4) per kg N/ha
	MixedPerDegree         float64 // square root of (percent + 4) per °C
	StudyShift             float64 // square root of (percent + 4)
	LeastRate              float64 // kg N/ha
	MostRate               float64 // kg N/ha
	Warmest                float64 // °C
	ResidueGain            float64 // share of the loss on bare ground
	DepthNear              float64 // cm
	DepthMiddle            float64 // cm
	DepthNone              float64 // cm
	FactorNear             float64 // share of the loss at the surface
	FactorMiddle           float64 // share of the loss at the surface
	DepthShift             float64 // share of the loss at the surface
	BandFactor             float64 // share of the loss broadcast
	UreaseFactor           float64 // share
	NitrificationFactor    float64 // share
	InjectedFloor          float64 // share
	MostPhi                float64 // share
	WashUrea               float64 // per mm
	WashAmmonia            float64 // per mm
	Hydrolysis             float64 // per day
	HydrolysisUrease       float64 // per day
	HydrolysisBoth         float64 // per day
	HydrolysisPerDegree    float64 // per °C
	DryShare               float64 // share
	Clearing               float64 // per day
	GranularLag            float64 // days
	SoilHydrolysis         float64 // per day
	SoilPerDegree          float64 // per °C
	SoilOffset             float64 // share
	Nitrification          float64 // per day
	NitrificationA         float64 // share
	NitrificationB         float64 // share
	NitrificationPerDegree float64 // per °C
	NitrificationCold      float64 // per day
	ColdBelow              float64 // °C
	LagAmmonia             float64 // days times the rate of nitrification
	LagInhibitor           float64 // days times the rate of nitrification
	LagInhibitorAmmonia    float64 // days times the rate of nitrification
	SaturatedFirst         float64 // days
	CoolFrom               float64 // °C
	MildFrom               float64 // °C
	WarmAbove              float64 // °C
	DenitrifiedCool        float64 // share a day
	DenitrifiedMild        float64 // share a day
	DenitrifiedWarm        float64 // share a day
	RootDepth              float64 // m
	FrontFactor            float64 // none, a factor
	FrontCoarse            float64 // none, a factor
	InjectionFine5         float64 // share
	InjectionFine10        float64 // share
	InjectionCoarse5       float64 // share
	InjectionCoarse10      float64 // share
	InjectionDeep          float64 // share
	InjectionScale         float64 // none, a factor
	TieUpScale             float64 // none, a factor
	TieUpBroadcast         float64 // share
	TieUpBand              float64 // share
	TieUpBelow             float64 // share
	Decomposed             float64 // share
	MicrobesNeed           float64 // kg N per kg of residue
	ResidueHolds           float64 // kg N per kg of residue
	CoverPerMass           float64 // ha/Mg
	TieUpDays              float64 // days
}

// all are the coefficients in the order of the rules.
func (c *Coefficients) all() []coefficient.One {
	return []coefficient.One{
		coefficient.Of("mixed_base", "square root of (percent + 4)", &c.MixedBase, 0, 10, mixedBase, mixedBase, mixedBase),
		coefficient.Of("uan", "square root of (percent + 4)", &c.UAN, -5, 5, uan, uan, uan),
		coefficient.Of("sulfate", "square root of (percent + 4)", &c.Sulfate, -5, 5, sulfate, sulfate, sulfate),
		coefficient.Of("nitrate", "square root of (percent + 4)", &c.Nitrate, -5, 5, nitrate, nitrate, nitrate),
		coefficient.Of("injected_term", "square root of (percent + 4)", &c.InjectedTerm, -5, 5, injectedTerm, injectedTerm, injectedTerm),
		coefficient.Of("liquid", "square root of (percent + 4)", &c.Liquid, -5, 5, liquid, liquid, liquid),
		coefficient.Of("high_ph", "square root of (percent + 4)", &c.HighPH, -5, 5, highPH, highPH, highPH),
		coefficient.Of("high_ph_uan", "square root of (percent + 4)", &c.HighPHUAN, -5, 5, highPHUAN, highPHUAN, highPHUAN),
		coefficient.Of("high_ph_sulfate", "square root of (percent + 4)", &c.HighPHSulfate, -5, 5, highPHSulfate, highPHSulfate, highPHSulfate),
		coefficient.Of("high_ph_nitrate", "square root of (percent + 4)", &c.HighPHNitrate, -5, 5, highPHNitrate, highPHNitrate, highPHNitrate),
		coefficient.Of("high_ph_from", "pH", &c.HighPHFrom, 0, 14, highPHFrom, highPHFrom, highPHFrom),
		coefficient.Of("mixed_per_kg", "square root of (percent + 4) per kg N/ha", &c.MixedPerKg, 0, 0.1, mixedPerKg, mixedPerKg, mixedPerKg),
		coefficient.Of("mixed_per_degree", "square root of (percent + 4) per °C", &c.MixedPerDegree, 0, 1, mixedPerDegree, mixedPerDegree, mixedPerDegree),
		coefficient.Of("study_shift", "square root of (percent + 4)", &c.StudyShift, -5, 5, studyShift, studyShiftLow, studyShiftHigh),
		coefficient.Of("least_rate", "kg N/ha", &c.LeastRate, 0, 1000, leastRate, leastRate, leastRate),
		coefficient.Of("most_rate", "kg N/ha", &c.MostRate, 0, 1000, mostRate, mostRate, mostRate),
		coefficient.Of("warmest", "°C", &c.Warmest, 0, 60, warmest, warmest, warmest),
		coefficient.Of("residue_gain", "share of the loss on bare ground", &c.ResidueGain, 0, 10, residueGain, residueGainLow, residueGainHigh),
		coefficient.Of("depth_near", "cm", &c.DepthNear, 0.1, 60, depthNear, depthNear, depthNear),
		coefficient.Of("depth_middle", "cm", &c.DepthMiddle, 0.1, 60, depthMiddle, depthMiddle, depthMiddle),
		coefficient.Of("depth_none", "cm", &c.DepthNone, 0.1, 60, depthNone, depthNone, depthNone),
		coefficient.Of("factor_near", "share of the loss at the surface", &c.FactorNear, 0, 1, factorNear, factorNear, factorNear),
		coefficient.Of("factor_middle", "share of the loss at the surface", &c.FactorMiddle, 0, 1, factorMiddle, factorMiddle, factorMiddle),
		coefficient.Of("depth_shift", "share of the loss at the surface", &c.DepthShift, -1, 1, depthShift, depthShiftLow, depthShiftHigh),
		coefficient.Of("band_factor", "share of the loss broadcast", &c.BandFactor, 0, 1, bandFactor, bandFactorLow, bandFactorHigh),
		coefficient.Of("urease_factor", "share", &c.UreaseFactor, 0, 1, ureaseFactor, ureaseFactorLow, ureaseFactorHigh),
		coefficient.Of("nitrification_factor", "share", &c.NitrificationFactor, 0, 5, nitrificationFactor, nitrificationFactorLow, nitrificationFactorHigh),
		coefficient.Of("injected_floor", "share", &c.InjectedFloor, 0, 1, injectedFloor, injectedFloorLow, injectedFloorHigh),
		coefficient.Of("most_phi", "share", &c.MostPhi, 0, 1, mostPhi, mostPhi, mostPhi),
		coefficient.Of("wash_urea", "per mm", &c.WashUrea, 0, 10, washUrea, washUreaLow, washUreaHigh),
		coefficient.Of("wash_ammonia", "per mm", &c.WashAmmonia, 0, 10, washAmmonia, washAmmoniaLow, washAmmoniaHigh),
		coefficient.Of("hydrolysis", "per day", &c.Hydrolysis, 0, 10, hydrolysis, hydrolysis, hydrolysis),
		coefficient.Of("hydrolysis_urease", "per day", &c.HydrolysisUrease, 0, 10, hydrolysisUrease, hydrolysisUrease, hydrolysisUrease),
		coefficient.Of("hydrolysis_both", "per day", &c.HydrolysisBoth, 0, 10, hydrolysisBoth, hydrolysisBoth, hydrolysisBoth),
		coefficient.Of("hydrolysis_per_degree", "per °C", &c.HydrolysisPerDegree, 0, 1, hydrolysisPerDegree, hydrolysisPerDegree, hydrolysisPerDegree),
		coefficient.Of("dry_share", "share", &c.DryShare, 0, 1, dryShare, dryShare, dryShare),
		coefficient.Of("clearing", "per day", &c.Clearing, 0, 10, clearing, clearing, clearing),
		coefficient.Of("granular_lag", "days", &c.GranularLag, 0, 30, granularLag, granularLag, granularLag),
		coefficient.Of("soil_hydrolysis", "per day", &c.SoilHydrolysis, 0, 10, soilHydrolysis, soilHydrolysis, soilHydrolysis),
		coefficient.Of("soil_per_degree", "per °C", &c.SoilPerDegree, 0, 1, soilPerDegree, soilPerDegree, soilPerDegree),
		coefficient.Of("soil_offset", "share", &c.SoilOffset, 0, 1, soilOffset, soilOffset, soilOffset),
		coefficient.Of("nitrification", "per day", &c.Nitrification, 0, 10, nitrification, nitrificationLow, nitrificationHigh),
		coefficient.Of("nitrification_a", "share", &c.NitrificationA, -1, 1, nitrificationA, nitrificationA, nitrificationA),
		coefficient.Of("nitrification_b", "share", &c.NitrificationB, 0, 10, nitrificationB, nitrificationB, nitrificationB),
		coefficient.Of("nitrification_per_degree", "per °C", &c.NitrificationPerDegree, 0, 1, nitrificationPerDegree, nitrificationPerDegree, nitrificationPerDegree),
		coefficient.Of("nitrification_cold", "per day", &c.NitrificationCold, 0, 1, nitrificationCold, nitrificationCold, nitrificationCold),
		coefficient.Of("cold_below", "°C", &c.ColdBelow, 0, 20, coldBelow, coldBelow, coldBelow),
		coefficient.Of("lag_ammonia", "days times the rate of nitrification", &c.LagAmmonia, 0, 10, lagAmmonia, lagAmmonia, lagAmmonia),
		coefficient.Of("lag_inhibitor", "days times the rate of nitrification", &c.LagInhibitor, 0, 10, lagInhibitor, lagInhibitorLow, lagInhibitorHigh),
		coefficient.Of("lag_inhibitor_ammonia", "days times the rate of nitrification", &c.LagInhibitorAmmonia, 0, 10, lagInhibitorAmmonia, lagInhibitorAmmoniaLow, lagInhibitorAmmoniaHigh),
		coefficient.Of("saturated_first", "days", &c.SaturatedFirst, 0, 30, saturatedFirst, saturatedFirstLow, saturatedFirstHigh),
		coefficient.Of("cool_from", "°C", &c.CoolFrom, -10, 60, coolFrom, coolFrom, coolFrom),
		coefficient.Of("mild_from", "°C", &c.MildFrom, -10, 60, mildFrom, mildFrom, mildFrom),
		coefficient.Of("warm_above", "°C", &c.WarmAbove, -10, 60, warmAbove, warmAbove, warmAbove),
		coefficient.Of("denitrified_cool", "share a day", &c.DenitrifiedCool, 0, 1, denitrifiedCool, denitrifiedCoolLow, denitrifiedCoolHigh),
		coefficient.Of("denitrified_mild", "share a day", &c.DenitrifiedMild, 0, 1, denitrifiedMild, denitrifiedMildLow, denitrifiedMildHigh),
		coefficient.Of("denitrified_warm", "share a day", &c.DenitrifiedWarm, 0, 1, denitrifiedWarm, denitrifiedWarmLow, denitrifiedWarmHigh),
		coefficient.Of("root_depth", "m", &c.RootDepth, 0.1, 5, rootDepth, rootDepthLow, rootDepthHigh),
		coefficient.Of("front_factor", "none, a factor", &c.FrontFactor, 0.01, 10, frontFactor, frontFactor, frontFactor),
		coefficient.Of("front_coarse", "none, a factor", &c.FrontCoarse, 0.01, 10, frontCoarse, frontCoarseLow, frontCoarseHigh),
		coefficient.Of("injection_fine_5", "share", &c.InjectionFine5, 0, 1, injectionFine5, injectionFine5, injectionFine5),
		coefficient.Of("injection_fine_10", "share", &c.InjectionFine10, 0, 1, injectionFine10, injectionFine10, injectionFine10),
		coefficient.Of("injection_coarse_5", "share", &c.InjectionCoarse5, 0, 1, injectionCoarse5, injectionCoarse5, injectionCoarse5),
		coefficient.Of("injection_coarse_10", "share", &c.InjectionCoarse10, 0, 1, injectionCoarse10, injectionCoarse10, injectionCoarse10),
		coefficient.Of("injection_deep", "share", &c.InjectionDeep, 0, 1, injectionDeep, injectionDeep, injectionDeep),
		coefficient.Of("injection_scale", "none, a factor", &c.InjectionScale, 0, 10, injectionScale, injectionScaleLow, injectionScaleHigh),
		coefficient.Of("tie_up_scale", "none, a factor", &c.TieUpScale, 0, 10, tieUpScale, tieUpScaleLow, tieUpScaleHigh),
		coefficient.Of("tie_up_broadcast", "share", &c.TieUpBroadcast, 0, 1, tieUpBroadcast, tieUpBroadcast, tieUpBroadcast),
		coefficient.Of("tie_up_band", "share", &c.TieUpBand, 0, 1, tieUpBand, tieUpBand, tieUpBand),
		coefficient.Of("tie_up_below", "share", &c.TieUpBelow, 0, 1, tieUpBelow, tieUpBelow, tieUpBelow),
		coefficient.Of("decomposed", "share", &c.Decomposed, 0, 1, decomposed, decomposed, decomposed),
		coefficient.Of("microbes_need", "kg N per kg of residue", &c.MicrobesNeed, 0, 1, microbesNeed, microbesNeed, microbesNeed),
		coefficient.Of("residue_holds", "kg N per kg of residue", &c.ResidueHolds, 0, 1, residueHolds, residueHolds, residueHolds),
		coefficient.Of("cover_per_mass", "ha/Mg", &c.CoverPerMass, 0.01, 10, coverPerMass, coverPerMass, coverPerMass),
		coefficient.Of("tie_up_days", "days", &c.TieUpDays, 1, 365, tieUpDays, tieUpDays, tieUpDays),
	}
}
