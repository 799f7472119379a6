package vector

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Nulls, marks, types and names as strangers write them.
func TestTableOddities(t *testing.T) {
	columns := []string{"NAME,C,8,0", "N,N,6,1", "F,F,6,1", "OK,L,1,0", "DAY,D,8,0", "M,M,10,0", "NAME,C,2,0"}
	rows := []string{
		" caf\xe9    " + " -1.50" + "1.5E+2" + "T" + "20260605" + "         1" + "zz",
		"*" + strings.Repeat("x", 41),
		" a\x00bcdefg" + "\x00\x00\x00\x00\x00\x00" + "******" + "?" + "00000000" + "          " + "  ",
		" " + "  lead  " + "   abc" + "      " + " " + "        " + "          " + "  ",
	}
	var shapes [][]byte
	for range rows {
		shapes = append(shapes, le(int32(1), -93.0, 42.0))
	}
	shp, shx := buildSHP(1, world, shapes...)
	l, err := Read(writeParts(t, map[string][]byte{".shp": shp, ".shx": shx, ".dbf": buildDBF(0x57, columns, rows...), ".prj": []byte(wgs84PRJ)}), Options{})
	require.NoError(t, err)
	assert.Equal(t, map[string]int{SkippedDeleted: 1}, l.Skipped)
	require.Len(t, l.Features, 3)
	assert.Equal(t, []Attribute{
		{"NAME", NewText("café")},
		{"N", Value{"-1.50", KindNumber}},
		{"F", Value{"1.5E+2", KindNumber}},
		{"OK", Value{"T", KindBool}},
		{"DAY", NewText("20260605")},
	}, l.Features[0].Attributes)
	assert.Equal(t, []Attribute{{"NAME", NewText("a")}, {"N", Value{}}, {"F", Value{}}, {"OK", Value{}}, {"DAY", Value{}}}, l.Features[1].Attributes)
	assert.Equal(t, []Attribute{{"NAME", NewText("  lead")}, {"N", NewText("abc")}, {"F", Value{}}, {"OK", Value{}}, {"DAY", Value{}}}, l.Features[2].Attributes)
	assert.Equal(t, 3, l.Features[1].At.Record)
	require.Len(t, l.Notes, 2)
	assert.Contains(t, l.Notes[0], `column M has the type 'M', which is not read`)
	assert.Contains(t, l.Notes[1], `column NAME stands twice; the first is used`)
}

func TestCodePages(t *testing.T) {
	for _, c := range []struct {
		cpg    string
		driver byte
		raw    string
		want   string
		doubt  bool
	}{
		{"UTF-8", 0x57, "caf\xc3\xa9", "café", false},
		{"UTF-8", 0, "abcdefghi\xc3", "abcdefghi", false}, // cut in the middle of a letter
		{"utf8\r\n", 0, "caf\xe9", "café", true},
		{"", 0, "caf\xc3\xa9", "café", false},
		{"", 0, "caf\xe9", "café", false},
		{"", 0x57, "\x80 \x93\xe9\x94", "€ “é”", false},
		{"ANSI 1252", 0, "\x80", "€", false},
		{"ISO-8859-1", 0, "\x80\xe9", "\u0080é", false},
		{"88591", 0, "\xe9", "é", false},
		{"866", 0, "caf\xe9", "café", true},
		{"", 0x01, "plain", "plain", false},
		{"", 0x01, "caf\xe9", "café", true},
	} {
		shp, _ := buildSHP(1, world, le(int32(1), -93.0, 42.0))
		dbf := buildDBF(c.driver, []string{"T,C,10,0"}, fmt.Sprintf(" %s%s", c.raw, strings.Repeat(" ", 10-len(c.raw))))
		l, err := readParts(map[string][]byte{".shp": shp, ".dbf": dbf, ".cpg": []byte(c.cpg), ".prj": []byte(wgs84PRJ)})
		require.NoError(t, err)
		assert.Equal(t, c.want, l.Features[0].Attributes[0].Value.String(), c)
		assert.Equal(t, c.doubt, strings.Contains(strings.Join(l.Notes, "\n"), "may be wrong"), c)
	}
}

// Text columns longer than 255 bytes keep the high byte where numbers have their
// decimals.
func TestLongTextColumn(t *testing.T) {
	text := strings.Repeat("x", 300)
	dbf := buildDBF(0, []string{"T,C,44,1"}, " "+text[:44])
	binary.LittleEndian.PutUint16(dbf[10:], 301)
	dbf = append(dbf[:len(dbf)-1-44], text...)
	shp, _ := buildSHP(1, world, le(int32(1), -93.0, 42.0))
	l, err := readParts(map[string][]byte{".shp": shp, ".dbf": dbf, ".prj": []byte(wgs84PRJ)})
	require.NoError(t, err)
	assert.Equal(t, text, l.Features[0].Attributes[0].Value.String())
}
