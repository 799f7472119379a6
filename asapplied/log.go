package asapplied

import (
	"ratewright/geo"
)

// Log is what one machine recorded: all files of one `logs:` entry of a job,
// in file order, one record per accepted row, as columns.
//
// Every column has one entry per record, or is nil when the log lacks the
// role. Inside a column NaN (or -1 where said) means that this record has no
// value; such a value never leaves this package. Read equals the number of
// records plus the sum of Dropped.
type Log struct {
	// Files names the files read. File is, for each record, an index into
	// Files; Line is the line of a text file (the header is line 1) or the
	// number of the feature (from 1) in a file of features.
	Files      []string
	File, Line []int32

	// TimeNS is UTC in nanoseconds since 1970; nil when the log has no time,
	// and then the records are in the order of the file.
	TimeNS []int64
	// Lon and Lat are degrees in the datum of the log.
	Lon, Lat []float64

	// Heading is degrees clockwise from true north, in [0, 360).
	Heading []float64
	// Speed is m/s, Distance m since the record before, Duration s that the
	// record stands for, Width m at work.
	Speed, Distance, Duration, Width []float64

	// Working is 1 at work, 0 not, -1 not said.
	Working []int8
	// Sections holds the state of each section, 0 the leftmost seen from
	// behind. N is 0 when the log has none.
	Sections Bits
	// SectionsAtLeast is set where sections came as a bit mask without a count:
	// Sections.N is then the highest section ever on, and the machine may have
	// more, which were off throughout; Reconcile looks at its other logs.
	SectionsAtLeast bool
	// Rate is what was put down, kg N/ha. One lane is the whole bar; more are
	// equal parts of it or sections, left to right.
	Rate Lanes
	// Depth is m below the surface, positive, lanes as in Rate.
	Depth Lanes
	// Target is the set rate, kg N/ha. It is never what was applied.
	Target []float64
	// Flow is what was measured, kg N/s.
	Flow []float64
	// Product is the running total of the machine, kg N.
	Product []float64
	// Load names the load or tank of each record.
	Load []string
	// Fix is the quality of the position as the file said (1 and above), -1
	// when the record does not say. Rows with 0 are dropped.
	Fix []int8
	// Machine names the machine of each record where the file does.
	Machine []string
	// Polygons has the ground of each record when the log is one of polygons
	// (degrees); else nil. Lon and Lat are then the middle of its bounds.
	Polygons []geo.Outline

	// Read counts the data rows of all files; Dropped those of them that gave
	// no record, by reason (the Drop constants).
	Read    int
	Dropped map[string]int

	// Lacking counts the values that columns lack, over all files, in the order
	// of Roles and, in a role, of columns left to right; columns that lack none are
	// left out. It does not depend on how the log was cut into files. Positions and
	// times are not in it: a row without one is dropped.
	Lacking []Lack

	// Datum names the datum of the positions where a file does, and DatumNote
	// says how it was found.
	Datum, DatumNote string
	// Notes is what the user must know that did not stop the reading.
	Notes []string
	// Mapping says which column was taken for which role, in which unit, and why.
	Mapping []ColumnUse
}

// Len returns the number of records.
func (l *Log) Len() int { return len(l.Line) }

// Lack counts the values that a column does not have: in records, and for the
// fix in rows, for it is read before a row becomes a record. Columns that hold
// one section each are counted together, a record once.
type Lack struct {
	Role   string // a Role constant
	Column string // the name as in the file, what cannot be printed escaped
	lane   int    // place in a list, from the left

	NotReadable int // something that is no value of the role
	OutOfRange  int // a number that the role cannot have
	Empty       int
}

// Reasons for which a row of a log gives no record.
const (
	DropRagged      = "ragged"       // more or fewer cells than the header
	DropUnreadable  = "unreadable"   // the row breaks the rules of the file, such as a quote that stays open or NUL bytes and nothing else
	DropHeaderAgain = "header_again" // the header, repeated in mid-file
	DropEmpty       = "empty_row"    // separators only
	DropNoPosition  = "no_position"  // longitude or latitude empty, not a number, or off the globe
	DropNoFix       = "no_fix"       // the receiver said that it had no position
	DropNoTime      = "no_time"      // the log has times, this row none that can be read
)

// ColumnUse says how one role of a log was filled.
type ColumnUse struct {
	Role    string   // a Role constant
	Columns []string // names as in the file, what cannot be printed escaped; several where a role is a list
	Unit    string   // the unit as written, or "" where the role has none
	Of      string   // "nitrogen" or "product" for rates and amounts, else ""
	Guessed bool     // chosen by this package rather than by the job
	Why     string   // the reason, as a phrase for people
}
