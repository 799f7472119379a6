package vector

import "strings"

// InputError says what is wrong with an input: in which file, where in it, what,
// and what to do. It reads "zones.shp: record 7: ring 2 is not closed; close it by
// repeating its first point".
type InputError struct {
	File  string // as the caller named it, or the sibling at fault
	Place string // "record 7", "feature 3", "line 12"; empty for the whole file
	What  string // what was found
	Fix   string // what to do; empty where nothing can be advised
}

// Error joins the parts that are not empty.
func (e *InputError) Error() string {
	var b strings.Builder
	for _, part := range []string{e.File, e.Place} {
		if part != "" {
			b.WriteString(part)
			b.WriteString(": ")
		}
	}
	b.WriteString(e.What)
	if e.Fix != "" {
		b.WriteString("; ")
		b.WriteString(e.Fix)
	}
	return b.String()
}
