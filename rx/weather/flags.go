package weather

// missing is what NOAA writes for a value that is not there.
const missing = "-9999"

// The measurement flags of GHCN-Daily that change what a value is. Flags K, O and W
// belong to wind and cloud.
//
// Source: NOAA, GHCN-Daily readme, section III, MFLAG1.
const (
	twoTotals       = 'B' // rain formed from two 12-hour totals
	fourTotals      = 'D' // rain formed from four six-hour totals
	hourly          = 'H' // highest or lowest hourly temperature
	lagged          = 'L' // temperature appears to be lagged with respect to the hour of observation
	presumedZero    = 'P' // missing presumed zero
	trace           = 'T'
	noFlag          = ' '
	failedSomething = "a check that the readme does not name"
)

// failure says which check of NOAA a value with this quality flag has failed.
//
// Source: NOAA, GHCN-Daily readme, section III, QFLAG1.
func failure(flag byte) string {
	switch flag {
	case 'D':
		return "duplicate check"
	case 'G':
		return "gap check"
	case 'I':
		return "internal consistency check"
	case 'K':
		return "streak or frequent-value check"
	case 'L':
		return "check on the length of a multi-day period"
	case 'M':
		return "mega-consistency check"
	case 'N':
		return "naught check"
	case 'O':
		return "climatological outlier check"
	case 'R':
		return "lagged range check"
	case 'S':
		return "spatial consistency check"
	case 'T':
		return "temporal consistency check"
	case 'W':
		return "temperature too warm for snow"
	case 'X':
		return "bounds check"
	case 'Z':
		return "official investigation"
	}
	return failedSomething
}

// role is what a value is for.
type role int

const (
	highest role = iota
	lowest
	rain
	manyDayRain
	spanOfRain
	soilWarmth
	roles
	unused
)

// element is the role of an element of GHCN-Daily.
//
// Source: NOAA, GHCN-Daily readme, section III, ELEMENT.
func element(name string) role {
	switch name {
	case "TMAX":
		return highest
	case "TMIN":
		return lowest
	case "PRCP":
		return rain
	case "MDPR":
		return manyDayRain
	case "DAPR":
		return spanOfRain
	}
	return unused
}

// name is how messages call a role.
func (r role) String() string {
	switch r {
	case highest:
		return "maximum"
	case lowest:
		return "minimum"
	case rain:
		return "rain"
	case manyDayRain:
		return "multi-day rain"
	case soilWarmth:
		return "soil temperature"
	}
	return "number of days of multi-day rain"
}
