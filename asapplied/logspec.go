package asapplied

import (
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// LogSpec says which files make one log and what is known about them. Only
// Files must be set: what the spec leaves out is guessed from the names and
// values of the columns, and each guess is recorded in Log.Mapping.
type LogSpec struct {
	// Files are read in this order.
	Files []string
	// Columns maps a role to its column, or columns left to right.
	Columns map[string][]string
	// Units maps a role to the unit of its column, such as "m/s".
	Units map[string]string
	// Of says what rate, target, flow and product count; HasOf that it is set.
	Of    unit.Of
	HasOf bool
	// Source turns product into nitrogen.
	Source nitrogen.Source
	// Zone is the time zone of times that name none; nil means none is known.
	Zone *time.Location
	// CRS, such as "EPSG:26915", is used where a file names no coordinate
	// system.
	CRS string
	// Workers is how many processors read a large CSV file; 0 is all. The result
	// does not depend on it.
	Workers int
}
