package asapplied

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo/unit"
)

// Drive is one log with the machine that wrote it.
type Drive struct {
	Log     Log
	Machine Machine
	// MaxGap is the longest time between two records that is still driven
	// ground; zero is three times the log's median interval.
	MaxGap unit.Duration
}

// Reasons for which a record gives no swath, besides those of reading.
const (
	DropDuplicate  = "duplicate"   // the same machine, time, place and values again
	DropOtherField = "other_field" // more than 100 m from the boundary
	DropNoRate     = "no_rate"     // at work, but the log's rate has no value
	DropNoWidth    = "no_width"    // at work, but no working width is known
	DropNoHeading  = "no_heading"  // at work, but the log has no heading here and the positions give none
	DropNoGround   = "no_ground"   // at work, but the log stops, jumps or the work ends before the bar moves on; or a flow was measured on ground thinner than 1 mm
)

// otherFieldM is how far from the boundary a record is of another field.
const otherFieldM = 100

// fix is one record of a track: a place in the plane and where its values are.
type fix struct {
	at       orb.Point // logged position, plane metres
	seconds  float64   // since the track began; the record's number without time
	heading  float64   // degrees clockwise from the plane's y axis; NaN unknown
	log      int32
	rec      int32 // the record of the position
	valuesIn int32 // the log of
	values   int32 // the record whose values hold here (differs by the lag)
	state    state // what the record says of the work
	gap      bool  // nothing was driven between the fix before and this one
	loose    bool  // its stamp tells its order and little more
}

// trackKey tells tracks apart. Points and polygons of one machine make two tracks,
// as if of two machines: between a bar and a polygon there is no way that either
// could tell, and dealt with in turn they would break one another into gaps.
type trackKey struct {
	machine  string
	polygons bool // the records carry their own ground
}

func (k trackKey) compare(o trackKey) int {
	if c := cmp.Compare(k.machine, o.machine); c != 0 || k.polygons == o.polygons {
		return c
	}
	if k.polygons {
		return 1
	}
	return -1
}

// track is all that one machine recorded in one kind of shape, in the order of time.
type track struct {
	trackKey
	fixes []fix
	timed bool
	width float64 // full width, m
	loose int     // how many fixes are
	tick  float64 // how finely stamps tell the time, s; 1 or more
}

// counts says what became of the records.
type counts struct {
	read, used, notWorking int
	dropped                map[string]int
}

func (c *counts) drop(reason string, n int) {
	if n > 0 {
		c.dropped[reason] += n
	}
}

// tracks sorts the records of all drives by machine and time. Records of another
// field and repeated ones are dropped and counted.
func tracks(drives []Drive, f *field, c *counts, workers int) []track {
	groups := group(drives, f, c, workers)
	out := make([]track, 0, len(groups))
	for key, g := range groups {
		t := track{trackKey: key, fixes: g.fixes, timed: !g.untimed}
		if t.timed {
			t.order(drives)
			t.dedupe(drives, c)
			t.clock(drives)
		} else {
			for i := range t.fixes {
				t.fixes[i].seconds = float64(i)
			}
		}
		t.width = fullWidth(drives, t.fixes)
		t.applyLag(drives)
		out = append(out, t)
	}
	slices.SortFunc(out, func(a, b track) int { return a.compare(b.trackKey) })
	return out
}

// order sorts the fixes by time. Records of the same stamp keep the order of
// their file, or the opposite one where the newest stand first; files stand in the
// order of their first record, so that it does not matter in which order they were
// named.
func (t *track) order(drives []Drive) {
	type source struct{ log, file int32 }
	inOrder := true
	for i := 1; i < len(t.fixes) && inOrder; i++ {
		inOrder = t.timeNS(drives, i-1) < t.timeNS(drives, i)
	}
	if inOrder {
		return
	}
	if t.newestFirst(drives) {
		slices.Reverse(t.fixes)
	}
	first := make(map[source]int)
	for i, f := range t.fixes {
		s := source{f.log, drives[f.log].Log.File[f.rec]}
		j, ok := first[s]
		if !ok || t.timeNS(drives, i) < t.timeNS(drives, j) {
			first[s] = i
		}
	}
	type keyed struct {
		ns, first int64
		fix
	}
	ks := make([]keyed, len(t.fixes))
	for i, f := range t.fixes {
		s := source{f.log, drives[f.log].Log.File[f.rec]}
		ks[i] = keyed{t.timeNS(drives, i), t.timeNS(drives, first[s]), f}
	}
	slices.SortStableFunc(ks, func(a, b keyed) int {
		return cmp.Or(cmp.Compare(a.ns, b.ns), cmp.Compare(a.first, b.first))
	})
	for i := range ks {
		t.fixes[i] = ks[i].fix
	}
}

