package asapplied

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// requirePrintable checks that a text for people does nothing to a terminal.
func requirePrintable(t *testing.T, text string) {
	t.Helper()
	require.True(t, utf8.ValidString(text), "%q", text)
	for _, line := range strings.Split(text, "\n") {
		require.False(t, strings.ContainsFunc(line, unprintable), "%q", line)
	}
}

// A header as it comes from a machine with a code page of its own, or from one
// who means ill: no UTF-8, an escape sequence, a line end, a change of direction.
const oddNames = "time,lon,lat,depth_cm,H\xf6he,\x1b[2Jred,\"two\nlines\",\u202eback"

var oddCells = "2024-05-06T12:00:00Z,-93.5,42.5,7,\xfc,\x1b[31m,\"a\nb\",\u202e\r\n"

func TestWhatCannotBePrintedIsShownEscaped(t *testing.T) {
	require.Equal(t, "Höhe \"über\" \\ N", Shown("Höhe \"über\" \\ N"))
	require.Equal(t, `H\xf6he \x1b[2J \n \u202e`, Shown("H\xf6he \x1b[2J \n \u202e"))
	require.Equal(t, `"\" \x00 �`, Shown("\"\\\" \x00 \ufffd"), "what can be printed stays as it is")

	path := written(t, "log.csv", oddNames+"\n"+oddCells)
	in := inspected(t, path)
	text := in.String()
	requirePrintable(t, text)
	for _, want := range []string{`  H\xf6he  `, `  \x1b[2Jred  `, `  two\nlines  `, `  \u202eback  `, `  \xfc`, `  \x1b[31m`, `  a\nb`} {
		require.Contains(t, text, want)
	}

	_, err := ReadLog(LogSpec{Files: []string{path}, Columns: map[string][]string{"speed": {"moisture"}}})
	require.ErrorContains(t, err, `the columns are time, lon, lat, depth_cm, H\xf6he, \x1b[2Jred, two\nlines, \u202eback`)
	requirePrintable(t, err.Error())

	log, err := ReadLog(LogSpec{Files: []string{path}, Columns: map[string][]string{"load": {"\x1b[2Jred"}, "machine": {"two\nlines"}}})
	require.NoError(t, err)
	for _, use := range log.Mapping {
		requirePrintable(t, strings.Join(use.Columns, ", ")+use.Why)
	}
	require.Equal(t, []string{"a\nb"}, log.Machine) // the value itself stays as it is
}

// A job file made from such names is a job file: nothing of them leaves its
// remark or its text.
func TestSkeletonOfOddNames(t *testing.T) {
	zones := written(t, "zones.geojson", `{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":`+square(-93.6, 42.03)+`,"properties":{"zone":"A\nmachines: {}","other\nunits: si":1}},
{"type":"Feature","geometry":`+square(-93.5, 42.03)+`,"properties":{"zone":"B\u001b[2J","other\nunits: si":2}}]}`)
	text := Skeleton([]Inspection{inspected(t, zones), inspected(t, written(t, "log.csv", oddNames+"\n"+oddCells))})
	requirePrintable(t, text)
	var job struct{ Units string }
	require.NoError(t, yaml.Unmarshal([]byte(text), &job), text)
	require.Equal(t, "us", job.Units)
	require.Equal(t, 1, strings.Count(text, "\nmachines:"))
}

func TestSeparatorIsShownEscaped(t *testing.T) {
	requirePrintable(t, inspected(t, written(t, "log.txt", "sep=\x01\nlon\x01lat\n-93.5\x0142.5\n")).String())
}
