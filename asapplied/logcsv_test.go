package asapplied

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

// readAll returns the header, the rows with their lines, and the lines of bad
// rows of a CSV text.
func readAll(t *testing.T, src io.Reader) (names []string, rows, bad []string) {
	t.Helper()
	r, err := newCSVReader(src, "log.csv")
	require.NoError(t, err)
	for {
		line, err := r.next()
		switch {
		case err == io.EOF:
			return r.names, rows, bad
		case err == errBadRow:
			bad = append(bad, fmt.Sprint(line))
		default:
			require.NoError(t, err)
			rows = append(rows, fmt.Sprintf("%d:%s", line, strings.Join(texts(&r.row), "|")))
		}
	}
}

func texts(row *cells) []string {
	var out []string
	for i := range row.len() {
		out = append(out, string(row.at(i)))
	}
	return out
}

func TestCSVRows(t *testing.T) {
	for _, c := range []struct {
		name, text string
		names      string
		rows, bad  string
	}{
		{"plain", "a,b\n1,2\n3,4\n", "a b", "2:1|2 3:3|4", ""},
		{"no line end at the end", "a,b\n1,2", "a b", "2:1|2", ""},
		{"CRLF", "a,b\r\n1,2\r\n", "a b", "2:1|2", ""},
		{"CR only", "a,b\r1,2\r3,4\r", "a b", "2:1|2 3:3|4", ""},
		{"byte order mark", "\xef\xbb\xbfa,b\n1,2\n", "a b", "2:1|2", ""},
		{"semicolons", "a;b\n1,5;2\n", "a b", "2:1,5|2", ""},
		{"tabs", "a\tb\n1\t2\n", "a b", "2:1|2", ""},
		{"separator said", "sep=;\na;b,c\n1;2\n", "a b,c", "3:1|2", ""},
		{"separators in quotes do not count", `"a,b,c";"d"` + "\n1;2\n", "a,b,c d", "2:1|2", ""},
		{"comments and blank lines above", "# made today\n\na,b\n\n1,2\n\n", "a b", "5:1|2", ""},
		{"names trimmed", " a , b \n1,2\n", "a b", "2:1|2", ""},
		{"empty cells", "a,b,c\n,,\n1,,3\n", "a b c", "2:|| 3:1||3", ""},
		{"quotes", "a,b\n\"1,5\",\"say \"\"so\"\"\"\n", "a b", `2:1,5|say "so"`, ""},
		{"line end in quotes", "a,b\n\"1\n2\",3\n4,5\n", "a b", "2:1\n2|3 4:4|5", ""},
		{"quote inside a cell", "a,b\n1\"2,3\n4,5\n", "a b", "3:4|5", "2"},
		{"quote never closed", "a,b\n\"1,2\n3,4\n", "a b", "3:3|4", "2"},
		{"text behind a quote", "a,b\n\"1\"2,3\n4,5\n", "a b", "3:4|5", "2"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, src := range []io.Reader{strings.NewReader(c.text), iotest.OneByteReader(strings.NewReader(c.text))} {
				names, rows, bad := readAll(t, src)
				require.Equal(t, c.names, strings.Join(names, " "))
				require.Equal(t, c.rows, strings.Join(rows, " "))
				require.Equal(t, c.bad, strings.Join(bad, " "))
			}
		})
	}
}

func TestQuoteThatNeverClosesCostsOneRow(t *testing.T) {
	text := "a,b\n\"1,2\n" + strings.Repeat("3,4\n", 50_000)
	_, rows, bad := readAll(t, strings.NewReader(text))
	require.Len(t, rows, 50_000)
	require.Equal(t, []string{"2"}, bad)
}

func TestRowsLongerThanTheBuffer(t *testing.T) {
	long := strings.Repeat("x", 3*readSize)
	_, rows, _ := readAll(t, strings.NewReader("a,b\n"+long+",1\n2,3\n"))
	require.Len(t, rows, 2)
	require.Equal(t, "3:2|3", rows[1])
	require.Len(t, rows[0], len(long)+len("2:|1"))
}

