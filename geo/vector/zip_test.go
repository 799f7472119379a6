package vector

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type zipFile struct {
	name    string
	content []byte
}

func buildZip(t testing.TB, files ...zipFile) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.Create(f.name)
		require.NoError(t, err)
		_, err = w.Write(f.content)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// layerFiles are the parts of the small layer under a name of their own.
func layerFiles(stem string) []zipFile {
	var files []zipFile
	for _, ext := range partNames {
		files = append(files, zipFile{stem + ext, oneLayer()[ext]})
	}
	return files
}

func readZip(t testing.TB, b []byte) (Layer, error) {
	t.Helper()
	return Read(writeFile(t, "zones.zip", b), Options{})
}

func TestZipOfOneShapefile(t *testing.T) {
	want, err := Read(writeParts(t, oneLayer()), Options{})
	require.NoError(t, err)
	for _, files := range [][]zipFile{
		layerFiles("zones"),
		append(layerFiles("a/b/ZONES.v2"), zipFile{"a/b/readme.txt", nil}, zipFile{"__MACOSX/a/b/._ZONES.v2.shp", []byte("x")}, zipFile{"a/", nil}),
		{{"z.SHP", oneLayer()[".shp"]}, {"Z.DBF", oneLayer()[".dbf"]}, {"z.Shx", oneLayer()[".shx"]}, {"z.prj", oneLayer()[".prj"]}},
	} {
		got, err := readZip(t, buildZip(t, files...))
		require.NoError(t, err)
		assert.Equal(t, "zipped shapefile", got.Format)
		assert.Empty(t, got.Notes)
		require.Len(t, got.Features, 2)
		for i, f := range got.Features {
			assert.Equal(t, want.Features[i].Outline, f.Outline)
			assert.Equal(t, want.Features[i].Attributes, f.Attributes)
		}
	}
}

func TestZipRefusals(t *testing.T) {
	shp := oneLayer()[".shp"]
	huge := make([]byte, 70<<20)
	copy(huge, shp)
	binary.BigEndian.PutUint32(huge[24:], 35<<20)
	many := make([]zipFile, zipMaxEntries+1)
	for i := range many {
		many[i].name = fmt.Sprint(i)
	}
	for _, c := range []struct {
		files []zipFile
		want  string
	}{
		{nil, "zones.zip: the zip has no .shp and no other file; zip the parts of one shapefile"},
		{[]zipFile{{"a.txt", nil}, {"inner.zip", nil}}, "zones.zip: the zip has no .shp, but a.txt, inner.zip; zip the parts of one shapefile"},
		{append(layerFiles("a"), layerFiles("b")...), "zones.zip: the zip holds several layers: a.shp, b.shp; unpack it and name one .shp"},
		{append(layerFiles("a"), zipFile{"A.dbf", nil}), "zones.zip: the zip holds A.dbf twice; make the zip again"},
		{append(layerFiles("a"), zipFile{"../../etc/passwd", nil}), `zones.zip: the entry "../../etc/passwd" leads out of the zip; do not use this zip`},
		{append(layerFiles("a"), zipFile{`b\..\..\x`, nil}), `zones.zip: the entry "b\\..\\..\\x" leads out of the zip; do not use this zip`},
		{append(layerFiles("a"), zipFile{"/etc/passwd", nil}), `zones.zip: the entry "/etc/passwd" leads out of the zip; do not use this zip`},
		{append(layerFiles("a"), zipFile{`C:\x`, nil}), `zones.zip: the entry "C:\\x" leads out of the zip; do not use this zip`},
		{[]zipFile{{"a.shp", huge}}, "zones.zip: its parts unpack to more than 200 times their size; unpack it by hand and look at it"},
		{many, "zones.zip: the zip has 10001 entries, and no more than 10000 are read; zip only the shapefile"},
	} {
		_, err := readZip(t, buildZip(t, c.files...))
		require.Error(t, err, c.want)
		assert.Equal(t, c.want, messageOf(t, err))
	}
}

// What a zip promises and what it holds may differ.
func TestZipThatLies(t *testing.T) {
	good := buildZip(t, layerFiles("zones")...)
	directory := bytes.LastIndex(good, []byte("PK\x01\x02"))
	first := bytes.Index(good, []byte("PK\x01\x02"))
	require.Less(t, first, directory)
	for name, c := range map[string]struct {
		change func([]byte)
		want   string
	}{
		"encrypted":         {func(b []byte) { b[first+8] |= 1 }, "zones.shp is encrypted; make the zip again without a password"},
		"method":            {func(b []byte) { b[first+10] = 14 }, "zones.shp is packed by method 14, which is not read; make the zip again as a plain zip"},
		"beyond the limit":  {func(b []byte) { binary.LittleEndian.PutUint32(b[first+24:], 0xfffffff0) }, "zones.shp unpacks to more than 2 GiB; give a smaller file, unpacked"},
		"longer than given": {func(b []byte) { binary.LittleEndian.PutUint32(b[first+24:], 456-128) }, "copy or export it again"},
		"wrong checksum":    {func(b []byte) { b[first+16]++ }, "checksum"},
		"no zip at all":     {func(b []byte) { clear(b) }, "is not a zip that can be read"},
	} {
		b := append([]byte(nil), good...)
		c.change(b)
		_, err := readZip(t, b)
		require.Error(t, err, name)
		assert.Contains(t, messageOf(t, err), c.want, name)
	}
	// More in the entry than it promises, with lengths in the .shp that fit the promise.
	long := append(append([]byte(nil), oneLayer()[".shp"]...), make([]byte, 64)...)
	b := buildZip(t, zipFile{"zones.shp", long})
	at := bytes.Index(b, []byte("PK\x01\x02"))
	binary.LittleEndian.PutUint32(b[at+24:], uint32(len(long)-64))
	_, err := readZip(t, b)
	require.Error(t, err)
	messageOf(t, err)
}

func TestZipCutAnywhere(t *testing.T) {
	good := buildZip(t, layerFiles("zones")...)
	path := filepath.Join(t.TempDir(), "zones.zip")
	for n := range len(good) {
		require.NoError(t, writeTo(path, good[:n]))
		_, err := Read(path, Options{})
		require.Error(t, err, "cut at %d", n)
		messageOf(t, err)
	}
}

func TestZipOutOfOrder(t *testing.T) {
	parts := oneLayer()
	shx := parts[".shx"]
	swapped := append([]byte(nil), shx...)
	copy(swapped[100:], shx[108:116])
	copy(swapped[108:], shx[100:108])
	files := layerFiles("zones")
	files[1].content = swapped
	_, err := readZip(t, buildZip(t, files...))
	require.Error(t, err)
	assert.True(t, strings.HasSuffix(messageOf(t, err), "its records do not stand in the order of its .shx; unpack the zip and read the .shp"))
}
