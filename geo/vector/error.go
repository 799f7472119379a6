package vector

import (
	"errors"
	"io/fs"
	"strings"
	"syscall"
)

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

// Remedy is what to do about an input that the operating system does not give: what
// its reason calls for, else what the caller advises.
func Remedy(err error, otherwise string) string {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "see to it that you may read it"
	case errors.Is(err, syscall.EISDIR):
		return "name a file in it"
	case errors.Is(err, syscall.EMFILE), errors.Is(err, syscall.ENFILE):
		return "let programs have more files open (ulimit -n), or close some"
	case errors.Is(err, syscall.EIO):
		return "check the disk, or the connection to it"
	}
	return otherwise
}
