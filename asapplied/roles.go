package asapplied

import "fmt"

// The roles that a column of a log can have.
const (
	RoleTime     = "time"
	RoleDate     = "date"  // the date of a time in two columns
	RoleClock    = "clock" // its time of day
	RoleLon      = "lon"
	RoleLat      = "lat"
	RoleHeading  = "heading"
	RoleSpeed    = "speed"
	RoleDistance = "distance"
	RoleDuration = "duration"
	RoleWidth    = "width"
	RoleSections = "sections" // one column, or a list
	RoleWorking  = "working"
	RoleRate     = "rate"   // measured; one column, or a list
	RoleTarget   = "target" // the set rate
	RoleFlow     = "flow"
	RoleDepth    = "depth"   // one column, or a list
	RoleProduct  = "product" // running total
	RoleLoad     = "load"
	RoleMachine  = "machine"
	RoleFix      = "fix"
)

// quantity is the kind of value a role has, which settles the units that fit.
type quantity uint8

const (
	plain quantity = iota // no unit
	angle
	length
	speed
	duration
	nRate
	flow
	amount
)

// role describes how one role is named, guessed and read.
type role struct {
	name     string
	quantity quantity
	list     bool // may be several columns, left to right
	// deciding roles change which ground counts as covered, or how deep: one of
	// them guessed without its unit stops the reading. The others are left out
	// with a note.
	deciding bool
	// measured roles say what was put down. What was set has similar names, so
	// that only own and known names are guessed for them.
	measured bool
	fits     func(*facts) bool

	// Names, split into words as nameWords does and joined with spaces: own
	// names say the role itself, known names are usual for it, and a name with
	// one of the words (and none of the others) is a weak sign.
	own, known, words, others []string
}

