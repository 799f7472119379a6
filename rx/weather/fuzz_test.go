package weather

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

// hold checks what is true of every file: it is refused as an input, or read with
// every value accounted for and within the limits.
func hold(t *testing.T, s Series, err error) {
	if err != nil {
		var ie *vector.InputError
		require.ErrorAs(t, err, &ie)
		require.NotEmpty(t, ie.What)
		return
	}
	addsUp(t, s)
	for _, d := range s.Days {
		for _, r := range []Reading{d.MaxC, d.MinC, d.RainMM} {
			require.False(t, math.IsNaN(r.Value) || math.IsInf(r.Value, 0))
		}
		require.False(t, d.MaxC.Known && d.MinC.Known && d.MinC.Value > d.MaxC.Value)
		require.True(t, d.MaxC.Value <= hottest && d.MinC.Value >= coldest && d.RainMM.Value >= 0 && d.RainMM.Value <= wettest)
	}
	sum, err := s.Rain(s.Days[0].Date, s.Days[len(s.Days)-1].Date)
	if err == nil {
		require.Equal(t, len(s.Days), sum.Known+sum.InTotal+sum.Missing)
		require.GreaterOrEqual(t, sum.Missing, 0)
	}
}

func FuzzDLY(f *testing.F) {
	for _, text := range []string{
		month("TMAX", map[int]string{1: cell(250, "  Z"), 2: cell(-9999, " SZ")}) + month("TMIN", map[int]string{1: cell(251, "  Z")}),
		month("MDPR", map[int]string{4: cell(373, "")}) + month("DAPR", map[int]string{4: cell(3, "")}) + month("PRCP", map[int]string{9: cell(0, "T")}),
		"\xef\xbb\xbf" + month("PRCP", map[int]string{1: cell(0, "P Z")}) + "\r\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := readDLY(text)
		hold(t, s, err)
	})
}

func FuzzCSV(f *testing.F) {
	for _, text := range []string{
		station + ",20010601,TMAX,250,,,Z,0700\n" + station + ",20010601,PRCP,0,T,,Z\n",
		"STATION,DATE,TMAX,TMAX_ATTRIBUTES,PRCP\n" + station + ",2001-06-01,250,\",,Z,0700\",3\n",
		"day,hi,lo,rain\n6/1/2001,77,32,T\n\"6/2/2001\",\"M\",-99,0.1\n",
		"\xef\xbb\xbfday,hi,lo,rain\r\n6/1/2001,1e9,-1e9,-0\r\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := readStation(text)
		hold(t, s, err)
		s, err = ReadCSV(strings.NewReader(text), "a.csv", farm, Options{})
		hold(t, s, err)
	})
}