func TestCSVFilesThatAreNone(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "log.csv: line 1: the file is empty; a log starts with a line of column names"},
		{"\n\n", "log.csv: line 1: the file is empty; a log starts with a line of column names"},
		{"\xff\xfea\x00,\x00", "log.csv: line 1: the file is UTF-16 text; save it as CSV in UTF-8"},
		{"\xff\xfe\x00\x00a\x00\x00\x00", "log.csv: line 1: the file is UTF-32 text; save it as CSV in UTF-8"},
		{"\x00\x00\xfe\xff\x00\x00\x00a", "log.csv: line 1: the file is UTF-32 text; save it as CSV in UTF-8"},
		{"PK\x03\x04\x00\x00", "log.csv: line 1: the file holds NUL bytes and is not text; give a CSV file, a shapefile or GeoJSON"},
		{"-93.5,42.1,3\n-93.5,42.1,3\n", `log.csv: line 1: the first line ("-93.5" …) holds values, not names of columns; put a line of names above it, such as time,lon,lat`},
		{"a,\"b\nc", "log.csv: line 1: the header has a quote that is not closed; close it or remove it"},
	} {
		_, err := newCSVReader(strings.NewReader(c.text), "log.csv")
		require.EqualError(t, err, c.want)
	}
	_, err := newCSVReader(iotest.ErrReader(errors.New("disk on fire")), "log.csv")
	require.EqualError(t, err, "log.csv: line 1: cannot be read: disk on fire")
}

func TestReadErrorsComeAfterTheRowsBefore(t *testing.T) {
	src := io.MultiReader(strings.NewReader("a,b\n"+strings.Repeat("1,2\n", readSize/4)+"3,"), iotest.ErrReader(errors.New("cable pulled")))
	r, err := newCSVReader(src, "log.csv")
	require.NoError(t, err)
	n := 0
	for err == nil {
		_, err = r.next()
		n++
	}
	require.ErrorContains(t, err, "cable pulled")
	require.Greater(t, n, readSize/4)
}

// FuzzCSV compares the splitter with encoding/csv where that accepts the text,
// and demands of all other texts that each line belongs to a row or a bad row.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{
		"a,b\n1,2\n", "a;b\r\n1,5;\"x\"\"y\"\r\n", "a\tb\n\"1\n2\"\t3\n", "a,b\n\"1,2\n3,4\n", "\xef\xbb\xbfa,b\n\n1,2", "sep=;\na;b\n1;2\n",
		"a,b\n1,2\n\x00\x00\n3,4\n5,\x00\x00", "a,b\n1,2\x00\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := newCSVReader(bytes.NewReader(data), "fuzz.csv")
		if err != nil {
			return
		}
		sep, from := r.sep, len(data)-len(r.buf)+r.pos
		var rows [][]string
		strict := true
		last := 0
		for {
			line, err := r.next()
			if err == io.EOF {
				break
			}
			if line <= last {
				t.Fatalf("line %d after line %d", line, last)
			}
			last = line
			if err != nil {
				if bytes.IndexByte(data, 0) >= 0 && strings.Contains(err.Error(), "NUL bytes among its data") {
					return
				}
				if err != errBadRow {
					t.Fatal(err)
				}
				strict = false
				continue
			}
			var row []string
			for _, c := range texts(&r.row) {
				row = append(row, strings.ReplaceAll(c, "\r\n", "\n"))
			}
			rows = append(rows, row)
		}
		if r.eol == '\n' && len(data) < readSize && bytes.IndexByte(data, 0) < 0 {
			compareRows(t, data[from:], sep, rows, strict)
		}
	})
}

func compareRows(t *testing.T, rest []byte, sep byte, rows [][]string, strict bool) {
	plain := csv.NewReader(bytes.NewReader(rest))
	plain.Comma, plain.FieldsPerRecord = rune(sep), -1
	want, err := plain.ReadAll()
	if err != nil { // also for a separator that encoding/csv does not take
		return
	}
	if !strict {
		t.Fatalf("encoding/csv reads what is refused here: %q", want)
	}
	if fmt.Sprintf("%q", rows) != fmt.Sprintf("%q", want) {
		t.Fatalf("rows %q, encoding/csv has %q", rows, want)
	}
}