// roles are in the order in which columns are given out: the roles with the
// strictest values first.
var roles = []role{
	{
		name: RoleLon, fits: fitsLon, own: []string{"lon", "longitude", "long"},
		known: []string{"lng", "gps lon", "gps longitude", "x", "easting", "x lon"},
		words: []string{"longitude", "lon", "easting"},
	},
	{
		name: RoleLat, fits: fitsLat, own: []string{"lat", "latitude"},
		known: []string{"gps lat", "gps latitude", "y", "northing", "y lat"},
		words: []string{"latitude", "lat", "northing"},
	},
	{
		name: RoleTime, fits: fitsTime, own: []string{"time", "timestamp", "time stamp", "datetime", "date time"},
		known: []string{
			"gps time", "utc", "utc time", "time utc", "gps timestamp", "iso time", "epoch", "unix time",
			"local time", "time local", "date", "event time", "time of fix", "gps date time", "gps datetime",
		},
		words: []string{"time", "timestamp", "datetime", "utc"},
	},
	{
		name: RoleDate, fits: fitsDate, own: []string{"date"},
		known: []string{"gps date", "utc date", "local date", "day"}, words: []string{"date"},
	},
	{
		name: RoleClock, fits: fitsClock, own: []string{"clock", "time", "time of day"},
		known: []string{"gps time", "utc time", "utc", "local time", "hour"}, words: []string{"clock", "time"},
	},
	{
		name: RoleSections, list: true, deciding: true, fits: fitsSections,
		own: []string{"sections", "section"},
		known: []string{
			"section states", "section state", "section status", "section mask", "sections on", "section bits",
			"boom sections", "boom section", "sec", "swath control", "section control", "section work state",
		},
		words: []string{"section", "sections"}, others: []string{"count", "number", "width", "id", "name"},
	},
	{
		name: RoleHeading, quantity: angle, fits: fitsHeading, own: []string{"heading"},
		known: []string{
			"course", "bearing", "azimuth", "cog", "hdg", "track", "direction", "travel direction",
			"course over ground", "gps heading", "gps course", "track true", "true heading",
		},
		words: []string{"heading", "course", "bearing", "azimuth"}, others: []string{"rate", "error", "name"},
	},
	{
		name: RoleWorking, fits: fitsWorking, own: []string{"working"},
		known: []string{
			"work", "work state", "work status", "workstate", "in work", "at work", "implement state", "implement status",
			"master", "master switch", "main switch", "boom status", "boom state", "applying", "application status",
			"implement down", "recording", "is working", "header status",
			"work switch", "workswitch", "working switch", "work on", "engaged", "is engaged", "implement engaged", "tool engaged",
			"implement on", "implement switch", "implement lowered", "lowered", "bar down", "toolbar down", "tool down",
			"product on", "product switch", "product status", "product state", "application on", "application state",
			"application switch", "is applying", "apply status", "boom on", "boom switch", "master on", "master status",
			"master state", "master valve", "main on", "main valve", "recording status", "coverage on", "coverage status",
		},
		words: []string{"working", "workstate"}, others: []string{"width", "depth", "hours", "time"},
	},
	{
		name: RoleTarget, quantity: nRate, fits: fitsAmount, own: []string{"target", "target rate"},
		known: []string{
			"rate target", "set rate", "rate set", "setpoint", "set point", "prescribed rate", "prescribed", "rx rate",
			"planned rate", "desired rate", "control rate", "rate setpoint", "setpoint rate", "target application rate",
		},
		words:  []string{"target", "setpoint", "prescribed", "prescription", "desired", "planned"},
		others: []string{"depth", "speed", "flow", "width"},
	},
	{
		name: RoleRate, quantity: nRate, list: true, deciding: true, measured: true, fits: fitsAmount, own: []string{"rate"},
		known: []string{
			"applied rate", "actual rate", "app rate", "as applied", "applied", "rate applied", "rate actual",
			"measured rate", "rate measured", "application rate", "applied rate avg", "actual application rate",
			"as applied rate", "rate as applied", "actual applied rate", "average applied rate", "avg applied rate",
			"mean applied rate",
		},
		words: []string{"rate", "applied"},
		others: []string{
			"target", "set", "setpoint", "prescribed", "prescription", "rx", "planned", "desired", "control", "flow",
			"total", "time", "turn", "error", "moisture", "heading", "cumulative", "area", "data", "sample", "yield", "fuel", "width",
		},
	},
	{
		name: RoleDepth, quantity: length, list: true, deciding: true, fits: fitsAmount, own: []string{"depth"},
		known: []string{
			"working depth", "tool depth", "implement depth", "injection depth", "knife depth", "placement depth",
			"row depth", "depth row", "actual depth", "depth actual",
		},
		words: []string{"depth"},
		others: []string{
			"target", "tgt", "set", "setting", "setpoint", "desired", "planned", "prescribed", "commanded", "command", "cmd", "water", "error",
		},
	},
	{
		name: RoleWidth, quantity: length, deciding: true, fits: fitsAmount, own: []string{"width"},
		known: []string{
			"swath", "swath width", "swathwidth", "working width", "work width", "implement width", "boom width",
			"bar width", "applied width", "active width", "sw width",
		},
		words: []string{"width", "swath"}, others: []string{"offset", "section", "overlap", "number", "id"},
	},
	{
		name: RoleSpeed, quantity: speed, fits: fitsSpeed, own: []string{"speed"},
		known: []string{"ground speed", "gps speed", "vehicle speed", "velocity", "sog", "speed over ground", "travel speed"},
		words: []string{"speed", "velocity"}, others: []string{"fan", "engine", "wind", "pump", "target", "rotor"},
	},
	{
		name: RoleDistance, quantity: length, fits: fitsAmount, own: []string{"distance"},
		known: []string{"dist", "distance traveled", "distance travelled", "travel distance", "step"},
		words: []string{"distance", "dist"}, others: []string{"total", "cumulative", "odometer", "offset", "target", "side"},
	},
	{
		name: RoleDuration, quantity: duration, fits: fitsAmount, own: []string{"duration"},
		known: []string{"cycle", "cycles", "interval", "log interval", "dt", "elapsed", "cycle time", "logging interval"},
		words: []string{"duration", "interval"}, others: []string{"total", "cumulative"},
	},
	{
		name: RoleFlow, quantity: flow, measured: true, fits: fitsAmount, own: []string{"flow", "flow rate"},
		known: []string{
			"mass flow", "volume flow", "actual flow", "flow actual", "measured flow",
			"mass flow rate", "volume flow rate", "actual flow rate", "measured flow rate",
		},
		words: []string{"flow"}, others: []string{"target", "set", "setpoint", "status", "total", "air"},
	},
	{
		name: RoleProduct, quantity: amount, fits: fitsTotal, own: []string{"product", "product total"},
		known: []string{
			"total product", "applied total", "total applied", "product applied", "cumulative product",
			"accumulated product", "total amount", "amount total", "product cumulative",
		},
		others: []string{"rate", "area", "name"},
	},
	{
		name: RoleFix, fits: fitsFix, own: []string{"fix"},
		known: []string{
			"fix quality", "gps fix", "gps quality", "gnss quality", "gps", "fix type", "gps status", "gnss fix",
			"position status", "gps fix quality", "fix status", "differential",
		},
		words: []string{"fix"}, others: []string{"time"},
	},
	{
		name: RoleLoad, fits: fitsLabel, own: []string{"load", "load id"},
		known: []string{"load no", "load number", "tank", "tank id", "tank no", "tank number", "fill id"},
		words: []string{"load"}, others: []string{"name", "engine", "percent", "weight", "time"},
	},
	{
		name: RoleMachine, fits: fitsLabel, own: []string{"machine", "machine id"},
		known: []string{
			"machine name", "vehicle", "vehicle id", "tractor", "tractor id", "equipment", "equipment id", "applicator",
			"serial", "serial number", "monitor serial", "unit id",
		},
		words: []string{"machine"}, others: []string{"hours", "speed", "width", "state", "status"},
	},
}

// roleNamed returns the role of a name.
func roleNamed(name string) (role, bool) {
	for _, r := range roles {
		if r.name == name {
			return r, true
		}
	}
	return role{}, false
}

// Roles returns the names of the roles that a column of a log can have.
func Roles() []string {
	names := make([]string, len(roles))
	for i, r := range roles {
		names[i] = r.name
	}
	return names
}

// CheckUnit says whether LogSpec.Units may hold a text for a role: a unit of its
// quantity; for the time s, ms, us or ns, or like the date m/d/y or d/m/y; for
// sections string, decimal or hex, with a count as in "decimal of 12". The error
// says what fits.
func CheckUnit(roleName, text string) error {
	r, ok := roleNamed(roleName)
	if !ok {
		return fmt.Errorf("%q is not a role of a log", roleName)
	}
	var err error
	switch {
	case r.name == RoleTime || r.name == RoleDate:
		_, _, err = parseTimeUnit(r.name, text)
	case r.name == RoleSections:
		_, err = parseSectionForm(text)
	case r.quantity == plain:
		return fmt.Errorf("the role %s has no unit; remove it", r.name)
	default:
		_, err = parseUnit(r.quantity, text)
	}
	return err
}
