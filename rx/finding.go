package rx

// Severity says how much a finding matters.
type Severity int

// Refuse: a controller may reject the map or do something else with it. Note:
// it will work, but the operator should know.
const (
	Refuse Severity = iota + 1
	Note
)

func (s Severity) String() string {
	switch s {
	case Refuse:
		return "refuse"
	case Note:
		return "note"
	}
	return "unknown"
}

// Finding is what a check of a rate map found.
type Finding struct {
	Severity Severity
	Rule     string // short name of the rule, the same for every finding of it
	Text     string // what and where, and what to do
}

// Refused returns the findings that make a map unfit.
func Refused(findings []Finding) []Finding {
	var out []Finding
	for _, f := range findings {
		if f.Severity == Refuse {
			out = append(out, f)
		}
	}
	return out
}
