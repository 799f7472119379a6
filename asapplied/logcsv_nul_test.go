package asapplied

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

func TestLinesOfNULBytes(t *testing.T) {
	const nul = "\x00\x00\x00"
	for _, c := range []struct{ name, text, rows, bad string }{
		{"at the end", "a,b\n1,2\n" + nul, "2:1|2", "3"},
		{"at the end, with a line end", "a,b\n1,2\n" + nul + "\n", "2:1|2", "3"},
		{"at the end, several lines", "a,b\n1,2\n" + nul + "\n" + nul + "\n" + nul, "2:1|2", "3 4 5"},
		{"between rows", "a,b\n1,2\n" + nul + "\n3,4\n", "2:1|2 4:3|4", "3"},
		{"of one byte", "a,b\n\x00\n3,4\n", "3:3|4", "2"},
		{"CRLF", "a,b\r\n1,2\r\n" + nul + "\r\n3,4\r\n", "2:1|2 4:3|4", "3"},
		{"CR only", "a,b\r1,2\r" + nul + "\r3,4\r" + nul, "2:1|2 4:3|4", "3 5"},
		{"the last row cut off", "a,b\n1,2\n3," + nul, "2:1|2", "3"},
		{"the last row cut off in a quote", "a,b\n1,2\n3,\"x" + nul, "2:1|2", "3"},
		{"a quote open before them", "a,b\n3,\"x\n" + nul + "\n5,6\n", "4:5|6", "2 3"},
		{"behind a blank line", "a,b\n1,2\n\n" + nul + "\n\n3,4", "2:1|2 6:3|4", "4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, src := range []io.Reader{strings.NewReader(c.text), iotest.OneByteReader(strings.NewReader(c.text))} {
				_, rows, bad := readAll(t, src)
				require.Equal(t, c.rows, strings.Join(rows, " "))
				require.Equal(t, c.bad, strings.Join(bad, " "))
			}
		})
	}
}

// rowsUntil reads rows until an error other than of a single row.
func rowsUntil(src io.Reader) (rows int, err error) {
	r, err := newCSVReader(src, "log.csv")
	for err == nil || err == errBadRow {
		if _, err = r.next(); err == nil {
			rows++
		}
	}
	return rows, err
}

func TestNULBytesAmongDataNameTheirLine(t *testing.T) {
	for _, c := range []struct {
		text string
		line string
	}{
		{"a,b\n1,2\n3\x00,4\n5,6\n", "3"},
		{"a,b\n1,2\n\x00\x003,4\n5,6\n", "3"},
		{"a,b\n1,2\n3,4\x00\x00\n5,6\n", "3"},
		{"a,b\n1,2\n3,4\x00\x00\n", "3"},
		{"a,b\n1,2\n3,4\x00\x00x", "3"},
		{"a,b\n1,2\n\x00,\x00\n", "3"},
		{"a,b\n1,2\n\x00\r3,4\n", "3"},
		{"a,b\n1,2\n3,\"x\n\x00\n\"\n5,6\n", "4"},
		{"a,b\n1,2\n3,\"x\x00\"\n5,6\n", "3"},
	} {
		for _, src := range []io.Reader{strings.NewReader(c.text), iotest.OneByteReader(strings.NewReader(c.text))} {
			rows, err := rowsUntil(src)
			require.EqualError(t, err, "log.csv: line "+c.line+": the row holds NUL bytes among its data; delete the row, or the NUL bytes if what is left of it is right", "%q", c.text)
			require.Equal(t, 1, rows)
		}
	}
}

// The rule is the same however far from the beginning the bytes are.
func TestNULBytesMeanTheSameInFilesOfAnySize(t *testing.T) {
	for _, n := range []int{1, 10, readSize/4 - 2, readSize / 4, readSize} {
		text := "a,b\n" + strings.Repeat("1,2\n", n)
		_, rows, bad := readAll(t, strings.NewReader(text+strings.Repeat("\x00", 3*readSize)))
		require.Len(t, rows, n)
		require.Equal(t, []string{strconv.Itoa(n + 2)}, bad)
		_, err := rowsUntil(strings.NewReader(text + "1,\x002\n"))
		require.ErrorContains(t, err, "line "+strconv.Itoa(n+2)+": the row holds NUL bytes among its data")
	}
}

