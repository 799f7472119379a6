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