// newestFirst tells whether the records of its files go back in time more often than on.
func (t *track) newestFirst(drives []Drive) bool {
	back := 0
	for i := 1; i < len(t.fixes); i++ {
		a, b := &t.fixes[i-1], &t.fixes[i]
		if a.log != b.log || drives[a.log].Log.File[a.rec] != drives[b.log].Log.File[b.rec] {
			continue
		}
		back -= cmp.Compare(t.timeNS(drives, i), t.timeNS(drives, i-1))
	}
	return back > 0
}

func (t *track) timeNS(drives []Drive, i int) int64 {
	f := &t.fixes[i]
	return drives[f.log].Log.TimeNS[f.rec]
}

func valueAt(col []float64, i int) float64 {
	if col == nil {
		return math.NaN()
	}
	return col[i]
}

func equalOrNaN(x, y float64) bool { return x == y || math.IsNaN(x) && math.IsNaN(y) }

// clock gives each fix its seconds since the first. Stamps that several records
// share are spread evenly up to the next one, over no more than stamps tell: a second,
// or what coarse ones leave open.
func (t *track) clock(drives []Drive) {
	if len(t.fixes) == 0 {
		return
	}
	t.tick = t.ticks(drives)
	t0 := t.timeNS(drives, 0)
	for i := 0; i < len(t.fixes); {
		ns := t.timeNS(drives, i)
		j := i + 1
		for j < len(t.fixes) && t.timeNS(drives, j) == ns {
			j++
		}
		n, room := j-i, t.tick
		loose := n > 1 && t.tick > 1 || n > tickMany
		if loose {
			t.loose += n
			if t.tick == 1 { // one stamp says nothing of the time it stands for
				room = float64(n)
			}
		}
		if j < len(t.fixes) {
			room = min(room, float64(t.timeNS(drives, j)-ns)/1e9)
		}
		for k := i; k < j; k++ {
			t.fixes[k].seconds = float64(ns-t0)/1e9 + room*float64(k-i)/float64(n)
			t.fixes[k].loose = loose
		}
		i = j
	}
}

// applyLag lets each place take the values that were logged a lag later, in whichever
// log of the machine.
func (t *track) applyLag(drives []Drive) {
	lags := slices.ContainsFunc(drives, func(d Drive) bool { return d.Machine.Lag != 0 })
	if !t.timed || !lags {
		return
	}
	from := make([]fix, len(t.fixes))
	copy(from, t.fixes)
	j := 0
	for i := range t.fixes {
		lag := drives[t.fixes[i].log].Machine.Lag.Seconds()
		if lag == 0 {
			continue
		}
		want := t.fixes[i].seconds + lag + 1e-9
		for j+1 < len(from) && from[j+1].seconds <= want {
			j++
		}
		for j > 0 && from[j].seconds > want {
			j--
		}
		if drives[from[j].log].Machine.Lag == drives[t.fixes[i].log].Machine.Lag {
			t.fixes[i].valuesIn, t.fixes[i].values = from[j].log, from[j].rec
		}
	}
}

// fullWidth is the machine's width, or the widest record where it has none.
func fullWidth(drives []Drive, fixes []fix) float64 {
	var w float64
	for i := range fixes {
		d := &drives[fixes[i].log]
		if v := d.Machine.Width.Metres(); v > 0 {
			w = max(w, v)
		} else {
			w = max(w, workingWidth(d, int(fixes[i].rec)))
		}
	}
	return w
}
