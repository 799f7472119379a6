package loss

// Ammonia: the potential loss. All of these can be set otherwise in Coefficients;
// Low and High end a name in the runs of low and high losses.
const (
	// mixedBase is the loss of broadcast urea without rate and warmth, on the
	// model's scale.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.235.
	// Unit: square root of (percent + 4).
	mixedBase = 3.794

	// uan is added for UAN.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.234.
	// Unit: square root of (percent + 4).
	uan = -0.9549

	// sulfate is added for the group of ammonium sulfate; which of the ammonium
	// sources fall into it was inferred from counts.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.177.
	// Unit: square root of (percent + 4).
	sulfate = -1.293

	// nitrate is added for the group of ammonium nitrate.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.088.
	// Unit: square root of (percent + 4).
	nitrate = -1.663

	// injectedTerm is added for what is injected.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.281.
	// Unit: square root of (percent + 4).
	injectedTerm = -0.6217

	// liquid is added for what is sprayed; all UAN on the surface is.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.194, not significant.
	// Unit: square root of (percent + 4).
	liquid = 0.1761

	// highPH is added for urea above the limit of pH.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.114, not significant.
	// Unit: square root of (percent + 4).
	highPH = -0.0619

	// highPHUAN is added to it for UAN.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: none given.
	// Unit: square root of (percent + 4).
	highPHUAN = 0.7757

	// highPHSulfate is added to it for the group of ammonium sulfate.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: none given.
	// Unit: square root of (percent + 4).
	highPHSulfate = 1.333

	// highPHNitrate is added to it for the group of ammonium nitrate.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: none given.
	// Unit: square root of (percent + 4).
	highPHNitrate = 0.3755

	// highPHFrom is the pH above which these are added.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: 7.
	// Unit: pH.
	highPHFrom = 7

	// mixedPerKg is added per kg N/ha.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.00085.
	// Unit: square root of (percent + 4) per kg N/ha.
	mixedPerKg = 0.002884

	// mixedPerDegree is added per degree of the air's mean.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors.
	// Range: standard error 0.00574.
	// Unit: square root of (percent + 4) per °C.
	mixedPerDegree = 0.02304

	// studyShift is how far the study at hand lies from the mean of studies.
	//
	// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438, model output of the authors: standard deviation between 114 studies.
	// Range: -0.895 to 0.895 (68 %), twice that (95 %); with the residual 1.255 as well it is wider still.
	// Unit: square root of (percent + 4).
	studyShift = 0

	// studyShiftLow is studyShift in the run of low losses.
	//
	// Source: as studyShift.
	// Range: -0.895 to 0.895 (68 %), twice that (95 %); with the residual 1.255 as well it is wider still.
	// Unit: square root of (percent + 4).
	studyShiftLow = -0.895

	// studyShiftHigh is studyShift in the run of high losses.
	//
	// Source: as studyShift.
	// Range: -0.895 to 0.895 (68 %), twice that (95 %); with the residual 1.255 as well it is wider still.
	// Unit: square root of (percent + 4).
	studyShiftHigh = 0.895

	// leastRate is the least rate that the model is asked for; lower ones count as
	// this.
	//
	// Source: our own: few trials lie below.
	// Range: 20.
	// Unit: kg N/ha.
	leastRate = 20

	// mostRate is the highest rate that the model is asked for.
	//
	// Source: our own: few trials lie above.
	// Range: 250.
	// Unit: kg N/ha.
	mostRate = 250

	// warmest is the highest mean temperature that the model is asked for; the
	// lowest is 0.
	//
	// Source: our own: few trials lie beyond.
	// Range: 30.
	// Unit: °C.
	warmest = 30

	// residueGain is how much more urea and UAN lose on ground all under residue.
	//
	// Source: our own, so that urea on full residue loses the 29.9 % of a three-year study in no-till corn (authors Fox, Piekielek & Macneal 1996, SSSAJ 60: citation from memory).
	// Range: 0.3 to 1.5.
	// Unit: share of the loss on bare ground.
	residueGain = 0.7

	// residueGainLow is residueGain in the run of low losses.
	//
	// Source: as residueGain.
	// Range: 0.3 to 1.5.
	// Unit: share of the loss on bare ground.
	residueGainLow = 0.3

	// residueGainHigh is residueGain in the run of high losses.
	//
	// Source: as residueGain.
	// Range: 0.3 to 1.5.
	// Unit: share of the loss on bare ground.
	residueGainHigh = 1.5

	// depthNear is the first depth of the relation of loss and depth.
	//
	// Source: Rochette et al. 2011, ASA-CSSA-SSSA abstract 255-5.
	// Range: 2.5.
	// Unit: cm.
	depthNear = 2.5

	// depthMiddle is its second depth.
	//
	// Source: Rochette et al. 2011, ASA-CSSA-SSSA abstract 255-5.
	// Range: 5; loss rises above 120 kg N/ha in the band.
	// Unit: cm.
	depthMiddle = 5

	// depthNone is the depth from which nothing is lost.
	//
	// Source: Rochette et al. 2011, ASA-CSSA-SSSA abstract 255-5.
	// Range: 7.5 to 10.
	// Unit: cm.
	depthNone = 7.5

	// factorNear is what is left of the loss at the first depth.
	//
	// Source: Rochette et al. 2011: 37 of 50 %.
	// Range: 0.59 to 0.89.
	// Unit: share of the loss at the surface.
	factorNear = 0.74

	// factorMiddle is what is left of it at the second depth.
	//
	// Source: Rochette et al. 2011: 7 of 50 %.
	// Range: 0 to 0.29.
	// Unit: share of the loss at the surface.
	factorMiddle = 0.14

	// depthShift is added to what is left at any depth below the surface.
	//
	// Source: our own: spread of the relation.
	// Range: -0.15 to 0.15.
	// Unit: share of the loss at the surface.
	depthShift = 0

	// depthShiftLow is depthShift in the run of low losses.
	//
	// Source: as depthShift.
	// Range: -0.15 to 0.15.
	// Unit: share of the loss at the surface.
	depthShiftLow = -0.15

	// depthShiftHigh is depthShift in the run of high losses.
	//
	// Source: as depthShift.
	// Range: -0.15 to 0.15.
	// Unit: share of the loss at the surface.
	depthShiftHigh = 0.15

	// bandFactor is what dribbled UAN loses of what sprayed UAN does.
	//
	// Source: three-year study in no-till corn (citation as for ResidueGain): 17 of 22 kg, not significant; Iowa State 2018 says about half.
	// Range: 0.5 to 1.
	// Unit: share of the loss broadcast.
	bandFactor = 0.77

	// bandFactorLow is bandFactor in the run of low losses.
	//
	// Source: as bandFactor.
	// Range: 0.5 to 1.
	// Unit: share of the loss broadcast.
	bandFactorLow = 0.5

	// bandFactorHigh is bandFactor in the run of high losses.
	//
	// Source: as bandFactor.
	// Range: 0.5 to 1.
	// Unit: share of the loss broadcast.
	bandFactorHigh = 1

	// ureaseFactor is what an inhibitor of urease leaves of the potential loss,
	// together with its delay.
	//
	// Source: our own, so that with rain the course lies between the -52 % of Silva et al. 2017 and the -66 % of Engel et al. 2011.
	// Range: 0.48 to 0.7.
	// Unit: share.
	ureaseFactor = 0.6

	// ureaseFactorLow is ureaseFactor in the run of low losses.
	//
	// Source: as ureaseFactor.
	// Range: 0.48 to 0.7.
	// Unit: share.
	ureaseFactorLow = 0.48

	// ureaseFactorHigh is ureaseFactor in the run of high losses.
	//
	// Source: as ureaseFactor.
	// Range: 0.48 to 0.7.
	// Unit: share.
	ureaseFactorHigh = 0.7

	// nitrificationFactor is what an inhibitor of nitrification makes of the loss
	// of ammonia.
	//
	// Source: Wu et al. 2021, Environ. Pollut. 271:116365: +35.7 %, 234 observations.
	// Range: 1.257 to 1.467 (95 %).
	// Unit: share.
	nitrificationFactor = 1.357

	// nitrificationFactorLow is nitrificationFactor in the run of low losses.
	//
	// Source: as nitrificationFactor.
	// Range: 1.257 to 1.467 (95 %).
	// Unit: share.
	nitrificationFactorLow = 1.257

	// nitrificationFactorHigh is nitrificationFactor in the run of high losses.
	//
	// Source: as nitrificationFactor.
	// Range: 1.257 to 1.467 (95 %).
	// Unit: share.
	nitrificationFactorHigh = 1.467

	// injectedFloor is the part of the model's loss of injected sources below
	// which theirs never falls, for slots leak.
	//
	// Source: our own.
	// Range: 0.1 to 1.
	// Unit: share.
	injectedFloor = 1.0 / 3

	// injectedFloorLow is injectedFloor in the run of low losses.
	//
	// Source: as injectedFloor.
	// Range: 0.1 to 1.
	// Unit: share.
	injectedFloorLow = 0.1

	// injectedFloorHigh is injectedFloor in the run of high losses.
	//
	// Source: as injectedFloor.
	// Range: 0.1 to 1.
	// Unit: share.
	injectedFloorHigh = 1

	// mostPhi is the most of the surface's ammonium that is lost.
	//
	// Source: our own.
	// Range: 0.8 to 0.95.
	// Unit: share.
	mostPhi = 0.9
)
