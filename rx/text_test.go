package rx

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// An acre is 4046.8564224 m2 and 43,560 square feet.
func TestAreaTextSpeaksTheJobsUnits(t *testing.T) {
	for _, c := range []struct {
		m2     float64
		us, si string
	}{
		{10, "108 sq ft", "10 m2"},
		{0.4, "4 sq ft", "0.4 m2"},
		{4046.8564224, "1 ac", "4046.9 m2"},
		{20000, "4.942 ac", "2 ha"},
	} {
		require.Equal(t, c.us, AreaText(unit.US, unit.SquareMetres(c.m2)))
		require.Equal(t, c.si, AreaText(unit.SI, unit.SquareMetres(c.m2)))
	}
}

func TestZoneNotesInAcres(t *testing.T) {
	o := DefaultZoneOptions()
	o.Units = unit.US
	f := wholeField(t)
	_, notes, err := NewZones(f, []vector.Feature{
		feature(1, rect(t, -200, -100, 100, 100), "ZONE", "A"),
	}, "ZONE", o)
	require.NoError(t, err)
	require.Len(t, notes, 1)
	require.Contains(t, notes[0], "no zone covers 4.942 ac (25 % of the field)")
	o.Gap, o.Overlap = GapUnzoned, OverlapRefuse
	_, _, err = NewZones(f, []vector.Feature{
		feature(1, rect(t, -200, -100, 100, 100), "ZONE", strings.Repeat("long ", 50)),
		feature(2, rect(t, 0, -100, 200, 100), "ZONE", strings.Repeat("b", 250)),
	}, "ZONE", o)
	require.ErrorContains(t, err, "by 4.942 ac")
	require.ErrorContains(t, err, "record 2 (zone bbb")
	require.Less(t, len(err.Error()), 500, "ids are cut short")
}
