package raster

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/crs"
	"ratewright/geo/vector"
)

// allKinds are the types of numbers that are read.
var allKinds = []kind{
	{formatUnsigned, 1},
	{formatUnsigned, 2},
	{formatUnsigned, 4},
	{formatSigned, 1},
	{formatSigned, 2},
	{formatSigned, 4},
	{formatFloat, 4},
	{formatFloat, 8},
}

// valueFor is a number that the type can have, some of them at its bounds.
func valueFor(k kind) func(band, col, row int) float64 {
	low, high := k.bounds()
	if k.format == formatFloat {
		low, high = -math.MaxFloat32, math.MaxFloat32
	}
	return func(band, col, row int) float64 {
		switch n := (7*band + 3*col + 11*row) % 29; n {
		case 0:
			return low
		case 1:
			return high
		default:
			if k.format == formatFloat {
				return float64(n)/32 - 0.25
			}
			return float64(4 * n)
		}
	}
}

// Every way to write the same numbers reads the same.
func TestEveryLayoutReads(t *testing.T) {
	type coding struct{ compression, predictor uint64 }
	codings := []coding{
		{packedNot, 1},
		{packedBits, 1},
		{packedLZW, 1},
		{packedLZW, 2},
		{packedLZW, 3},
		{packedDeflate, 1},
		{packedDeflate, 2},
		{packedDeflate, 3},
		{packedZlib, 1},
	}
	for _, order := range []byteOrder{binary.LittleEndian, binary.BigEndian} {
		for _, k := range allKinds {
			for _, c := range codings {
				if c.predictor == predictorFloat && k.format != formatFloat {
					continue
				}
				for form := range 16 {
					m := plainImage()
					m.order, m.kind, m.compression, m.predictor, m.value = order, k, c.compression, c.predictor, valueFor(k)
					m.big, m.separate = form&1 != 0, form&2 != 0
					if form&4 != 0 {
						m.tileCols, m.tileRows = 16, 16
					}
					if form&8 != 0 {
						m.bands = 3
					}
					checkPixels(t, m)
				}
			}
		}
	}
}

func checkPixels(t *testing.T, m made) {
	t.Helper()
	r := m.open(t, Options{})
	cols, rows := r.Size()
	require.Equal(t, [3]int{m.cols, m.rows, m.bands}, [3]int{cols, rows, r.Bands()})
	require.Equal(t, m.kind.String(), r.Type())
	for band := range m.bands {
		for row := range m.rows {
			for col := range m.cols {
				v, ok, err := r.Pixel(band+1, col, row)
				if want := m.value(band, col, row); err != nil || !ok || v != want {
					require.FailNow(t, "a pixel is not as written", "%v at band %d, column %d, row %d: %v, %v, %v and not %v", m, band, col, row, v, ok, err, want)
				}
			}
		}
	}
}

func TestWhatHasNoData(t *testing.T) {
	at := func(r *Raster, col, row int) bool {
		_, ok, err := r.Pixel(1, col, row)
		require.NoError(t, err)
		return ok
	}
	m := plainImage()
	m.value = func(_, col, _ int) float64 {
		return []float64{0.1, 0.2, math.NaN(), math.Inf(1), -3.4028234663852886e38}[col%5]
	}
	for _, c := range []struct {
		text string
		data [5]bool
	}{
		{"", [5]bool{true, true, false, false, true}},
		{"nan", [5]bool{true, true, false, false, true}},
		{"0.1", [5]bool{false, true, false, false, true}}, // float32(0.1) is not 0.1
		{" -3.4028234663852886e+38 ", [5]bool{true, true, false, false, false}},
		{"1e999", [5]bool{true, true, false, false, true}},
	} {
		m.noData = c.text
		r := m.open(t, Options{})
		for col, want := range c.data {
			assert.Equal(t, want, at(r, col, 0), "%q in column %d", c.text, col)
		}
	}

	m = plainImage()
	m.kind, m.value, m.noData = kind{formatUnsigned, 1}, func(_, col, _ int) float64 { return float64(col) }, "-9999"
	r := m.open(t, Options{})
	require.Len(t, r.Notes(), 1)
	assert.Contains(t, r.Notes()[0], "no pixel of type uint8 can be -9999")
	assert.True(t, at(r, 0, 0))

	m.noData, m.leaveOut = "", 2
	r = m.open(t, Options{})
	assert.True(t, at(r, 0, 4))
	assert.False(t, at(r, 0, 5), "the second strip is left out")
	assert.True(t, at(r, 0, 10))

	m = plainImage()
	m.bands, m.more = 2, []entry{m.shorts(tagExtra, 2)}
	m.value = func(band, col, _ int) float64 { return float64(1 - band*(1-col%2)) }
	r = m.open(t, Options{})
	assert.False(t, at(r, 0, 0), "transparent")
	assert.True(t, at(r, 1, 0))
	assert.Contains(t, r.Notes()[0], "band 2 says how solid a pixel is")

	m = plainImage()
	m.noData = "none"
	requireFault(t, m.bytes(t), `made.tif: tag 42113 (GDAL_NODATA): is "none", which is not a number`)
}

