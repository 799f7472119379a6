package loss

// In the soil. All of these can be set otherwise in Coefficients;
// Low and High end a name in the runs of low and high losses.
const (
	// nitrification is how fast ammonium turns into nitrate at 30 °C.
	//
	// Source: our own fit to Tiessen et al. 2003 via Manitoba Agriculture; half-times 34.8, 21.5, 13.9 and 9.3 days at 5, 10, 15 and 20 °C against 40, 20, 13 and 10.
	// Range: half-time ± 30 %.
	// Unit: per day.
	nitrification = 0.16

	// nitrificationLow is nitrification in the run of low losses.
	//
	// Source: as nitrification.
	// Range: half-time ± 30 %.
	// Unit: per day.
	nitrificationLow = 0.16 / 1.3

	// nitrificationHigh is nitrification in the run of high losses.
	//
	// Source: as nitrification.
	// Range: half-time ± 30 %.
	// Unit: per day.
	nitrificationHigh = 0.16 / 0.7

	// nitrificationA is the constant of its part by temperature.
	//
	// Source: Parton et al. 1996, Glob. Biogeochem. Cycles, from data of Sabey 1959.
	// Range: none given.
	// Unit: share.
	nitrificationA = -0.06

	// nitrificationB is the factor of its part by temperature.
	//
	// Source: Parton et al. 1996, Glob. Biogeochem. Cycles, from data of Sabey 1959.
	// Range: none given.
	// Unit: share.
	nitrificationB = 0.13

	// nitrificationPerDegree is how that rises with the temperature of the soil.
	//
	// Source: Parton et al. 1996, Glob. Biogeochem. Cycles, from data of Sabey 1959.
	// Range: none given.
	// Unit: per °C.
	nitrificationPerDegree = 0.07

	// nitrificationCold is how fast ammonium turns in cold soil that is not
	// frozen.
	//
	// Source: Tiessen et al. 2003: half in 190 days at 1 °C.
	// Range: none given.
	// Unit: per day.
	nitrificationCold = 0.0036

	// coldBelow is the temperature below which soil is cold in that sense.
	//
	// Source: our own.
	// Range: 1 to 5.
	// Unit: °C.
	coldBelow = 3

	// lagAmmonia is the lag of anhydrous ammonia.
	//
	// Source: Purdue Univ. 2008: 10 to 14 days; 12 days at 10 °C.
	// Range: 0.33 to 0.46.
	// Unit: days times the rate of nitrification.
	lagAmmonia = 0.4

	// lagInhibitor is the lag by an inhibitor of nitrification.
	//
	// Source: our fit to the table of nitrate shares of the Univ. of Kentucky: 9 days at 10 °C.
	// Range: 0.2 to 0.4.
	// Unit: days times the rate of nitrification.
	lagInhibitor = 0.3

	// lagInhibitorLow is lagInhibitor in the run of low losses.
	//
	// Source: as lagInhibitor.
	// Range: 0.2 to 0.4.
	// Unit: days times the rate of nitrification.
	lagInhibitorLow = 0.4

	// lagInhibitorHigh is lagInhibitor in the run of high losses.
	//
	// Source: as lagInhibitor.
	// Range: 0.2 to 0.4.
	// Unit: days times the rate of nitrification.
	lagInhibitorHigh = 0.2

	// lagInhibitorAmmonia is the lag it adds to that of anhydrous ammonia.
	//
	// Source: our fit to the table of nitrate shares of the Univ. of Kentucky: 7 days at 10 °C.
	// Range: 0.13 to 0.33.
	// Unit: days times the rate of nitrification.
	lagInhibitorAmmonia = 0.23

	// lagInhibitorAmmoniaLow is lagInhibitorAmmonia in the run of low losses.
	//
	// Source: as lagInhibitorAmmonia.
	// Range: 0.13 to 0.33.
	// Unit: days times the rate of nitrification.
	lagInhibitorAmmoniaLow = 0.33

	// lagInhibitorAmmoniaHigh is lagInhibitorAmmonia in the run of high losses.
	//
	// Source: as lagInhibitorAmmonia.
	// Range: 0.13 to 0.33.
	// Unit: days times the rate of nitrification.
	lagInhibitorAmmoniaHigh = 0.13

	// saturatedFirst is the saturated days in a row that pass before nitrate is
	// lost.
	//
	// Source: Illinois-based extension: 2 to 3 days; Univ. of Kentucky: 2.
	// Range: 2 to 3.
	// Unit: days.
	saturatedFirst = 2

	// saturatedFirstLow is saturatedFirst in the run of low losses.
	//
	// Source: as saturatedFirst.
	// Range: 2 to 3.
	// Unit: days.
	saturatedFirstLow = 3

	// saturatedFirstHigh is saturatedFirst in the run of high losses.
	//
	// Source: as saturatedFirst.
	// Range: 2 to 3.
	// Unit: days.
	saturatedFirstHigh = 2

	// coolFrom is the temperature of the soil below which none is lost.
	//
	// Source: our own.
	// Range: 5 to 10.
	// Unit: °C.
	coolFrom = 8

	// mildFrom is where the published rates begin.
	//
	// Source: Illinois-based extension: 55 °F.
	// Range: 12.8.
	// Unit: °C.
	mildFrom = 13

	// warmAbove is where they rise.
	//
	// Source: Illinois-based extension: 65 °F.
	// Range: 18.3.
	// Unit: °C.
	warmAbove = 18

	// denitrifiedCool is the share of nitrate lost on a saturated day in cool
	// soil.
	//
	// Source: our own.
	// Range: 0 to 0.02.
	// Unit: share a day.
	denitrifiedCool = 0.01

	// denitrifiedCoolLow is denitrifiedCool in the run of low losses.
	//
	// Source: as denitrifiedCool.
	// Range: 0 to 0.02.
	// Unit: share a day.
	denitrifiedCoolLow = 0

	// denitrifiedCoolHigh is denitrifiedCool in the run of high losses.
	//
	// Source: as denitrifiedCool.
	// Range: 0 to 0.02.
	// Unit: share a day.
	denitrifiedCoolHigh = 0.02

	// denitrifiedMild is the same in mild soil.
	//
	// Source: Illinois-based extension.
	// Range: 0.02 to 0.03.
	// Unit: share a day.
	denitrifiedMild = 0.025

	// denitrifiedMildLow is denitrifiedMild in the run of low losses.
	//
	// Source: as denitrifiedMild.
	// Range: 0.02 to 0.03.
	// Unit: share a day.
	denitrifiedMildLow = 0.02

	// denitrifiedMildHigh is denitrifiedMild in the run of high losses.
	//
	// Source: as denitrifiedMild.
	// Range: 0.02 to 0.03.
	// Unit: share a day.
	denitrifiedMildHigh = 0.03

	// denitrifiedWarm is the same in warm soil.
	//
	// Source: Illinois-based extension: 4 to 5 %; Univ. of Kentucky 3 to 4 %; Sawyer (Iowa State) 4 to 5 %.
	// Range: 0.03 to 0.05; a table from Nebraska with 60 % in 3 days is a laboratory's worst case (from memory).
	// Unit: share a day.
	denitrifiedWarm = 0.045

	// denitrifiedWarmLow is denitrifiedWarm in the run of low losses.
	//
	// Source: as denitrifiedWarm.
	// Range: 0.03 to 0.05; a table from Nebraska with 60 % in 3 days is a laboratory's worst case (from memory).
	// Unit: share a day.
	denitrifiedWarmLow = 0.03

	// denitrifiedWarmHigh is denitrifiedWarm in the run of high losses.
	//
	// Source: as denitrifiedWarm.
	// Range: 0.03 to 0.05; a table from Nebraska with 60 % in 3 days is a laboratory's worst case (from memory).
	// Unit: share a day.
	denitrifiedWarmHigh = 0.05

	// rootDepth is the depth below which nitrate is lost to the crop.
	//
	// Source: our own: roots of corn in a common spring; 1.2 to 1.5 m by silking in deep soil.
	// Range: 0.6 to 1.2.
	// Unit: m.
	rootDepth = 0.9

	// rootDepthLow is rootDepth in the run of low losses.
	//
	// Source: as rootDepth.
	// Range: 0.6 to 1.2.
	// Unit: m.
	rootDepthLow = 1.2

	// rootDepthHigh is rootDepth in the run of high losses.
	//
	// Source: as rootDepth.
	// Range: 0.6 to 1.2.
	// Unit: m.
	rootDepthHigh = 0.6

	// frontFactor is how deep the front of nitrate lies, times the water divided
	// by what the soil holds per depth.
	//
	// Source: Univ. of Nebraska 2013; in silt loam it is the 6 in per inch drained of the Univ. of Minnesota (Waseca).
	// Range: 1.
	// Unit: none, a factor.
	frontFactor = 1

	// frontCoarse is times that in coarse soil.
	//
	// Source: Univ. of Minnesota, Waseca: up to 12 in per inch drained in coarse soil, which what it holds gives already.
	// Range: 1 to 2.
	// Unit: none, a factor.
	frontCoarse = 1

	// frontCoarseLow is frontCoarse in the run of low losses.
	//
	// Source: as frontCoarse.
	// Range: 1 to 2.
	// Unit: none, a factor.
	frontCoarseLow = 1

	// frontCoarseHigh is frontCoarse in the run of high losses.
	//
	// Source: as frontCoarse.
	// Range: 1 to 2.
	// Unit: none, a factor.
	frontCoarseHigh = 2
)
