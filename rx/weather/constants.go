package weather

// Bounds of a reading and of a date. All can be set otherwise, but for the years.
const (
	// coldest is the lowest air temperature that is taken for a reading.
	//
	// Source: Snag, Yukon, 3 February 1947, the lowest of North America (World Meteorological Organization, Weather & Climate Extremes Archive); from memory.
	// Range: -89.2 (lowest on earth) to -63.
	// Unit: °C.
	coldest = -63.9

	// hottest is the highest air temperature that is taken for a reading.
	//
	// Source: Death Valley, California, 10 July 1913 (World Meteorological Organization, Weather & Climate Extremes Archive); from memory.
	// Range: 54.4 (highest not in doubt) to 56.7.
	// Unit: °C.
	hottest = 56.7

	// wettest is the most rain of a day that is taken for a reading.
	//
	// Source: Foc-Foc, Réunion, 7-8 January 1966 (World Meteorological Organization, Weather & Climate Extremes Archive); from memory.
	// Range: 1262 (most in the United States) to 1825.
	// Unit: mm in 24 h.
	wettest = 1825

	// firstYear is the first year that a date may have.
	//
	// Source: the oldest daily series of GHCN-Daily begins in 1763 (NOAA, yearly files of GHCN-Daily).
	// Range: 1763.
	// Unit: year.
	firstYear = 1763

	// lastYear is the last year that a date may have.
	//
	// Source: our own, to tell a misread date from one to come.
	// Range: 2100 to 2199.
	// Unit: year.
	lastYear = 2199

	// longestTotal is the longest span for which one total of rain is believed.
	//
	// Source: our own; beyond a month the total says nothing of a season.
	// Range: 2 to 366.
	// Unit: days.
	longestTotal = 31

	// warmEnough is a hottest temperature that every place with corn passes; a
	// record that stays below it over many days may be in other units.
	//
	// Source: our own; corn does not grow below 50 °F (10 °C).
	// Range: 12 to 20.
	// Unit: °C.
	warmEnough = 13

	// manyDays is from how many maxima on that check speaks.
	//
	// Source: our own; more than a winter.
	// Range: 150 to 365.
	// Unit: days.
	manyDays = 200

	// longestLine is the longest line of a file that is read.
	//
	// Source: our own; a .dly line has 269 characters, a row of a wide CSV some 1,000.
	// Range: 4096 and up.
	// Unit: bytes.
	longestLine = 64 << 10

	// listed is how many gaps a note names.
	//
	// Source: our own; all are in Gaps.
	// Range: 1 and up.
	// Unit: gaps.
	listed = 10
)

// The temperature of the soil from that of the air. All but leafOfGreen,
// leftOver and warmestSurface can be set otherwise: see Soil.
const (
	// soilDepth is the depth at which soil temperature is asked for.
	//
	// Source: common practice: the 4 in depth of state networks and of the advice on fall ammonia.
	// Range: 5 to 20.
	// Unit: cm.
	soilDepth = 10

	// soilRate is how far a day takes the surface layer to the temperature of the surface.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.24.
	// Unit: 1 per day.
	soilRate = 0.24

	// soilPerCM is how that rate falls with depth.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.017.
	// Unit: 1 per cm.
	soilPerCM = 0.017

	// soilPerLeaf is how that rate falls with green leaf area.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.15.
	// Unit: 1 per unit of green area index.
	soilPerLeaf = 0.15

	// soilAir is the surface's temperature over the air's under a full canopy, above 0 °C.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.95.
	// Unit: ratio of °C.
	soilAir = 0.95

	// soilBare is what is added to soilAir at a leaf area index of soilBareFrom.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.05; 0.17 on bare soil by soilBarePerLeaf.
	// Unit: ratio of °C.
	soilBare = 0.05

	// soilBarePerLeaf is how that falls with leaf area.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.4.
	// Unit: 1 per unit of leaf area index.
	soilBarePerLeaf = 0.4

	// soilBareFrom is the leaf area index at which surface and air are alike.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 3.
	// Unit: leaf area index.
	soilBareFrom = 3

	// soilFrozen is the surface's temperature over the air's below 0 °C.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.20.
	// Unit: ratio of °C.
	soilFrozen = 0.2

	// leafOfGreen is leaf area index over green area index.
	//
	// Source: Kätterer & Andrén 2009, Acta Agric. Scand. B 59:77-86, as given in the manual of the public R package reclim (soiltemp); the paper itself was not seen.
	// Range: 0.8.
	// Unit: ratio.
	leafOfGreen = 0.8

	// soilError is the standard error of an estimated soil temperature.
	//
	// Source: upper end of Zheng, Hunt & Running 1993, Clim. Res. 2:183-191 (abstract seen): an 11-day running mean of air temperature, fitted to each of 19 records of 6 climates of the United States. That of Kätterer & Andrén was not seen, and is not fitted to the place.
	// Range: 1.5 to 2.9.
	// Unit: °C.
	soilError = 2.9

	// leftOver is what of a guessed first soil temperature may be left.
	//
	// Source: our own; below a tenth of the error.
	// Range: 0.01 to 0.05.
	// Unit: share.
	leftOver = 0.01

	// warmestSurface is the warmest that a surface can be by the relation.
	//
	// Source: our own, to catch a coefficient of another unit.
	// Range: 1.2 to 2.
	// Unit: ratio of °C.
	warmestSurface = 2
)

// How years of a record become scenarios. All can be set otherwise: see Rules.
const (
	// fillDays is the longest gap in the temperatures that is filled by straight lines.
	//
	// Source: our own; weather passes within some 3 to 7 days.
	// Range: 0 to 7.
	// Unit: days.
	fillDays = 3

	// borrowDays is how many days of a span may lack rain.
	//
	// Source: our own; 2 % of a season of 150 days.
	// Range: 0 to 5.
	// Unit: days.
	borrowDays = 3

	// leastYears is from how many years on no note is due.
	//
	// Source: our own; 30 years are a climate normal (World Meteorological Organization, from memory), and a worst fifth of 10 rests on 2.
	// Range: 10 to 30.
	// Unit: years.
	leastYears = 10
)