// The pixel over a place, by the middle of pixels whatever the file counts from.
func TestPlaces(t *testing.T) {
	utm, err := crs.FromEPSG(26915)
	require.NoError(t, err)
	for _, isPoint := range []bool{false, true} {
		m := plainImage()
		m.isPoint = isPoint
		r := m.open(t, Options{})
		assert.Equal(t, utm.Name(), r.CRSName())
		for _, c := range []struct {
			x, y     float64
			col, row int
			inside   bool
		}{
			{450000.01, 4649999.99, 0, 0, true},
			{450369.99, 4649770.01, 36, 22, true},
			{450009.99, 4649990.01, 0, 0, true},
			{450010.01, 4649989.99, 1, 1, true},
			{449999.99, 4649999.99, 0, 0, false},
			{450000.01, 4650000.01, 0, 0, false},
			{450370.01, 4649770.01, 0, 0, false},
		} {
			lon, lat, err := utm.ToDegrees(c.x, c.y)
			require.NoError(t, err)
			col, row, inside := r.PixelAt(geo.LonLat{lon, lat})
			assert.Equal(t, [3]any{c.col, c.row, c.inside}, [3]any{col, row, inside}, "(%v, %v)", c.x, c.y)
			v, ok, err := r.At(1, geo.LonLat{lon, lat})
			require.NoError(t, err)
			require.Equal(t, c.inside, ok)
			if ok {
				assert.Equal(t, m.value(0, c.col, c.row), v)
			}
		}
		at, err := r.Centre(0, 0)
		require.NoError(t, err)
		x, y, err := utm.FromDegrees(at.Lon(), at.Lat())
		require.NoError(t, err)
		assert.InDelta(t, 450005, x, 1e-4)
		assert.InDelta(t, 4649995, y, 1e-4)
	}

	m := plainImage()
	m.more = []entry{m.reals(tagTiepoint, 2, 3, 0, 450020, 4649970, 0)} // the place of another corner
	box, err := m.open(t, Options{}).Bounds()
	require.NoError(t, err)
	for _, c := range [][2]float64{{450000, 4650000}, {450370, 4649770}} { // 4 m: the box stands upright in degrees
		lon, lat, err := utm.ToDegrees(c[0], c[1])
		require.NoError(t, err)
		assert.True(t, math.Abs(box.Left()-lon) < 5e-5 || math.Abs(box.Right()-lon) < 5e-5)
		assert.True(t, math.Abs(box.Bottom()-lat) < 5e-5 || math.Abs(box.Top()-lat) < 5e-5)
	}

	m = plainImage()
	m.more = []entry{m.reals(tagTransform, 0, 10, 0, 450000, 10, 0, 0, 4650000, 0, 0, 1, 0, 0, 0, 0, 1)}
	m.drop = []uint16{tagPixelScale, tagTiepoint}
	r := m.open(t, Options{}) // on its side: columns go north, rows go east
	lon, lat, err := utm.ToDegrees(450015, 4650025)
	require.NoError(t, err)
	col, row, inside := r.PixelAt(geo.LonLat{lon, lat})
	assert.Equal(t, [3]any{2, 1, true}, [3]any{col, row, inside})
	_, _, inside = r.PixelAt(geo.LonLat{math.NaN(), 42})
	assert.False(t, inside)
}

