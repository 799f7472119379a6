package season

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen"
)

// fakeLogs counts how often each file is read.
func fakeLogs(limit int64, fail error) (*logs, *sync.Map) {
	l := newLogs(limit)
	var reads sync.Map
	l.read = func(spec asapplied.LogSpec) (asapplied.Log, error) {
		n, _ := reads.LoadOrStore(spec.Files[0], new(atomic.Int32))
		n.(*atomic.Int32).Add(1)
		const records = 100
		return asapplied.Log{Lon: make([]float64, records), Lat: make([]float64, records), Line: make([]int32, records), Read: records}, fail
	}
	return l, &reads
}

func readsOf(m *sync.Map, file string) int {
	n, ok := m.Load(file)
	if !ok {
		return 0
	}
	return int(n.(*atomic.Int32).Load())
}

func specOf(file string) asapplied.LogSpec { return asapplied.LogSpec{Files: []string{file}} }

func keyOf(t *testing.T, spec asapplied.LogSpec) string {
	t.Helper()
	key, err := logKey(spec)
	require.NoError(t, err)
	return key
}

func TestASharedLogIsReadOnceAndLetGo(t *testing.T) {
	l, reads := fakeLogs(1<<30, nil)
	shared, own := keyOf(t, specOf("day.csv")), keyOf(t, specOf("own.csv"))
	const jobs = 8
	for range jobs {
		l.expect([]string{shared})
	}
	l.expect([]string{own})
	l.settle()
	var wg sync.WaitGroup
	for range jobs {
		wg.Go(func() {
			log, err := l.readFor(specOf("day.csv"), rx.Field{})
			if err == nil && (log.Read != 100 || log.Len() != 0 || log.Dropped["other_field"] != 100) {
				err = fmt.Errorf("%+v", log)
			}
			if err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	require.Equal(t, 1, readsOf(reads, "day.csv"))
	require.Positive(t, l.held)
	for i := range jobs {
		require.NotEmpty(t, l.shared, "after %d", i)
		l.done([]string{shared})
	}
	require.Zero(t, l.held, "let go with the last job")
	require.Empty(t, l.shared)

	log, err := l.readFor(specOf("own.csv"), rx.Field{})
	require.NoError(t, err)
	require.Equal(t, 100, log.Len(), "a log of one job is handed on whole")
	require.Zero(t, l.held)
}

func TestKeptLogsAreBounded(t *testing.T) {
	l, reads := fakeLogs(0, nil)
	var keys []string
	for i := range 4 {
		keys = append(keys, keyOf(t, specOf(fmt.Sprint(i))))
	}
	l.expect(keys)
	l.expect(keys)
	l.settle()
	read := func(i int) {
		_, err := l.readFor(specOf(fmt.Sprint(i)), rx.Field{})
		require.NoError(t, err)
	}
	read(0)
	one := l.held
	l.limit = 3 * one
	for _, i := range []int{1, 2, 0, 3} { // 1 is the one not used for longest
		read(i)
	}
	require.Equal(t, 3*one, l.held)
	read(0)
	read(2)
	read(3)
	for i := range 4 {
		require.Equal(t, 1, readsOf(reads, fmt.Sprint(i)))
	}
	read(1)
	require.Equal(t, 2, readsOf(reads, "1"), "it had to go and is read again")
	l.done(keys)
	l.done(keys)
	require.Zero(t, l.held)
}

func TestALogThatCannotBeReadFailsForEachJob(t *testing.T) {
	l, reads := fakeLogs(1<<30, errors.New("torn"))
	key := []string{keyOf(t, specOf("day.csv"))}
	l.expect(key)
	l.expect(key)
	l.settle()
	for range 2 {
		_, err := l.readFor(specOf("day.csv"), rx.Field{})
		require.EqualError(t, err, "torn")
	}
	require.Equal(t, 1, readsOf(reads, "day.csv"))
}

func TestOnlyEqualReadingsShareALog(t *testing.T) {
	base := specOf("x/../day.csv")
	same := specOf("day.csv")
	require.Equal(t, keyOf(t, base), keyOf(t, same))
	require.Equal(t, keyOf(t, same), keyOf(t, asapplied.LogSpec{Files: same.Files, Workers: 1}))
	uan, ok := nitrogen.Known("uan-32")
	require.True(t, ok)
	for name, spec := range map[string]asapplied.LogSpec{
		"files":   {Files: []string{"day.csv", "b.csv"}},
		"columns": {Files: same.Files, Columns: map[string][]string{"rate": {"r"}}},
		"units":   {Files: same.Files, Units: map[string]string{"rate": "kg/ha"}},
		"of":      {Files: same.Files, Of: unit.Nitrogen, HasOf: true},
		"source":  {Files: same.Files, Source: uan},
		"crs":     {Files: same.Files, CRS: "EPSG:26915"},
	} {
		require.NotEqual(t, keyOf(t, same), keyOf(t, spec), name)
	}
}

func TestFieldsThatShareALogAreNeighboursInTheWork(t *testing.T) {
	f := func(number int, keys ...string) *field { return &field{number: number, logKeys: keys} }
	var order []int
	for _, f := range together([]*field{f(1, "a"), f(2, "b"), f(3), f(4, "c", "a"), f(5, "b"), f(6, "c"), f(7, "a")}) {
		order = append(order, f.number)
	}
	require.Equal(t, []int{1, 4, 6, 7, 2, 5, 3}, order)
}
