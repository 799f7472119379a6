package job

import (
	"ratewright/asapplied"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// How says how a step is carried out, where that is not the job's to say. The
// zero value reads every log from its files and uses every processor.
type How struct {
	// Workers is how many processors a reconciliation uses; 0 is all.
	Workers int
	// Simplify lets outlines of patches lie this far from where they are; sums stay
	// exact.
	Simplify unit.Length
	// NoPage leaves the map page out.
	NoPage bool
	// PNG asks for the picture of the map, too, and Card for the result in short.
	PNG, Card bool
	// Sum gives the SHA-256 of an input in hex in place of reading the file for it,
	// where it is set.
	Sum func(file string) (string, error)
	// ReadLog takes the place of [asapplied.ReadLog] where it is set. It may leave
	// out records that lie beyond the reach of the field if it counts them.
	ReadLog func(spec asapplied.LogSpec, field rx.Field) (asapplied.Log, error)
}

func (h How) readLog(spec asapplied.LogSpec, field rx.Field) (asapplied.Log, error) {
	if h.ReadLog == nil {
		return asapplied.ReadLog(spec)
	}
	return h.ReadLog(spec, field)
}
