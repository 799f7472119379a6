package asapplied

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// oddLog makes logs with all that a real one may have amiss.
type oddLog struct {
	*rand.Rand
	sep, eol string
	point    string
	at       time.Time
	texts    bool // times are local text
	masks    bool // sections are bit masks
	header   string
}

func newOddLog(r *rand.Rand) *oddLog {
	o := &oddLog{Rand: r, sep: pick(r, ",", ";", "\t"), eol: pick(r, "\n", "\n", "\r\n", "\r"), point: ".", texts: r.IntN(2) == 0}
	if o.sep != "," && r.IntN(2) == 0 {
		o.point = ","
	}
	o.at = time.Date(2024, 11, 3, 5, 30, 0, 0, time.UTC) // 00:30 in Chicago, with the clock set back at 2:00
	if r.IntN(4) == 0 {
		o.at = time.Date(2024, 3, 10, 7, 30, 0, 0, time.UTC) // 01:30, with the clock set forward at 2:00
	}
	o.masks = r.IntN(3) == 0
	names := []string{"time", "lon", "lat", "heading_deg", "speed_mps", "sections", "working", "fix", "load", "machine", "left", "right", "depth_cm"}
	if r.IntN(4) == 0 {
		for i := range names {
			names[i] = `"` + names[i] + `"`
		}
	}
	o.header = strings.Join(names, o.sep)
	return o
}

func pick(r *rand.Rand, of ...string) string { return of[r.IntN(len(of))] }

// number writes a value, or now and then what is none.
func (o *oddLog) number(v float64, decimals int) string {
	if o.IntN(40) == 0 {
		return pick(o.Rand, "", " ", "NaN", "inf", "-", "1e400", "-9999999", "abc", "1.2.3", "7e-1")
	}
	return strings.Replace(fmt.Sprintf("%.*f", decimals, v), ".", o.point, 1)
}

func (o *oddLog) time() string {
	o.at = o.at.Add(time.Duration(o.IntN(120_000)) * time.Millisecond)
	switch {
	case o.IntN(60) == 0:
		return pick(o.Rand, "", "soon", "1")
	case o.texts:
		return o.at.Add(time.Duration(o.IntN(2)-6) * time.Hour).Format("01/02/2006 15:04:05.000")
	}
	return strings.Replace(fmt.Sprintf("%.3f", float64(o.at.UnixMilli())/1e3), ".", o.point, 1)
}

func (o *oddLog) row() string {
	on := fmt.Sprintf("%06b", o.IntN(64))
	if o.masks {
		on = fmt.Sprint(o.IntN(1 << (o.IntN(12) + 1)))
	}
	if o.IntN(25) == 0 {
		on = pick(o.Rand, "", "110230", "x", "1 0 1 1 1 1", "'101010")
	}
	cells := []string{
		o.time(), o.number(-93.5+o.Float64()/100, 10), o.number(42.3+o.Float64()/100, 10), o.number(o.Float64()*400, 2),
		o.number(2.5, 3), on, pick(o.Rand, "1", "0", "1", "on", "2", "", "x"), pick(o.Rand, "4", "4", "5", "4", "0", "", "?"),
		pick(o.Rand, "a", "b", " a", "", "ä"), pick(o.Rand, "north", "south"),
		o.number(o.Float64()*200, 1), o.number(o.Float64()*200, 1), o.number(10, 0),
	}
	if o.IntN(30) == 0 {
		cells[8] = pick(o.Rand, `"a"`, `"a`+o.sep+`b"`, `"a""b"`)
	}
	return strings.Join(cells, o.sep)
}