func TestSystems(t *testing.T) {
	degrees := plainImage()
	degrees.origin, degrees.step = [2]float64{-93.6, 42.01}, [2]float64{1e-4, 1e-4}
	degrees.model, degrees.projected = modelGeographic, 4269
	assert.Equal(t, "NAD83", degrees.open(t, Options{}).CRSName())

	degrees.model = 0
	r := degrees.open(t, Options{})
	assert.Equal(t, "WGS 84", r.CRSName())
	assert.Contains(t, r.Notes()[0], "declares no coordinate system")

	m := plainImage()
	m.model = 0
	requireFault(t, m.bytes(t), "declares no coordinate system, and (450000, 4.65e+06) are no degrees; name its coordinate system")
	assert.Equal(t, "NAD83 / UTM zone 15N", m.open(t, Options{CRS: "EPSG:26915"}).CRSName())

	m.model, m.projected = modelProjected, 3035 // a system of Europe
	requireFault(t, m.bytes(t), "its coordinate system EPSG:3035")
	m.projected = userDefined
	m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 3, keyModel, 0, 1, 1, keyProjected, 0, 1, userDefined, keyCitation, tagGeoText, 8, 0), words(tagGeoText, "my grid|")}
	requireFault(t, m.bytes(t), `its coordinate system has no EPSG code (it is called "my grid")`)
	m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 3, keyModel, 0, 1, 1, keyProjected, 0, 1, 26915, keyLinearUnit, 0, 1, unitFoot)}
	requireFault(t, m.bytes(t), "its coordinates are in unit 9002, and NAD83 / UTM zone 15N is in unit 9001")
}

// requireFault demands an InputError whose text holds some words.
func requireFault(t *testing.T, data []byte, text string) {
	t.Helper()
	r, err := Decode(bytes.NewReader(data), int64(len(data)), "made.tif", Options{})
	if err == nil {
		_, _, err = r.Pixel(1, 0, 0)
	}
	var input *vector.InputError
	require.ErrorAs(t, err, &input)
	require.Contains(t, err.Error(), text)
}

func TestWhatIsRefused(t *testing.T) {
	for text, change := range map[string]func(*made){
		"Compression): is JPEG, which is not read here": func(m *made) { m.more = []entry{m.shorts(tagCompression, 7)} },
		"Compression): is number 999":                   func(m *made) { m.more = []entry{m.shorts(tagCompression, 999)} },
		"Predictor): is 2, and compression 1 has none":  func(m *made) { m.predictor = 2 },
		"Predictor): is 9":                              func(m *made) { m.more = []entry{m.shorts(tagPredictor, 9)} },
		"its pixels are complex numbers":                func(m *made) { m.more = []entry{m.shorts(tagSampleFormat, 6)} },
		"its pixels have 16 bits in format 3":           func(m *made) { m.more = []entry{m.shorts(tagBits, 16)} },
		"BitsPerSample): differs between bands":         func(m *made) { m.bands, m.more = 2, []entry{m.shorts(tagBits, 32, 64)} },
		"its numbers stand for colours":                 func(m *made) { m.more = []entry{m.shorts(tagPhotometric, 3)} },
		"the image is turned or mirrored":               func(m *made) { m.more = []entry{m.shorts(tagOrientation, 3)} },
		"ImageWidth): is 0":                             func(m *made) { m.drop = []uint16{tagCols} },
		"ImageLength): is 4294967295":                   func(m *made) { m.more = []entry{m.longs(tagRows, math.MaxUint32)} },
		"is missing, so that its place is not known":    func(m *made) { m.drop = []uint16{tagTiepoint} },
		"does not say where it lies":                    func(m *made) { m.drop = []uint16{tagTiepoint, tagPixelScale} },
		"ties 2 single points to the ground":            func(m *made) { m.more = []entry{m.reals(tagTiepoint, make([]float64, 12)...)} },
		"two sizes above zero are read":                 func(m *made) { m.step[0] = 0 },
		"value 1 is NaN":                                func(m *made) { m.step[0] = math.NaN() },
		"its pixels have no size":                       func(m *made) { m.more = []entry{m.reals(tagTransform, 1, 1, 0, 0, 1, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1)} },
		"has neither strips nor tiles":                  func(m *made) { m.drop = []uint16{tagStripOffsets} },
		"StripByteCounts): has 0 values for 5 strips":   func(m *made) { m.drop = []uint16{tagStripCounts} },
		"StripOffsets): has 6 values; 1 to 5 are read":  func(m *made) { m.more = []entry{m.longs(tagStripOffsets, 8, 8, 8, 8, 8, 8)} },
		"strip 1: has 10 bytes at 8000000": func(m *made) {
			m.more = []entry{m.longs(tagStripOffsets, 8e6, 8, 8, 8, 8), m.longs(tagStripCounts, 10, 10, 10, 10, 10)}
		},
		"strip 1: is too short for its pixels":        func(m *made) { m.more = []entry{m.longs(tagStripCounts, 10, 10, 10, 10, 10)} },
		"strip 1: cannot be unpacked":                 func(m *made) { m.more = []entry{m.shorts(tagCompression, packedDeflate)} },
		"Compression): has values of type 2":          func(m *made) { m.more = []entry{{tagCompression, typeText, 1, []byte("a")}} },
		"Compression): has 2 values; 1 to 1 are read": func(m *made) { m.more = []entry{m.shorts(tagCompression, 1, 1)} },
		"Compression): stands twice":                  func(m *made) { m.more = []entry{m.shorts(tagCompression, 1), m.shorts(tagCompression, 1)} },
		"GeoKeyDirectory): is of a version":           func(m *made) { m.more = []entry{m.shorts(tagGeoKeys, 2, 1, 0, 0)} },
		"names 9 keys and has room for 0":             func(m *made) { m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 9)} },
		"key 1024 stands twice":                       func(m *made) { m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 2, 1024, 0, 1, 1, 1024, 0, 1, 1)} },
		"its coordinates are geocentric":              func(m *made) { m.model = modelGeocentric },
		"neither PixelIsArea nor PixelIsPoint":        func(m *made) { m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 1, keyRasterType, 0, 1, 7)} },
		"goes round in a circle":                      func(m *made) { m.next = 8 + 37*23*4 }, // its own place
		"points to 2 bytes at 99999":                  func(m *made) { m.next = 99999 },
		"each of its strips or tiles takes": func(m *made) {
			m.more = []entry{m.longs(tagCols, 1<<20), m.longs(tagRowsPerStrip, 23), m.shorts(tagSamples, 9), m.shorts(tagBits, 32), m.shorts(tagSampleFormat, 3)}
		},
	} {
		m := plainImage()
		change(&m)
		t.Run(text, func(t *testing.T) { requireFault(t, m.bytes(t), text) })
	}
	for text, data := range map[string]string{
		"is not a TIFF file": "II*", "made.tif: is not a TIFF": "", "made.tif: is not": "MM\x2a\x00\x00\x00\x00\x08",
		"points to 2 bytes at 4294967295": "II*\x00\xff\xff\xff\xff", "BigTIFF file with a broken head": "II+\x00\x04\x00\x00\x00",
		"its directory at byte 8 has 65535 entries": "II*\x00\x08\x00\x00\x00\xff\xff",
	} {
		requireFault(t, []byte(data), text)
	}
}

