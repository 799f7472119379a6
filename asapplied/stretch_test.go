package asapplied

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
	"ratewright/geo/cover"
)

// TestStretchesJoinedAreTheWholeTrack compares a track driven stretch by stretch with
// the same driven in one, and what several processors give with what one gives.
func TestStretchesJoinedAreTheWholeTrack(t *testing.T) {
	for name, spec := range map[string]fieldlog.Spec{
		"coverage": {Records: 60_000, CoverageOnly: true},
		"varying":  {Records: 60_000, Vary: true},
		"crowded":  {Records: 40_000, Vary: true, Chatter: true, Sections: 48}, // many swaths a record
	} {
		t.Run(name, func(t *testing.T) {
			in := madeUp(t, spec)
			in.Trace = func(string, Stride) {}
			f := newField(&in)
			c := counts{dropped: make(map[string]int)}
			got, err := follow(&in, f, &c)
			require.NoError(t, err)

			// The same steps, and one driver all the way.
			d := driver{drives: slices.Clone(in.Drives), counts: &counts{dropped: make(map[string]int)}}
			log := &d.drives[0].Log
			l, err := newLayout(d.drives[0].Machine, log.Sections.N, log.Rate.N, log.Depth.N)
			require.NoError(t, err)
			d.layouts, d.standReach2 = []layout{l}, []float64{standRadiusM * standRadiusM}
			track := &tracks(d.drives, f, d.counts, 1)[0]
			track.states(d.drives, d.layouts, d.counts)
			track.markGaps(d.drives)
			track.headings(d.drives, f.plane, 1)
			d.unit = visitWidths * track.width
			d.out.values, d.out.tracer = got.values[:0:0], &tracer{}
			if got.values == nil {
				d.out.values = nil
			}
			d.out.tracer.begin(track, d.drives, 0)
			whole := d.beside(0, len(track.fixes))
			whole.drive(track, 0, len(track.fixes))
			want := &whole.out

			require.Greater(t, len(track.cuts()), 3, "more than one stretch")
			require.Len(t, got.swaths, len(want.swaths))
			const start = 10.0 // of the first machine's odometer
			for i := range want.swaths {
				a, b := want.swaths[i], got.swaths[i]
				require.Equal(t, a.Quad, b.Quad, i)
				require.Equal(t, a.Follows, b.Follows, i)
				require.InDelta(t, a.From+start, b.From, 1e-8, i)
				require.InDelta(t, a.To+start, b.To, 1e-8, i)
				require.Equal(t, want.tracer.times[i], got.tracer.times[i], i)
				if want.values != nil {
					require.True(t, want.values[i].equal(got.values[i]), i)
				}
			}
			require.InDelta(t, want.appliedKg, got.appliedKg, 1e-12*math.Abs(want.appliedKg))
			whole.counts.add(d.counts)
			require.Equal(t, whole.counts.used, c.used)
			require.Equal(t, whole.counts.dropped, c.dropped)

			for _, workers := range []int{1, 2, 3} {
				in.Workers = workers
				again, err := follow(&in, f, &counts{dropped: make(map[string]int)})
				require.NoError(t, err)
				require.Equal(t, got.swaths, again.swaths, "%d workers", workers)
				require.Equal(t, got.tracer.times, again.tracer.times)
				require.Equal(t, got.appliedKg, again.appliedKg)
			}
		})
	}
}

// TestAStretchWithMoreThanItsPlaceWritesOverNone joins stretches of which one has more
// swaths than there was room for, the next fewer.
func TestAStretchWithMoreThanItsPlaceWritesOverNone(t *testing.T) {
	for _, sizes := range [][2]int{{20, 3}, {17, 16}, {3, 20}, {90, 90}} {
		d := driver{counts: &counts{dropped: make(map[string]int)}, perRecord: 1}
		d.out.swaths = make([]cover.Swath, 0, d.room(64))
		d.out.values = make([]swathValue, 0, d.room(64))
		var own []*driver
		var want []float64
		cuts := []int{0, 16, 32}
		for i := range 2 {
			own = append(own, d.beside(cuts[i], cuts[i+1]))
		}
		for i, o := range own {
			for k := range sizes[i] {
				v := float64(100*i + k)
				o.out.add(cover.Swath{From: v}, swathValue{kgPerM2: v}, 1)
				want = append(want, v)
			}
		}
		d.join(own, cuts, 1)
		require.Len(t, d.out.swaths, len(want))
		for i, v := range want {
			require.Equal(t, v, d.out.swaths[i].From, "%v: %d", sizes, i)
			require.Equal(t, v, d.out.values[i].kgPerM2, "%v: %d", sizes, i)
		}
	}
}

// TestRoomIsForAsManySwathsAsARecordGives holds that a log of many parts a record is
// driven without copying what was found.
func TestRoomIsForAsManySwathsAsARecordGives(t *testing.T) {
	for _, s := range []fieldlog.Spec{{Records: 3000, CoverageOnly: true}, {Records: 3000, Sections: 48, Chatter: true, Vary: true}} {
		in := madeUp(t, s)
		ground, err := follow(&in, newField(&in), &counts{dropped: make(map[string]int)})
		require.NoError(t, err)
		require.Greater(t, len(ground.swaths), in.Drives[0].Log.Len()*2/3)
		require.Less(t, cap(ground.swaths), len(ground.swaths)*4/3)
	}
}