// line is a row or what stands between rows.
func (o *oddLog) line(wild bool) string {
	switch k := o.IntN(60); {
	case k == 0:
		return ""
	case k == 1:
		return strings.Repeat(o.sep, strings.Count(o.header, o.sep))
	case k == 2:
		return o.header
	case k == 3:
		return o.row() + o.sep + "more"
	case k == 4:
		return o.row() + o.sep + o.sep
	case k == 5:
		return "cut" + o.sep + "short"
	case k == 6:
		return "# a remark"
	case k == 10:
		return strings.Repeat("\x00", 1+o.IntN(200))
	case wild && k == 7:
		return strings.Replace(o.row(), "north", `"no`+o.eol+`rth"`, 1)
	case wild && k == 8:
		return strings.Replace(o.row(), "north", `"north`, 1)
	case wild && k == 9:
		return strings.Replace(o.row(), "north", `no"r"th`, 1)
	}
	return o.row()
}

// wrong is a row that ends the reading.
func (o *oddLog) wrong() string {
	cells := strings.Split(o.header, o.sep)
	for i := range cells {
		cells[i] = "1"
	}
	cells[0], cells[1], cells[2] = "11/03/2024 12:00:00", "-93"+o.point+"5", "42"+o.point+"3"
	if o.texts && o.IntN(2) == 0 {
		cells[0], cells[5] = "25/12/2024 10:00:00", "111111"
	} else {
		if !o.texts {
			cells[0] = "1715000000"
		}
		cells[5] = pick(o.Rand, "11", "1111111", "1111\x00\x00")
	}
	return strings.Join(cells, o.sep)
}

func (o *oddLog) text() string {
	var b strings.Builder
	b.WriteString(pick(o.Rand, "", "\xef\xbb\xbf", "# made by hand"+o.eol, "sep="+o.sep+o.eol))
	b.WriteString(o.header + o.eol)
	wild, faults := o.IntN(6) == 0, o.IntN(3)*o.IntN(2)
	lines := 3 + o.IntN(150)
	for i := range lines {
		line := o.line(wild)
		if faults > 0 && o.IntN(lines) < 2 {
			line = o.wrong()
			faults--
		}
		b.WriteString(line)
		if i < lines-1 || o.IntN(2) == 0 {
			b.WriteString(o.eol)
		}
	}
	if o.IntN(5) == 0 {
		b.WriteString(strings.Repeat("\x00", 1+o.IntN(2000)))
	}
	return b.String()
}

func (o *oddLog) spec(files ...string) LogSpec {
	spec := LogSpec{
		Files: files, Of: unit.Nitrogen, HasOf: true,
		Columns: map[string][]string{"rate": {"left", "right"}},
		Units:   map[string]string{"rate": "kg/ha", "sections": "string of 6"},
	}
	if o.texts {
		spec.Units["time"] = "m/d/y"
	}
	if o.masks {
		spec.Units["sections"] = "decimal"
	}
	if o.IntN(3) > 0 {
		spec.Zone, _ = time.LoadLocation("America/Chicago")
	}
	return spec
}

// TestPiecesGiveTheSame: a log read in tiny pieces is the log read in one, or
// fails with the same error.
func TestPiecesGiveTheSame(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	dir := t.TempDir()
	seen := map[string]int{}
	digits := regexp.MustCompile(`\d+`)
	for k := range uint64(250) {
		o := newOddLog(rand.New(rand.NewPCG(seed, k)))
		paths := []string{filepath.Join(dir, "one.csv"), filepath.Join(dir, "two.csv")}[:1+o.IntN(2)]
		for _, path := range paths {
			require.NoError(t, os.WriteFile(path, []byte(o.text()), 0o600))
		}
		spec := o.spec(paths...)
		spec.Workers = 1
		want, wantErr := readLog(spec, 1)
		spec.Workers = 2 + o.IntN(3)
		got, err := readLog(spec, 1+o.Int64N(300))
		require.Equal(t, wantErr, err, "log %d", k)
		if a, b := fmt.Sprintf("%#v", want), fmt.Sprintf("%#v", got); a != b { // as text, NaN is like NaN
			require.Equal(t, strings.Split(a, ", "), strings.Split(b, ", "), "log %d", k)
		}
		count(seen, &want, err, digits)
	}
	for _, kind := range append(oddTexts, "log", DropRagged, DropUnreadable, DropHeaderAgain, DropEmpty, DropNoPosition, DropNoFix, DropNoTime) {
		require.NotZero(t, seen[kind], "never made: %s", kind)
	}
}

