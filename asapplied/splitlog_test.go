package asapplied

import (
	"reflect"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
)

// TestASplitLogGivesTheSameAsTheWhole drives a field, then another 700 m east in
// the same log, and holds each against its part and against the whole.
func TestASplitLogGivesTheSameAsTheWhole(t *testing.T) {
	in, p := work(t, 11)
	p.lift(2)
	p.x, p.y, p.last = 700, -50, nil
	p.seconds += 600
	for range 2 {
		p.straight(50)
	}
	whole := p.drive("m")
	east := in
	east.Field = boxField(t, in.Field.Plane, 45, 52)
	east.Field.Boundary = region(t, in.Field.Plane, 650, -60, 750, 60)
	east.Field.Ground, east.Field.OffLimits = east.Field.Boundary, geo.Region{}
	east.Zones, east.Plan = nil, nil

	split := Split(whole.Log)
	require.Positive(t, split.Bytes())
	read, used := 0, 0
	for name, field := range map[string]Input{"home": in, "east": east} {
		field.Drives = []Drive{whole}
		want := mustReconcile(t, field)
		field.Drives = []Drive{whole}
		field.Drives[0].Log = split.Near(field.Field.Boundary)
		require.Less(t, field.Drives[0].Log.Len(), whole.Log.Len(), name)
		got := mustReconcile(t, field)
		require.Equal(t, want, got, name)
		read += got.Records.Read - got.Records.Dropped[DropOtherField]
		used += got.Records.Used + got.Records.NotWorking
	}
	require.Equal(t, whole.Log.Len(), read, "every record belongs to one of the two fields")
	require.LessOrEqual(t, used, read)
}

// TestEveryColumnIsPicked fills every column of a log and looks at each of them
// in a part of it, so that a column added later cannot be forgotten.
func TestEveryColumnIsPicked(t *testing.T) {
	const n = 4
	var log Log
	v := reflect.ValueOf(&log).Elem()
	perRun := map[string]bool{"Files": true, "Notes": true, "Lacking": true, "Mapping": true, "Dropped": true}
	for i := range v.NumField() {
		if f := v.Field(i); f.Kind() == reflect.Slice && !perRun[v.Type().Field(i).Name] {
			f.Set(reflect.MakeSlice(f.Type(), n, n))
		}
	}
	log.Sections = Bits{N: 65, Words: make([]uint64, 2*n)}
	log.Rate, log.Depth = Lanes{2, make([]float64, 2*n)}, Lanes{3, make([]float64, 3*n)}
	for i := range n {
		log.Line[i], log.Rate.V[2*i+1], log.Sections.Words[2*i+1] = int32(i), float64(i), uint64(i)
	}
	log.Read, log.Dropped = n+1, map[string]int{DropRagged: 1}

	part := log.pick([]int32{1, 3})
	pv := reflect.ValueOf(part)
	for i := range pv.NumField() {
		name := pv.Type().Field(i).Name
		if f := pv.Field(i); f.Kind() == reflect.Slice && !perRun[name] {
			require.Equal(t, 2, f.Len(), name)
		}
	}
	require.Equal(t, []int32{1, 3}, part.Line)
	require.Equal(t, []float64{0, 1, 0, 3}, part.Rate.V)
	require.Equal(t, []uint64{0, 1, 0, 3}, part.Sections.Words)
	require.Len(t, part.Depth.V, 6)
	require.Equal(t, map[string]int{DropRagged: 1, DropOtherField: 2}, part.Dropped)
	require.Equal(t, map[string]int{DropRagged: 1}, log.Dropped, "the whole log is as it was")
	require.Equal(t, part.Read, part.Len()+part.Dropped[DropRagged]+part.Dropped[DropOtherField])

	none := (&Log{Line: make([]int32, n), Lon: make([]float64, n), Lat: make([]float64, n)}).pick(nil)
	require.Zero(t, none.Len())
	require.Nil(t, none.Heading, "a column that the log lacks stays absent")
}

// TestNearKeepsEveryRecordWithinReach sets records along the limit, far north
// where degrees of longitude are short.
func TestNearKeepsEveryRecordWithinReach(t *testing.T) {
	p, err := geo.NewPlane(geo.LonLat{25, 68})
	require.NoError(t, err)
	boundary := region(t, p, -6000, -6000, 6000, 6000)
	reach := newReach(boundary)
	var log Log
	for i := range 4000 {
		a := float64(i)*6.2 - 12400
		for _, at := range []orb.Point{{a, 6099.9}, {a, -6099.9}, {6099.9, a}, {-6099.9, a}, {a, 6400}, {6400, a}} {
			ll := p.Unproject(at)
			log.Lon, log.Lat, log.Line = append(log.Lon, ll.Lon()), append(log.Lat, ll.Lat()), append(log.Line, int32(len(log.Line)))
		}
	}
	part := Split(log).Near(boundary)
	kept := map[int32]bool{}
	for _, line := range part.Line {
		kept[line] = true
	}
	within := 0
	for i := range log.Line {
		if reach.holds(p.Project(geo.LonLat{log.Lon[i], log.Lat[i]})) {
			within++
			require.True(t, kept[int32(i)], "record %d", i)
		}
	}
	require.Greater(t, within, 5000)
	require.Less(t, part.Len(), log.Len())
}
