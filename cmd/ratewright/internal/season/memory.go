package season

import (
	"os"
	"runtime/debug"
)

// Sweeping a small heap often costs more than the memory is worth: where the
// inputs of the fields worked on side by side are below smallInputs, the heap may
// grow to four times what is in use.
const (
	smallInputs   = 128 << 20
	easyGCPercent = 300
)

// letGarbagePile sets how far the heap may grow, and returns how to set it back.
// Who sets GOGC decides.
func (r *runner) letGarbagePile(fields []*field) (restore func()) {
	var largest int64
	for _, f := range fields {
		var size int64
		for _, path := range f.inputs {
			if info, err := os.Stat(path); err == nil {
				size += info.Size()
			}
		}
		largest = max(largest, size)
	}
	if os.Getenv("GOGC") != "" || largest*int64(min(r.Workers, len(fields))) > smallInputs {
		return func() {}
	}
	before := debug.SetGCPercent(easyGCPercent)
	return func() { debug.SetGCPercent(before) }
}
