package asapplied

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestStamps(t *testing.T) {
	for _, c := range []struct {
		text  string
		order dateOrder
		want  string // RFC 3339 in UTC; with "local" where no offset was said; "" where unreadable
	}{
		{"2024-05-06T14:05:06Z", 0, "2024-05-06T14:05:06Z"},
		{"2024-05-06t14:05:06z", 0, "2024-05-06T14:05:06Z"},
		{"2024-05-06T14:05:06.25-05:00", 0, "2024-05-06T19:05:06.25Z"},
		{"2024-05-06 14:05:06+0530", 0, "2024-05-06T08:35:06Z"},
		{"2024-05-06 14:05:06 -05", 0, "2024-05-06T19:05:06Z"},
		{"2024-05-06 14:05:06 UTC", 0, "2024-05-06T14:05:06Z"},
		{"20240506T140506Z", 0, "2024-05-06T14:05:06Z"},
		{"2024-05-06 14:05:06", 0, "2024-05-06T14:05:06Z local"},
		{"2024-05-06 14:05", 0, "2024-05-06T14:05:00Z local"},
		{"2024/5/6 4:05:06,5", 0, "2024-05-06T04:05:06.5Z local"},
		{"5/6/2024 2:05:06 PM", 0, "2024-05-06T14:05:06Z local"},
		{"05/06/2024 12:05:06 am", 0, "2024-05-06T00:05:06Z local"},
		{"5/6/24 12:05 PM", 0, "2024-05-06T12:05:00Z local"},
		{"5/6/2024, 2:05:06.125PM", 0, "2024-05-06T14:05:06.125Z local"},
		{"5/6/2024 14:05:06", dayFirst, "2024-06-05T14:05:06Z local"},
		{"06.05.2024 14:05:06", 0, "2024-05-06T14:05:06Z local"},
		{"6-May-2024 14:05:06", 0, "2024-05-06T14:05:06Z local"},
		{"6 May 2024 14:05:06", 0, "2024-05-06T14:05:06Z local"},
		{"2024-12-31T23:59:60Z", 0, "2025-01-01T00:00:00Z"}, // a leap second is the next second
		{"2024-02-29T00:00:00Z", 0, "2024-02-29T00:00:00Z"},
		{"2023-02-29T00:00:00Z", 0, ""},
		{"1900-02-28T00:00:00Z", 0, ""},
		{"2024-13-06T14:05:06Z", 0, ""},
		{"13/5/2024 10:00", 0, ""},
		{"2024-05-06T24:00:00Z", 0, ""},
		{"2024-05-06T14:60:00Z", 0, ""},
		{"2024-05-06 13:05:06 PM", 0, ""},
		{"2024-05-06 0:05:06 PM", 0, ""},
		{"2024-05-06T14:05:06+25:00", 0, ""},
		{"2024-05-06T14:05:06 CST", 0, ""},
		{"2024-05-06T14:05:06Zx", 0, ""},
		{"2024-05-06x14:05:06", 0, ""},
		{"1715000000", 0, ""},
		{"", 0, ""},
		{"T", 0, ""},
	} {
		s, ok := parseStamp([]byte(c.text), c.order)
		got := ""
		if ok && s.hasDate && s.hasClock {
			unix := s.unix() - s.offset
			got = time.Unix(unix, s.clockNS%1e9).UTC().Format(time.RFC3339Nano)
			if !s.hasOffset {
				got += " local"
			}
		}
		require.Equal(t, c.want, got, c.text)
	}
}

// TestTimesEqualThoseOfTheStandardLibrary writes moments at random in several
// layouts and reads them back.
func TestTimesEqualThoseOfTheStandardLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	layouts := []string{
		time.RFC3339Nano, "2006-01-02 15:04:05.999999999Z07:00", "20060102T150405Z", "1/2/2006 3:04:05.999999 PM", "02.01.2006 15:04:05",
		"2-Jan-2006 15:04:05",
	}
	for range 50_000 {
		moment := time.Unix(r.Int64N(4102444800), r.Int64N(1e9)).UTC()
		layout := layouts[r.IntN(len(layouts))]
		text := moment.Format(layout)
		want, err := time.Parse(layout, text)
		require.NoError(t, err)
		s, ok := parseStamp([]byte(text), monthFirst)
		require.True(t, ok, text)
		require.Equal(t, want.UnixNano(), (s.unix()-s.offset)*1e9+s.clockNS%1e9, text)
	}
}

