package residue

// The rules of a calibration, to be set otherwise by [Options].
const (
	// leastPoints is the fewest places that make a line.
	//
	// Source: the extension guide of Kansas State on line transects asks for 5 spots in a field (that of Nebraska for 3); the same number for a line is common practice.
	// Range: 3 to 30.
	// Unit: places.
	leastPoints = 5

	// level is the chance at which a slope of none would look at least as steep, above which the line is refused.
	//
	// Source: common practice.
	// Range: 0.01 to 0.10.
	// Unit: probability, two-sided.
	level = 0.05
)