// A length that would wrap around behind the end of the file.
func TestHugeCountsDoNotWrapAround(t *testing.T) {
	m := plainImage()
	m.big = true
	m.more = []entry{{tagStripCounts, typeLong8, 5, bytes.Repeat([]byte{0xff}, 40)}}
	requireFault(t, m.bytes(t), "strip 1: has 18446744073709551615 bytes at 16")
}

// Blocks are let go when they become too many, and unpacked again when asked for.
func TestBlocksAreLetGo(t *testing.T) {
	m := plainImage()
	m.tileCols, m.tileRows, m.compression = 16, 16, packedDeflate
	r := m.open(t, Options{})
	r.most = 2000 // a block has 1024 bytes
	for row := range m.rows {
		for col := range m.cols {
			v, ok, err := r.Pixel(1, col, row)
			require.NoError(t, err)
			require.True(t, ok && v == m.value(0, col, row))
			require.LessOrEqual(t, r.bytes, 2000)
			require.Len(t, r.kept, r.bytes/1024)
		}
	}
	r.most = 10
	_, _, err := r.Pixel(1, 0, 0)
	require.NoError(t, err)
	require.Equal(t, 1024, r.bytes)
}

// A strip filled up to the height of the others is read, one whose checksum is wrong not.
func TestChecksums(t *testing.T) {
	m := plainImage()
	m.compression, m.strip = packedDeflate, 23
	data := m.bytes(t)
	r := m.open(t, Options{})
	last := int(r.layout.offsets[0] + r.layout.counts[0] - 1)
	data[last] ^= 1
	requireFault(t, data, "strip 1: cannot be unpacked: zlib: invalid checksum")

	m.more = []entry{m.longs(tagRows, 20), m.shorts(tagRowsPerStrip, 30)} // 3 rows more than it says
	r = m.open(t, Options{})
	v, ok, err := r.Pixel(1, 36, 19)
	require.NoError(t, err)
	require.True(t, ok && v == m.value(0, 36, 19))
}

// A mask beside the image and further images.
func TestMoreImages(t *testing.T) {
	second := func(kind int) []byte {
		m := plainImage()
		data := m.bytes(t)
		at := len(data)
		end := m.directory(nil, []entry{m.longs(tagSubfile, kind)})
		m.next = uint64(at)
		return append(m.bytes(t), end...)
	}
	requireFault(t, second(4), "keeps apart which of its pixels hold something")
	for kind, notes := range map[int]int{1: 0, 0: 1} {
		data := second(kind)
		r, err := Decode(bytes.NewReader(data), int64(len(data)), "made.tif", Options{})
		require.NoError(t, err)
		require.Len(t, r.Notes(), notes)
	}
}

