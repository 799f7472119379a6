package asapplied

import (
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// longLog writes a log of n numeric rows, of the shape of a real one.
func longLog(tb testing.TB, n int) string {
	tb.Helper()
	var b strings.Builder
	b.WriteString("time,lon,lat,speed_mps,heading_deg,sections,depth_cm,rate_lb_n_ac\n")
	for i := range n {
		fmt.Fprintf(&b, "%d.000,-93.%010d,42.%010d,2.500,%.6f,%024b,10,196.2\n",
			1715000000+i, 5983251474-i*301, 299852007+i*17, float64(i%3600)/10, i%(1<<24))
	}
	path := filepath.Join(tb.TempDir(), "log.csv")
	require.NoError(tb, os.WriteFile(path, []byte(b.String()), 0o600))
	return path
}

// BenchmarkReadLog reads a log of 200,000 records with one processor and with two.
func BenchmarkReadLog(b *testing.B) {
	path := longLog(b, 200_000)
	st, err := os.Stat(path)
	require.NoError(b, err)
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprintf("workers=%d", workers), func(b *testing.B) {
			b.SetBytes(st.Size())
			b.ReportAllocs()
			for b.Loop() {
				log, err := ReadLog(LogSpec{Files: []string{path}, Workers: workers})
				require.NoError(b, err)
				require.Equal(b, 200_000, log.Len())
			}
		})
	}
}

// BenchmarkSplit holds the splitter against encoding/csv, without conversion.
func BenchmarkSplit(b *testing.B) {
	path := longLog(b, 200_000)
	data, err := os.ReadFile(path)
	require.NoError(b, err)
	b.Run("ours", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			r, err := newCSVReader(strings.NewReader(string(data)), path)
			for err == nil {
				_, err = r.next()
			}
			require.Equal(b, io.EOF, err)
		}
	})
	b.Run("encoding-csv", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			r := csv.NewReader(strings.NewReader(string(data)))
			r.ReuseRecord = true
			var err error
			for err == nil {
				_, err = r.Read()
			}
			require.Equal(b, io.EOF, err)
		}
	})
}

// TestNoAllocationPerRecord: columns grow by doubling, so ten times the rows
// cost a few more allocations, not ten times as many.
func TestNoAllocationPerRecord(t *testing.T) {
	count := func(n int) float64 {
		path := longLog(t, n)
		return testing.AllocsPerRun(3, func() {
			_, err := ReadLog(LogSpec{Files: []string{path}})
			require.NoError(t, err)
		})
	}
	few, many := count(2_000), count(20_000)
	require.Less(t, many-few, 500.0)
}
