package vector

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"
)

// requireLearnt passes over a good file for its names and compares them with the
// columns that reading it gave, window by window and byte by byte.
func requireLearnt(t *testing.T, data []byte, want []Column) {
	t.Helper()
	if !bytes.Contains(data, []byte("features")) {
		return // one feature, which Open reads
	}
	for _, s := range []*jsonScanner{
		newJSONScanner("mem", bytes.NewReader(data)), newJSONScanner("mem", iotest.OneByteReader(bytes.NewReader(data))),
	} {
		var c columnSet
		l := learner{s: s, columns: &c}
		require.NoError(t, l.file())
		require.Equal(t, names(want), names(c.columns))
	}
}

func names(columns []Column) []string {
	out := make([]string, 0, len(columns))
	for _, c := range columns {
		out = append(out, c.Name)
	}
	return out
}

// late is a file whose first features have one property, and later ones others.
func late() string {
	var b strings.Builder
	b.WriteString(`{"features":[`)
	for i := range 3 * readAhead {
		more := ""
		switch i {
		case readAhead + 1:
			more = `,"text \"}]":"[{\\\"","nested":{"not":[1,{"this":"]"}]},"empty":{},"none":null`
		case readAhead + 2:
			more = `,"truth" : true , "number":-1.5e3` + "\n"
		}
		id := ""
		if i == 2*readAhead {
			id = `"id":7,`
		}
		fmt.Fprintf(&b, `{"type":"Feature",%s"geometry":{"type":"Point","coordinates":[-93.6, 42.%d]},"properties":{"first":%d%s},"other":{"properties":{"no":1}}},`, id, i, i, more)
	}
	b.WriteString(`{"properties":{"last":1},"geometry":null,"type":"Feature"}],"type":"FeatureCollection"}`)
	return b.String()
}

func TestColumnsThatBeginLateAreLearnt(t *testing.T) {
	path := writeFile(t, "late.geojson", []byte(late()))
	r, err := Open(path, Options{})
	require.NoError(t, err)
	require.Equal(t, []string{"first"}, names(r.Header().Columns))
	r.LearnColumns()
	want := []string{"first", `text "}]`, "nested", "empty", "none", "truth", "number", "id", "last"}
	require.Equal(t, want, names(r.Header().Columns))
	l, err := r.all()
	require.NoError(t, err)
	whole, err := Read(path, Options{})
	require.NoError(t, err)
	require.Equal(t, whole, l)
	require.Equal(t, want, names(whole.Columns), "a layer read whole never lacked them")
	requireLearnt(t, []byte(late()), whole.Columns)
}

// What is wrong with a file is told by reading it, whether its names were learnt
// or not.
func TestLearningLeavesFaultsToReading(t *testing.T) {
	text := late()
	for cut := len(text) * 2 / 3; cut < len(text); cut += 101 {
		path := writeFile(t, "cut.geojson", []byte(text[:cut]))
		_, want := Read(path, Options{})
		require.Error(t, want)
		r, err := Open(path, Options{})
		require.NoError(t, err)
		r.LearnColumns()
		_, err = r.all()
		require.Equal(t, want, err)
	}
}