func TestOpen(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.tif")
	m := plainImage()
	m.noData = "-1"
	require.NoError(t, os.WriteFile(path, m.bytes(t), 0o600))
	r, err := Open(path, Options{})
	require.NoError(t, err)
	_, _, err = r.Pixel(2, 0, 0)
	require.ErrorContains(t, err, "has no band 2: it has 1")
	_, _, err = r.Pixel(1, 37, 0)
	require.ErrorContains(t, err, "has no pixel in column 37")
	v, ok := r.NoData()
	assert.Equal(t, [2]any{-1.0, true}, [2]any{v, ok})
	require.NoError(t, r.Close())
	_, _, err = r.Pixel(1, 0, 0)
	require.Error(t, err, "a closed file has no pixels")
	for _, bad := range []string{dir, filepath.Join(dir, "none.tif")} {
		_, err = Open(bad, Options{})
		var input *vector.InputError
		require.True(t, errors.As(err, &input), bad)
	}
}

// Pixels with their middle in a region, by hand: a rectangle from 15 m left of the image
// to 34 m in it has the columns 0, 1, 2 (middles 5, 15, 25) and two left of it; 20 m of its
// height are 2 rows.
func TestEach(t *testing.T) {
	m := plainImage()
	m.noData = "0.75" // column 0, row 1 (1 + 2) / 4 and column 2, row 0
	utm, err := crs.FromEPSG(26915)
	require.NoError(t, err)
	var ring orb.Ring
	for _, c := range [][2]float64{{-15, 0}, {34, 0}, {34, -20}, {-15, -20}, {-15, 0}} {
		lon, lat, err := utm.ToDegrees(450000+c[0], 4650000+c[1])
		require.NoError(t, err)
		ring = append(ring, orb.Point{lon, lat})
	}
	outline, err := geo.NewOutline(orb.Polygon{ring})
	require.NoError(t, err)
	plane, err := geo.PlaneFor(outline)
	require.NoError(t, err)
	region, err := plane.Region(outline)
	require.NoError(t, err)
	for _, tiles := range []int{0, 16} {
		m.tileCols, m.tileRows = tiles, tiles
		r := m.open(t, Options{})
		var sum float64
		c, err := r.Each(1, region, func(v float64) { sum += v })
		require.NoError(t, err)
		assert.Equal(t, Count{Data: 4, Empty: 2, Beyond: 4}, c)
		assert.InDelta(t, (1+2+4+5)/4.0, sum, 1e-12)
		assert.InDelta(t, 0.6, c.Missing(), 1e-12)
		_, err = r.Each(2, region, nil)
		require.ErrorContains(t, err, "has no band 2")
		c, err = r.Each(1, geo.Region{}, nil)
		require.NoError(t, err)
		assert.Equal(t, Count{}, c)
		assert.Equal(t, 1.0, c.Missing())
	}
	m.step = [2]float64{1e-4, 1e-4}
	_, err = m.open(t, Options{}).Each(1, region, nil)
	require.ErrorContains(t, err, "a region spans more than 100 million")
	m = plainImage()
	m.projected = 26955 // the Lambert cone of another state is fine, half the earth is not
	m.more = []entry{m.shorts(tagGeoKeys, 1, 1, 0, 2, keyModel, 0, 1, 1, keyProjected, 0, 1, 32760)}
	_, err = m.open(t, Options{}).Each(1, region, nil)
	require.ErrorContains(t, err, "give an image of the field")
}

// Heads that claim more than there is take no memory for it.
func TestHostileHeadsTakeNoMemory(t *testing.T) {
	for name, change := range map[string]func(*made){
		"offsets": func(m *made) { m.more = []entry{{tagStripOffsets, typeLong, math.MaxUint32, make([]byte, 8)}} },
		"tiles": func(m *made) {
			m.tileCols, m.tileRows, m.more = 1, 1, []entry{m.longs(tagCols, 1<<20), m.longs(tagRows, 1<<20)}
		},
		"text":    func(m *made) { m.more = []entry{{tagNoData, typeText, 1 << 31, make([]byte, 8)}} },
		"keys":    func(m *made) { m.more = []entry{{tagGeoKeys, typeShort, math.MaxUint32, make([]byte, 8)}} },
		"unpacks": func(m *made) { m.compression, m.more = packedDeflate, []entry{m.longs(tagCols, 1<<20)} },
	} {
		m := plainImage()
		change(&m)
		data := m.bytes(t)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		requireFault(t, data, "made.tif: ")
		runtime.ReadMemStats(&after)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<20), name)
	}
}