// A file may have been made as long as the disk allows.
func TestNULBytesAtTheEndAreNotKept(t *testing.T) {
	endless := io.LimitReader(zeros{}, 8*maxLine)
	r, err := newCSVReader(io.MultiReader(strings.NewReader("a,b\n1,2\n3,4"), endless), "log.csv")
	require.NoError(t, err)
	for err == nil || err == errBadRow {
		_, err = r.next()
	}
	require.Equal(t, io.EOF, err)
	require.Equal(t, nulTally{cut: 3}, r.nuls)
	require.Less(t, cap(r.buf), 4*maxLine)
}

// zeros gives NUL bytes for ever.
type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}

func TestFilesThatAreBinaryFromTheirBeginning(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"PK\x03\x04\x00\x00", "line 1: the file holds NUL bytes and is not text; give a CSV file, a shapefile or GeoJSON"},
		{"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "line 1: the file holds NUL bytes and is not text"},
		{"\x00\x00\x27\x0a\x00\x00", "line 1: the file holds NUL bytes and is not text"},
		{"t\x00i\x00m\x00e\x00\n\x00", "line 1: the file holds NUL bytes and is not text"},
		{"# made today\n\x00\x00\na,b\n1,2\n", "line 2: the file holds NUL bytes and is not text"},
		{"\x00\x00\n\x00", "line 1: the file begins with NUL bytes only: what was logged never reached the disk; copy it again from the machine"},
		{strings.Repeat("\x00", 2*readSize), "line 1: the file begins with NUL bytes only"},
	} {
		_, err := newCSVReader(strings.NewReader(c.text), "log.csv")
		require.ErrorContains(t, err, "log.csv: "+c.want, "%.20q", c.text)
	}
	_, _, bad := readAll(t, strings.NewReader("Größe,Fl\xe4che\n1,2\n\x00\x00"))
	require.Equal(t, []string{"3"}, bad, "text of another code page is text")
}

func TestReadErrorsBehindNULBytesAreTold(t *testing.T) {
	pulled := iotest.ErrReader(errors.New("cable pulled"))
	rows, err := rowsUntil(io.MultiReader(strings.NewReader("a,b\n"+strings.Repeat("1,2\n", readSize/4)), bytes.NewReader(make([]byte, 100)), pulled))
	require.EqualError(t, err, "log.csv: line "+strconv.Itoa(readSize/4+2)+": cannot be read: cable pulled")
	require.Equal(t, readSize/4, rows)
}

// Each line left out is counted, and a note says where.
func TestNULBytesAreCountedAndTold(t *testing.T) {
	read := func(text string) Log {
		path := filepath.Join(t.TempDir(), "log.csv")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		log, err := readLog(LogSpec{Files: []string{path}, Workers: 2}, 20)
		require.NoError(t, err)
		for i := range log.Notes {
			log.Notes[i] = strings.TrimPrefix(log.Notes[i], filepath.Dir(path)+string(filepath.Separator))
		}
		return log
	}
	rows := "time,lon,lat\n" + strings.Repeat("1715000000,-93.5,42.1\n", 20)
	log := read(rows + strings.Repeat("\x00", 4096))
	require.Equal(t, 20, log.Len())
	require.Equal(t, 21, log.Read)
	require.Equal(t, map[string]int{DropUnreadable: 1}, log.Dropped)
	require.Contains(t, log.Notes, "log.csv: line 22 is left out: it holds nothing but NUL bytes, as where a machine lost power")

	log = read(rows + "\x00\n1715000000,-93.5,42.1\n\x00\x00\n1715000000,-93.5,4\x00\x00")
	require.Equal(t, 21, log.Len())
	require.Equal(t, map[string]int{DropUnreadable: 3}, log.Dropped)
	require.Contains(t, log.Notes, "log.csv: 2 lines are left out, the first of them line 22: they hold nothing but NUL bytes, as where a machine lost power")
	require.Contains(t, log.Notes, "log.csv: line 25, the last, is left out: NUL bytes cut it off, as where a machine lost power")
}
