package asapplied

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// TestTimesCutShortLeaveTheGroundAsItIs: spreadsheets save times to the minute, others
// the date alone as midnight. The records' order and their way are still there.
func TestTimesCutShortLeaveTheGroundAsItIs(t *testing.T) {
	const second = int64(1e9)
	for seed := range uint64(4) {
		in, _ := work(t, 500+seed)
		log := &in.Drives[0].Log
		log.Speed = make([]float64, log.Len())
		for i := range log.Speed {
			log.Speed[i] = 2 // m/s, as driven: it must not tell jumps by times that do not
		}
		in.Drives[0].MaxGap = unit.Seconds(5)
		want := mustReconcile(t, in)
		require.NotContains(t, strings.Join(want.Notes, "\n"), "share their time")
		stamps := append([]int64(nil), log.TimeNS...)
		for _, c := range []struct {
			to   int64
			says string
		}{
			{2 * second, "for the log tells it in steps of 2 s"},
			{10 * second, "for the log tells it in steps of 10 s"},
			{60 * second, "for the log tells it in whole minutes"},
			{120 * second, "for the log tells it in steps of 2 minutes"},
			{86400 * second, "records share their time with others. They"},
		} {
			for _, files := range []int{1, 7} {
				name := fmt.Sprintf("seed %d, to %d s, %d files", seed, c.to/second, files)
				cut := in
				cut.Drives = append([]Drive(nil), in.Drives...)
				l := &cut.Drives[0].Log
				l.TimeNS, l.File = make([]int64, len(stamps)), make([]int32, len(stamps))
				for i, ns := range stamps {
					l.TimeNS[i] = ns / c.to * c.to
					l.File[i] = int32(i * files / len(stamps))
				}
				l.Files = strings.Fields(strings.Repeat("scene ", files))
				got := mustReconcile(t, cut)
				require.Equal(t, want.Records, got.Records, name)
				require.InDelta(t, want.Area.Covered, got.Area.Covered, 1e-6, name)
				require.InDelta(t, want.Area.Doubled, got.Area.Doubled, 1e-6, name)
				require.InDelta(t, want.Nitrogen.Applied, got.Nitrogen.Applied, 1e-9, name)
				require.Contains(t, strings.Join(got.Notes, "\n"), c.says, name)
			}
		}
	}
}

// TestALogWithItsNewestRecordsFirstIsTurnedAround: some programs export it so. Records
// that share a time then stand in the order opposite to the one that they were driven in.
func TestALogWithItsNewestRecordsFirstIsTurnedAround(t *testing.T) {
	for _, to := range []int64{1e9, 5e9, 60e9} {
		in, _ := work(t, 520)
		log := &in.Drives[0].Log
		for i := range log.TimeNS {
			log.TimeNS[i] = log.TimeNS[i] / to * to
		}
		want := mustReconcile(t, in)
		turned := in
		turned.Drives = append([]Drive(nil), in.Drives...)
		l := &turned.Drives[0].Log
		l.TimeNS, l.Lon, l.Lat, l.Heading = back(l.TimeNS), back(l.Lon), back(l.Lat), back(l.Heading)
		l.Rate.V, l.Depth.V, l.Sections.Words = back(l.Rate.V), back(l.Depth.V), back(l.Sections.Words)
		got := mustReconcile(t, turned)
		require.Equal(t, want.Records, got.Records, "to %d s", to/1e9)
		require.Equal(t, want.Area, got.Area, "to %d s", to/1e9)
		require.Equal(t, want.Nitrogen, got.Nitrogen, "to %d s", to/1e9)
	}
}

// back is a list from its end.
func back[T any](list []T) []T {
	list = slices.Clone(list)
	slices.Reverse(list)
	return list
}

// TestAJumpAmongTimesCutShortIsNoGround: where the time does not show it the way does.
func TestAJumpAmongTimesCutShortIsNoGround(t *testing.T) {
	p := newPilot(t, 12, 4, 0, -40, 0)
	p.record()
	p.straight(20)
	p.y += 30 // the log has nothing of these 30 m
	p.last = nil
	p.record()
	p.straight(10)
	d := p.drive("m")
	for i := range d.Log.TimeNS {
		d.Log.TimeNS[i] = 0
	}
	r := mustReconcile(t, Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{d}, Tolerance: 0.1})
	require.InDelta(t, 30*12, r.Area.Covered, 1e-6)
	require.Equal(t, 2, r.Records.Dropped[DropNoGround], "the last before the jump, and of the log")
}

// TestAFlowIsOfTheTimeThatStampsTell: over whole minutes a flow adds up to what it adds
// up to by the second.
func TestAFlowIsOfTheTimeThatStampsTell(t *testing.T) {
	p := newPilot(t, 12, 1, 0, -90, 0)
	p.record()
	p.straight(180)
	d := p.drive("m")
	d.Log.Rate = Lanes{}
	d.Log.Flow = make([]float64, d.Log.Len())
	for i := range d.Log.Flow {
		d.Log.Flow[i] = 0.5 // kg/s
	}
	in := Input{Field: boxField(t, p.plane, 100, 100), Drives: []Drive{d}, Tolerance: 0.1}
	want := mustReconcile(t, in).Nitrogen.Applied
	for i, ns := range d.Log.TimeNS {
		d.Log.TimeNS[i] = ns / 60e9 * 60e9
	}
	require.InDelta(t, want, mustReconcile(t, in).Nitrogen.Applied, 0.51, "the last record stands for no known time")
}

// TestRecordsWithoutGroundAreAskedAbout: most of a log at work that covers nothing is a
// wrong column or unit rather than a field left out.
func TestRecordsWithoutGroundAreAskedAbout(t *testing.T) {
	in, _ := work(t, 510)
	log := &in.Drives[0].Log
	log.Speed = make([]float64, log.Len())
	for i := range log.Speed {
		log.Speed[i] = 2
	}
	require.NotContains(t, strings.Join(mustReconcile(t, in).Notes, "\n"), "cover no ground")
	for i := range log.Speed {
		if i > 20 {
			log.Speed[i] = 1e-3 // a unit that is off: steps of 2 m are jumps
		}
		log.Lat[i] += 5e-5 * float64(i%2)
	}
	r := mustReconcile(t, in)
	require.Contains(t, r.Notes[0], fmt.Sprintf("%d of %d records at work cover no ground", r.Records.Dropped[DropNoGround], r.Records.Used+r.Records.Dropped[DropNoGround]))
	in.Drives[0].MaxGap = unit.Seconds(0.5)
	_, err := Reconcile(in)
	require.ErrorContains(t, err, "max_gap")
}
