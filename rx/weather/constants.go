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
