package asapplied

import (
	"math"
	"math/bits"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sameRecord holds two records against each other one value after another, as the
// rule says it: place, and every value that is put to use.
func sameRecord(drives []Drive, f, g *fix) bool {
	a, b, i, j := &drives[f.log].Log, &drives[g.log].Log, int(f.rec), int(g.rec)
	same := func(x, y []float64) bool { return equalOrNaN(valueAt(x, i), valueAt(y, j)) }
	lanes := func(x, y Lanes) bool {
		return x.N == y.N && (x.N == 0 || slices.EqualFunc(x.Row(i), y.Row(j), equalOrNaN))
	}
	return f.at == g.at && same(a.Heading, b.Heading) && same(a.Width, b.Width) && same(a.Flow, b.Flow) &&
		same(a.Duration, b.Duration) && same(a.Distance, b.Distance) && same(a.Product, b.Product) && same(a.Target, b.Target) &&
		lanes(a.Rate, b.Rate) && lanes(a.Depth, b.Depth) &&
		(a.Working == nil) == (b.Working == nil) && (a.Working == nil || a.Working[i] == b.Working[j]) &&
		a.Sections.N == b.Sections.N && (a.Sections.N == 0 || slices.Equal(a.Sections.Row(i), b.Sections.Row(j)))
}

// kindsOfRecord is how many records a log of rows has that differ.
const kindsOfRecord = 3

// rows draws a log of a few records; it has some of the columns.
func rows(t *rapid.T) Log {
	const n = kindsOfRecord
	few := rapid.SampledFrom([]float64{math.NaN(), 0, math.Copysign(0, -1), 1})
	column := func() []float64 {
		if rapid.Bool().Draw(t, "without") {
			return nil
		}
		return rapid.SliceOfN(few, n, n).Draw(t, "values")
	}
	lanes := func() Lanes {
		l := Lanes{N: rapid.IntRange(0, 2).Draw(t, "lanes")}
		if l.N > 0 {
			l.V = rapid.SliceOfN(few, n*l.N, n*l.N).Draw(t, "lane values")
		}
		return l
	}
	l := Log{
		Heading: column(), Width: column(), Flow: column(), Duration: column(), Distance: column(), Product: column(), Target: column(),
		Rate: lanes(), Depth: lanes(), Sections: Bits{N: rapid.IntRange(0, 2).Draw(t, "sections")},
	}
	if rapid.Bool().Draw(t, "says whether it works") {
		l.Working = rapid.SliceOfN(rapid.Int8Range(-1, 0), n, n).Draw(t, "working")
	}
	if l.Sections.N > 0 {
		l.Sections.Words = rapid.SliceOfN(rapid.Uint64Range(0, 1), n, n).Draw(t, "words")
	}
	l.TimeNS = slices.Sorted(slices.Values(rapid.SliceOfN(rapid.Int64Range(0, 1), n, n).Draw(t, "stamps")))
	return l
}

func TestRepeatsAreThoseOfAnEarlierRecordOfTheStamp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		drives := []Drive{{Log: rows(t)}, {Log: rows(t)}}
		if rapid.Bool().Draw(t, "the same log again") {
			drives[1] = drives[0]
		}
		tr := track{timed: true}
		for range rapid.IntRange(0, 20).Draw(t, "records") {
			tr.fixes = append(tr.fixes, fix{
				at:  orb.Point{float64(rapid.IntRange(0, 1).Draw(t, "x")), 0},
				log: int32(rapid.IntRange(0, 1).Draw(t, "log")),
				rec: int32(rapid.IntRange(0, kindsOfRecord-1).Draw(t, "record")),
			})
		}
		slices.SortStableFunc(tr.fixes, func(a, b fix) int {
			return int(drives[a.log].Log.TimeNS[a.rec] - drives[b.log].Log.TimeNS[b.rec])
		})
		var want []fix
		for _, f := range tr.fixes {
			stamp := drives[f.log].Log.TimeNS[f.rec]
			if !slices.ContainsFunc(want, func(k fix) bool {
				return drives[k.log].Log.TimeNS[k.rec] == stamp && sameRecord(drives, &k, &f)
			}) {
				want = append(want, f)
			}
		}
		c := counts{dropped: map[string]int{}}
		n := len(tr.fixes)
		tr.dedupe(drives, &c)
		require.Equal(t, len(want), len(tr.fixes))
		for i := range want {
			require.Equal(t, want[i].log, tr.fixes[i].log)
			require.Equal(t, want[i].rec, tr.fixes[i].rec)
		}
		require.Equal(t, n-len(want), c.dropped[DropDuplicate])
	})
}

// TestRecordsOfOneStampAreComparedSeldom counts the comparisons for logs all of one
// stamp: of records that differ, that are two and two the same, and that all are.
func TestRecordsOfOneStampAreComparedSeldom(t *testing.T) {
	const n = 1 << 14
	for name, value := range map[string]func(i int32) int32{
		"all differ":    func(i int32) int32 { return i * 7919 % n },
		"in order":      func(i int32) int32 { return i },
		"two and two":   func(i int32) int32 { return i % (n / 2) },
		"all the same":  func(int32) int32 { return 0 },
		"rise and fall": func(i int32) int32 { return min(i, n-i) },
	} {
		t.Run(name, func(t *testing.T) {
			var r repeats
			comparisons := 0
			again := r.find(n, func(i, j int32) int {
				comparisons++
				return int(value(i) - value(j))
			})
			first := make(map[int32]bool)
			for i := range int32(n) {
				require.Equal(t, first[value(i)], again[i], i)
				first[value(i)] = true
			}
			t.Logf("%d comparisons of %d records", comparisons, n)
			require.Less(t, comparisons, 3*n*bits.Len(n))
		})
	}
}