func TestEpochs(t *testing.T) {
	for _, c := range []struct {
		text string
		unit int64
		want int64
		ok   bool
	}{
		{"1715000000", 1e9, 1715000000e9, true},
		{"1715000000.123456789", 1e9, 1715000000123456789, true}, // a float64 would lose the last digits
		{"1715000000.1234567891", 1e9, 1715000000123456789, true},
		{"1715000000123", 1e6, 1715000000123e6, true},
		{"1715000000123.5", 1e6, 1715000000123500000, true},
		{"1715000000123456", 1e3, 1715000000123456000, true},
		{"1715000000123456789", 1, 1715000000123456789, true},
		{"-1.5", 1e9, -15e8, true},
		{" 7 ", 1e9, 7e9, true},
		{"1.715E9", 1e9, 0, false},
		{"9999999999999", 1e9, 0, false}, // beyond the year 2262
		{"99999999999999999999", 1, 0, false},
		{"", 1e9, 0, false},
		{"-", 1e9, 0, false},
		{"1,5", 1e9, 0, false},
	} {
		got, ok := parseEpoch([]byte(c.text), c.unit, '.')
		require.Equal(t, c.ok, ok, c.text)
		if ok {
			require.Equal(t, c.want, got, c.text)
		}
	}
}

func timesOf(t *testing.T, name string, cells []string, change ...func(*LogSpec)) []string {
	t.Helper()
	log := mustRead(t, positions(name, cells...), change...)
	var out []string
	for _, ns := range log.TimeNS {
		out = append(out, timeText(ns))
	}
	return out
}

func zone(t *testing.T, name string) func(*LogSpec) {
	loc, err := time.LoadLocation(name)
	require.NoError(t, err)
	return func(s *LogSpec) { s.Zone = loc }
}

func TestTimesOfLogs(t *testing.T) {
	chicago := zone(t, "America/Chicago")
	want := []string{"2024-05-06T19:05:06Z", "2024-05-06T19:05:07Z"}
	require.Equal(t, want, timesOf(t, "time", []string{"5/6/2024 2:05:06 PM", "5/6/2024 2:05:07 PM"}, chicago))
	require.Equal(t, want, timesOf(t, "GPS Time", []string{"2024-05-06 14:05:06", "2024-05-06 14:05:07"}, chicago))
	require.Equal(t, want, timesOf(t, "date,clock", []string{"05/06/2024,2:05:06 PM", "05/06/2024,2:05:07 PM"}, chicago))
	require.Equal(t, want, timesOf(t, "date,time", []string{"20240506,190506", "20240506,190507"}))
	require.Equal(t, want, timesOf(t, "date,time", []string{"2024-05-06,14:05:06-05:00", "2024-05-06,14:05:07-05:00"}))
	require.Equal(t, want, timesOf(t, "timestamp", []string{"1715022306", "1715022307"}))
	require.Equal(t, want, timesOf(t, "timestamp", []string{"1715022306000", "1715022307000"}))
	require.Equal(t, want, timesOf(t, "F7", []string{"2024-05-06T19:05:06Z", "2024-05-06T19:05:07Z"})) // by its values alone
	require.Equal(t, want, timesOf(t, "time", []string{"6/5/2024 19:05:06", "6/5/2024 19:05:07"}, units(map[string]string{"time": "d/m/y"})))
	require.Equal(t, []string{"1970-01-01T00:00:00Z", "1970-01-01T00:00:00.2Z"},
		timesOf(t, "t", []string{"0", "0.2"}, columns(map[string][]string{"time": {"t"}}), units(map[string]string{"time": "s"})))
}