// oddTexts are in what is said of the oddities, each number written as N.
var oddTexts = []string{
	"has N sections, units say N", "does not fit the order of day and month", "values could not be used",
	"states of error", "cannot be read in N records", "name no zone", "do not exist in America/Chicago", "is the highest ever on",
	"holds nothing but NUL bytes", "hold nothing but NUL bytes", "NUL bytes cut it off", "NUL bytes among its data",
}

// count notes which oddities a log had.
func count(seen map[string]int, log *Log, err error, digits *regexp.Regexp) {
	texts := log.Notes
	if err != nil {
		texts = []string{err.Error()}
	} else {
		seen["log"]++
	}
	for reason := range log.Dropped {
		seen[reason]++
	}
	for _, text := range texts {
		text = digits.ReplaceAllString(text, "N")
		for _, part := range oddTexts {
			if strings.Contains(text, part) {
				seen[part]++
			}
		}
	}
}

// TestPiecesAreCut: the comparison above compares pieces with one piece.
func TestPiecesAreCut(t *testing.T) {
	for _, c := range []struct {
		name, text string
		pieces     int // 0 where the file is read in one
	}{
		{"plain", "lon,lat\n1,1\n2,2\n3,3\n4,4\n", 4},
		{"no line end at the end", "lon,lat\n1,1\n2,2\n3,3\n4,4", 4},
		{"quotes that close", "\"lon\",\"lat\"\n1,\"1\"\n2,2\n\"3\",3\n4,4\n", 4},
		{"a quote that stays open", "lon,lat\n1,1\n2,2\n3,\"3\n4,4\n", 0},
		{"a quote that stays open at the end", "lon,lat\n1,1\n2,2\n3,3\n4,\"4", 0},
		{"one long line", "lon,lat\n1,1," + strings.Repeat(" ", 10_000), 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "log.csv")
			require.NoError(t, os.WriteFile(path, []byte(c.text), 0o600))
			table, err := openCSV(path)
			require.NoError(t, err)
			defer table.close()
			r := &fileReader{table: table, about: table.info(), spec: LogSpec{Workers: 2}}
			pieces, _ := r.pieces(4)
			require.Len(t, pieces, c.pieces)
			rest, line := strings.Index(c.text, "\n")+1, 2
			for _, p := range pieces {
				require.Equal(t, int64(rest), p.from)
				require.Equal(t, line, p.line)
				require.Equal(t, line-2, p.at)
				part := c.text[p.from:p.to]
				require.Equal(t, len(strings.Split(strings.TrimSuffix(part, "\n"), "\n")), p.rows)
				rest, line = int(p.to), line+p.rows
			}
			if c.pieces > 0 {
				require.Equal(t, len(c.text), rest)
			}
		})
	}
}

// TestPiecesCutWhereTheClockIsSetBack: the hour that occurs twice is told apart
// by what comes before, which a piece does not know.
func TestPiecesCutWhereTheClockIsSetBack(t *testing.T) {
	loc, err := time.LoadLocation("America/Chicago")
	require.NoError(t, err)
	var b strings.Builder
	b.WriteString("time,lon,lat\n")
	start := time.Date(2024, 11, 3, 5, 30, 0, 0, time.UTC)
	for i := range 180 {
		fmt.Fprintf(&b, "%s,-93.5,42.%04d\n", start.Add(time.Duration(i)*time.Minute).In(loc).Format("2006-01-02 15:04:05"), i)
	}
	path := filepath.Join(t.TempDir(), "log.csv")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o600))
	log, err := readLog(LogSpec{Files: []string{path}, Zone: loc, Workers: 2}, 100)
	require.NoError(t, err)
	for i, ns := range log.TimeNS {
		require.Equal(t, start.Add(time.Duration(i)*time.Minute).UnixNano(), ns, "record %d", i)
	}
}
