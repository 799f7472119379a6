package water

// The numbers of the balance; all can be set otherwise in Coefficients.
const (
	// depthMM is the depth of the bucket.
	//
	// Source: our own: two feet, where the nitrogen of spring lies and where it is sampled.
	// Range: 300 to 1000.
	// Unit: mm.
	depthMM = 600

	// coarseWilting is what coarse soil holds at the wilting point.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between loamy sand and sandy loam; the difference to field capacity is the 1 in a foot of sandy loam (Univ. of Nebraska 2013).
	// Range: 0.05 to 0.08.
	// Unit: share of the soil's volume.
	coarseWilting = 0.065

	// coarseCapacity is what coarse soil holds at field capacity.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between loamy sand and sandy loam; the difference to field capacity is the 1 in a foot of sandy loam (Univ. of Nebraska 2013).
	// Range: 0.12 to 0.18.
	// Unit: share of the soil's volume.
	coarseCapacity = 0.15

	// coarseSaturation is what coarse soil holds saturated.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between loamy sand and sandy loam; the difference to field capacity is the 1 in a foot of sandy loam (Univ. of Nebraska 2013).
	// Range: 0.45 to 0.46.
	// Unit: share of the soil's volume.
	coarseSaturation = 0.45

	// mediumWilting is what medium soil holds at the wilting point.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between loam and silt loam; the difference to field capacity is the 2 in a foot of silt loam (Univ. of Nebraska 2013).
	// Range: 0.11 to 0.14.
	// Unit: share of the soil's volume.
	mediumWilting = 0.125

	// mediumCapacity is what medium soil holds at field capacity.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between loam and silt loam; the difference to field capacity is the 2 in a foot of silt loam (Univ. of Nebraska 2013).
	// Range: 0.28 to 0.31.
	// Unit: share of the soil's volume.
	mediumCapacity = 0.295

	// mediumSaturation is what medium soil holds saturated.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between loam and silt loam; the difference to field capacity is the 2 in a foot of silt loam (Univ. of Nebraska 2013).
	// Range: 0.46 to 0.48.
	// Unit: share of the soil's volume.
	mediumSaturation = 0.48

	// fineWilting is what fine soil holds at the wilting point.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between clay loam, silty clay loam and silty clay.
	// Range: 0.22 to 0.30.
	// Unit: share of the soil's volume.
	fineWilting = 0.24

	// fineCapacity is what fine soil holds at field capacity.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between clay loam, silty clay loam and silty clay.
	// Range: 0.36 to 0.42.
	// Unit: share of the soil's volume.
	fineCapacity = 0.38

	// fineSaturation is what fine soil holds saturated.
	//
	// Source: Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, values of texture classes as tabled elsewhere; between clay loam, silty clay loam and silty clay.
	// Range: 0.48 to 0.52.
	// Unit: share of the soil's volume.
	fineSaturation = 0.5

	// drainsExcessively is the share of the water above field capacity that drains
	// in a day from excessively drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about a third of a day.
	// Range: 0.45 to 1.
	// Unit: share a day.
	drainsExcessively = 0.9

	// drainsSomewhatExcessively is the share of the water above field capacity
	// that drains in a day from somewhat excessively drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about half a day.
	// Range: 0.4 to 1.
	// Unit: share a day.
	drainsSomewhatExcessively = 0.8

	// drainsWell is the share of the water above field capacity that drains in a
	// day from well drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about a day.
	// Range: 0.3 to 1.
	// Unit: share a day.
	drainsWell = 0.6

	// drainsModeratelyWell is the share of the water above field capacity that
	// drains in a day from moderately well drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about a day and a half.
	// Range: 0.2 to 0.8.
	// Unit: share a day.
	drainsModeratelyWell = 0.4

	// drainsSomewhatPoorly is the share of the water above field capacity that
	// drains in a day from somewhat poorly drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about three days.
	// Range: 0.1 to 0.4.
	// Unit: share a day.
	drainsSomewhatPoorly = 0.2

	// drainsPoorly is the share of the water above field capacity that drains in a
	// day from poorly drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about a week.
	// Range: 0.05 to 0.2.
	// Unit: share a day.
	drainsPoorly = 0.1

	// drainsVeryPoorly is the share of the water above field capacity that drains
	// in a day from very poorly drained soil.
	//
	// Source: our own reading of the class (USDA Soil Survey Manual, chapter 3, tells classes by how long soil stays wet, in words alone): half of it is gone after about two weeks.
	// Range: 0.025 to 0.1.
	// Unit: share a day.
	drainsVeryPoorly = 0.05

	// drainsScale is times the shares that drain.
	//
	// Source: none needed: the shares as they stand.
	// Range: 0.5 to 2: the classes are right within a factor of two at best.
	// Unit: none, a factor.
	drainsScale = 1

	// drainsScaleLow is times the shares that drain, where soil drains faster.
	//
	// Source: our own: the classes are right within a factor of two at best.
	// Range: 1 to 2.
	// Unit: none, a factor.
	drainsScaleLow = 2

	// drainsScaleHigh is times the shares that drain, where soil drains slower.
	//
	// Source: our own: the classes are right within a factor of two at best.
	// Range: 0.5 to 1.
	// Unit: none, a factor.
	drainsScaleHigh = 0.5

	// saturatedAbove is the share of the pores between field capacity and
	// saturation that holds water on a saturated day.
	//
	// Source: our own, so that wet spells in Illinois (Sawyer, Iowa State Univ., ICM News: 4 in over 3 days, 6 in over 8) come near the losses seen there. Published limits lie between field capacity itself (EPIC: 95 % of it) and full pores; Bremner & Shaw 1958 saw denitrification from about 60 % of the water-holding capacity on.
	// Range: 0.1 to 0.5.
	// Unit: share.
	saturatedAbove = 0.3

	// saturatedAboveLow is that share in the low run.
	//
	// Source: as saturatedAbove.
	// Range: 0.1 to 0.5.
	// Unit: share.
	saturatedAboveLow = 0.5

	// saturatedAboveHigh is that share in the high run.
	//
	// Source: as saturatedAbove.
	// Range: 0.1 to 0.5.
	// Unit: share.
	saturatedAboveHigh = 0.1

	// curveA is the curve number of hydrologic group A under row crops.
	//
	// Source: USDA-NRCS, TR-55 (1986), table 2-2b, row crops in straight rows, good condition; from memory.
	// Range: 62 to 72 by residue and condition.
	// Unit: curve number.
	curveA = 67

	// curveB is the curve number of hydrologic group B under row crops.
	//
	// Source: USDA-NRCS, TR-55 (1986), table 2-2b, row crops in straight rows, good condition; from memory.
	// Range: 73 to 83 by residue and condition.
	// Unit: curve number.
	curveB = 78

	// curveC is the curve number of hydrologic group C under row crops.
	//
	// Source: USDA-NRCS, TR-55 (1986), table 2-2b, row crops in straight rows, good condition; from memory.
	// Range: 80 to 90 by residue and condition.
	// Unit: curve number.
	curveC = 85

	// curveD is the curve number of hydrologic group D under row crops.
	//
	// Source: USDA-NRCS, TR-55 (1986), table 2-2b, row crops in straight rows, good condition; from memory.
	// Range: 84 to 94 by residue and condition.
	// Unit: curve number.
	curveD = 89

	// hargreaves is the factor of the reference evapotranspiration.
	//
	// Source: Hargreaves & Samani 1985, Appl. Eng. Agric. 1:96-99; FAO-56 equation 52.
	// Range: 0.0019 to 0.0027 where fitted to places (from memory).
	// Unit: mm of evaporation per mm of radiation and °C to the power 1.5.
	hargreaves = 0.0023

	// hargreavesOffset is added to the mean temperature in it.
	//
	// Source: Hargreaves & Samani 1985; FAO-56 equation 52.
	// Range: 17.8.
	// Unit: °C.
	hargreavesOffset = 17.8

	// evaporationScale is times the reference evapotranspiration.
	//
	// Source: none needed: the equation as it stands.
	// Range: 0.85 to 1.15.
	// Unit: none, a factor.
	evaporationScale = 1

	// evaporationScaleLow is times the reference in the low run.
	//
	// Source: spread of the equation over a week or more, from memory.
	// Range: 0.85 to 1.15.
	// Unit: none, a factor.
	evaporationScaleLow = 1.15

	// evaporationScaleHigh is times the reference in the high run.
	//
	// Source: spread of the equation over a week or more, from memory.
	// Range: 0.85 to 1.15.
	// Unit: none, a factor.
	evaporationScaleHigh = 0.85

	// bareSoil is the crop coefficient of soil that no crop covers, wetted now and
	// then.
	//
	// Source: FAO-56 section on the initial stage (0.3 tabled for maize; figure 29 gives 0.4 to 0.7 where rain comes every 4 to 7 days); from memory.
	// Range: 0.3 to 0.7.
	// Unit: none, a factor.
	bareSoil = 0.5

	// fullCrop is the crop coefficient of corn that covers the ground.
	//
	// Source: FAO-56 table 12, maize for grain; from memory.
	// Range: 1.05 to 1.2.
	// Unit: none, a factor.
	fullCrop = 1.2

	// cropStarts is when the crop begins to draw water.
	//
	// Source: FAO-56 table 11, maize for grain, initial stage; from memory.
	// Range: 20 to 30.
	// Unit: days from planting.
	cropStarts = 30

	// cropFull is when the crop draws its full share.
	//
	// Source: FAO-56 table 11, maize for grain, initial and development stages; from memory.
	// Range: 55 to 80.
	// Unit: days from planting.
	cropFull = 70

	// easyShare is the share of the available water that a crop draws without
	// stint.
	//
	// Source: FAO-56 table 22, maize for grain; from memory.
	// Range: 0.4 to 0.65.
	// Unit: share.
	easyShare = 0.55

	// meltPerDegree is the snow that melts on a day for each degree above
	// freezing.
	//
	// Source: USDA-NRCS National Engineering Handbook, part 630, chapter 11: about 0.06 in per °F and day; from memory.
	// Range: 1.6 to 6.
	// Unit: mm a day per °C.
	meltPerDegree = 2.7

	// moistMM is the water in three days that keeps the surface moist.
	//
	// Source: our own, after Ernst & Massey 1960 and Black, Sherlock & Smith 1987 (repeated wettings of 2 mm).
	// Range: 1 to 5.
	// Unit: mm.
	moistMM = 2

	// nearCapacity is the share of the available water from which the surface is
	// moist.
	//
	// Source: our own.
	// Range: 0.9 to 1.
	// Unit: share.
	nearCapacity = 0.95

	// dryingDays is how long a moist surface takes to dry.
	//
	// Source: Ernst & Massey 1960: dry after 4 to 5 days under fast drying.
	// Range: 4 to 8.
	// Unit: days.
	dryingDays = 5

	// startShare is the share of the available water in the bucket on the first
	// day.
	//
	// Source: common practice: soils of the corn belt begin the spring near field capacity.
	// Range: 0.5 to 1.
	// Unit: share.
	startShare = 1
)