// On 3 November 2024 clocks in Chicago went from 2:00 CDT back to 1:00 CST, and
// on 10 March from 2:00 to 3:00.
func TestClocksThatChange(t *testing.T) {
	chicago := zone(t, "America/Chicago")
	got := timesOf(t, "time", []string{
		"2024-11-03 00:59:59", "2024-11-03 01:30:00", "2024-11-03 01:29:58", "2024-11-03 01:59:59",
		"2024-11-03 01:00:00", "2024-11-03 01:30:00", "2024-11-03 02:00:00",
	}, chicago)
	require.Equal(t, []string{
		"2024-11-03T05:59:59Z", "2024-11-03T06:30:00Z", "2024-11-03T06:29:58Z", "2024-11-03T06:59:59Z",
		"2024-11-03T07:00:00Z", "2024-11-03T07:30:00Z", "2024-11-03T08:00:00Z",
	}, got)
	log := mustRead(t, positions("time", "2024-03-10 01:59:59", "2024-03-10 02:30:00", "2024-03-10 03:00:00"), chicago)
	require.Equal(t, "2024-03-10T08:00:00Z", timeText(log.TimeNS[2]))
	require.Contains(t, strings.Join(log.Notes, "\n"), "1 local times do not exist in America/Chicago, for the clock is set forward there")
}

// TestLocalClockEqualsTheStandardLibrary takes moments over many years, as the
// zone's clock shows them, and turns them back.
func TestLocalClockEqualsTheStandardLibrary(t *testing.T) {
	for _, name := range []string{"America/Chicago", "Australia/Lord_Howe", "UTC", "Asia/Kolkata"} {
		loc, err := time.LoadLocation(name)
		require.NoError(t, err)
		c := localClock{loc: loc}
		for unix := int64(1700000000); unix < 1760000000; unix += 977 {
			_, offset := time.Unix(unix, 0).In(loc).Zone()
			require.Equal(t, unix, c.utc(unix+int64(offset)), fmt.Sprint(name, unix))
		}
	}
}

func FuzzStamp(f *testing.F) {
	for _, s := range []string{"2024-05-06T14:05:06.25-05:00", "5/6/24 12:05 PM", "6-May-2024 14:05:06", "20240506T140506Z", "14:05"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, ok := parseStamp([]byte(text), monthFirst)
		if !ok {
			return
		}
		if s.hasDate && time.Date(s.year, time.Month(s.month), s.day, 0, 0, 0, 0, time.UTC).Unix() != unixDay(s.year, s.month, s.day)*86400 {
			t.Fatalf("%q: day %d-%d-%d", text, s.year, s.month, s.day)
		}
		if s.clockNS < 0 || s.clockNS > 86400e9+1e9 || s.offset < -86400 || s.offset > 86400 {
			t.Fatalf("%q: %+v", text, s)
		}
	})
}

// A date that is remembered from the time before reads as it would by itself.
func TestTimesOnTheDayBefore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &timeFill{order: rapid.SampledFrom([]dateOrder{orderUnknown, monthFirst, dayFirst}).Draw(t, "order")}
		dates := rapid.SliceOfN(rapid.StringMatching(`[ ]{0,2}(2024|12|1)[-/.][0-1]?[1-2][-/.](2024|[0-3]?[0-9])`), 1, 3).Draw(t, "dates")
		for range 12 {
			text := rapid.SampledFrom(dates).Draw(t, "date") +
				rapid.StringMatching(`[T ]{0,2}([0-2][0-9]:?[0-6][0-9](:[0-6][0-9](\.[0-9]{1,3})?)?)?( ?PM)?(Z|[+-]0[0-9]:?00)?`).Draw(t, "clock")
			want, wantOK := parseStamp([]byte(text), f.order)
			got, ok := f.stamp([]byte(text))
			require.Equal(t, wantOK, ok, "%q", text)
			if ok {
				require.Equal(t, want, got, "%q", text)
			}
		}
	})
}
