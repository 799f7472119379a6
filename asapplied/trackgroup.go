package asapplied

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// machineFixes are the fixes of one track before they are in order.
type machineFixes struct {
	fixes   []fix
	untimed bool
}

// group sorts the records of all drives by track, places them in the plane and
// leaves out those of another field.
func group(drives []Drive, f *field, c *counts, workers int) map[trackKey]*machineFixes {
	groups := make(map[trackKey]*machineFixes)
	for d := range drives {
		log := &drives[d].Log
		c.read += log.Read
		for reason, n := range log.Dropped {
			c.drop(reason, n)
		}
		places := f.places(log, workers)
		for lo, hi := 0, 0; lo < len(places); lo = hi { // stretches of one machine's records
			key := trackKey{drives[d].Machine.Name, log.Polygons != nil}
			var own string
			if own, hi = log.machineFrom(lo); own != "" {
				key.machine += "\x00" + own
			}
			g := groups[key]
			if g == nil {
				g = &machineFixes{fixes: make([]fix, 0, len(places)-lo)}
				groups[key] = g
			}
			g.untimed = g.untimed || log.TimeNS == nil
			c.drop(DropOtherField, g.take(d, places, lo, hi, workers))
		}
	}
	return groups
}

// machineFrom is the machine that a record names, if any, and the end of the stretch of
// records from there on that are of the same.
func (l *Log) machineFrom(lo int) (name string, hi int) {
	if l.Machine == nil {
		return "", l.Len()
	}
	for hi = lo + 1; hi < len(l.Machine) && l.Machine[hi] == l.Machine[lo]; {
		hi++
	}
	return l.Machine[lo], hi
}

// take adds records lo to hi of a log and tells how many are of another field.
func (g *machineFixes) take(log int, places []orb.Point, lo, hi, workers int) (far int) {
	from := len(g.fixes)
	g.fixes = slices.Grow(g.fixes, hi-lo)[:from+hi-lo]
	fixes := g.fixes[from:]
	inChunks(hi-lo, workers, func(first, last int) {
		for i := first; i < last; i++ {
			at := places[lo+i]
			fixes[i] = fix{at: at, heading: math.NaN(), log: int32(log), rec: int32(lo + i), valuesIn: int32(log), values: int32(lo + i)}
		}
	})
	kept := slices.DeleteFunc(fixes, func(x fix) bool { return math.IsNaN(x.at[0]) })
	g.fixes = g.fixes[:from+len(kept)]
	return len(fixes) - len(kept)
}
