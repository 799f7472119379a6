package raster

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"math"
	"slices"

	"github.com/stretchr/testify/require"
)

// byteOrder is one that can also append.
type byteOrder interface {
	binary.ByteOrder
	binary.AppendByteOrder
}

// tester is a test, a benchmark, a fuzz target or a random law.
type tester interface {
	require.TestingT
	Helper()
}

// made is a GeoTIFF put together by hand from TIFF 6.0 and OGC 19-008r4, to be read.
type made struct {
	order            byteOrder
	big              bool
	cols, rows       int
	bands            int
	kind             kind
	tileCols, strip  int // strips of so many rows where there are no tiles
	tileRows         int
	separate         bool
	compression      uint64
	predictor        uint64
	value            func(band, col, row int) float64
	noData           string
	origin, step     [2]float64 // upper left corner, size of a pixel
	isPoint          bool
	projected, model int // codes of the coordinate system
	leaveOut         int // a block that the file does without, from 1
	more             []entry
	drop             []uint16
	next             uint64 // place of a directory that follows
}

// entry is a tag with its values as bytes in the order of the file.
type entry struct {
	tag, kind uint16
	count     int
	data      []byte
}

// plainImage is the image that tests vary: 37 x 23 pixels of 10 m in UTM zone 15.
func plainImage() made {
	return made{
		order: binary.LittleEndian, cols: 37, rows: 23, bands: 1, kind: kind{formatFloat, 4}, strip: 5,
		compression: packedNot, predictor: predictorNone,
		value:  func(band, col, row int) float64 { return float64(1+band*5+col+2*row) / 4 },
		origin: [2]float64{450000, 4650000}, step: [2]float64{10, 10}, model: modelProjected, projected: 26915,
	}
}

func (m made) shorts(tag uint16, v ...int) entry {
	var b []byte
	for _, x := range v {
		b = m.order.AppendUint16(b, uint16(x))
	}
	return entry{tag, typeShort, len(v), b}
}

func (m made) longs(tag uint16, v ...int) entry {
	var b []byte
	for _, x := range v {
		b = m.order.AppendUint32(b, uint32(x))
	}
	return entry{tag, typeLong, len(v), b}
}

func (m made) reals(tag uint16, v ...float64) entry {
	var b []byte
	for _, x := range v {
		b = m.order.AppendUint64(b, math.Float64bits(x))
	}
	return entry{tag, typeDouble, len(v), b}
}

func words(tag uint16, s string) entry { return entry{tag, typeText, len(s) + 1, []byte(s + "\x00")} }

// number are the bytes of a pixel's number.
func (m made) number(v float64) []byte {
	switch {
	case m.kind == kind{formatFloat, 4}:
		return m.order.AppendUint32(nil, math.Float32bits(float32(v)))
	case m.kind == kind{formatFloat, 8}:
		return m.order.AppendUint64(nil, math.Float64bits(v))
	case m.kind.bytes == 1:
		return []byte{byte(int64(v))}
	case m.kind.bytes == 2:
		return m.order.AppendUint16(nil, uint16(int64(v)))
	}
	return m.order.AppendUint32(nil, uint32(int64(v)))
}

// block is a strip or tile with its predictor and compression.
func (m made) block(t tester, firstBand, bands, col0, row0, cols, rows int) []byte {
	var all []byte
	for row := row0; row < row0+rows; row++ {
		var line []byte
		for col := col0; col < col0+cols; col++ {
			for b := firstBand; b < firstBand+bands; b++ {
				v := 0.0 // what fills a tile up
				if col < m.cols && row < m.rows {
					v = m.value(b, col, row)
				}
				line = append(line, m.number(v)...)
			}
		}
		all = append(all, m.predict(line, bands)...)
	}
	switch m.compression {
	case packedDeflate, packedZlib:
		var b bytes.Buffer
		w := zlib.NewWriter(&b)
		_, err := w.Write(all)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		return b.Bytes()
	case packedLZW:
		return packLZW(all)
	case packedBits:
		return packBits(all)
	}
	return all
}

// predict takes differences in a row from its end. Sources: TIFF 6.0, section 14; TIFF
// Technical Note 3.
func (m made) predict(line []byte, samples int) []byte {
	n := m.kind.bytes
	switch m.predictor {
	case predictorHorizontal:
		for at := len(line) - n; at >= n*samples; at -= n {
			a, b := m.whole(line[at-n*samples:][:n]), m.whole(line[at:][:n])
			copy(line[at:], m.bytesOf(b-a, n))
		}
	case predictorFloat:
		var planes []byte
		for k := range n {
			for i := 0; i < len(line); i += n {
				number := slices.Clone(line[i : i+n])
				if m.order == byteOrder(binary.LittleEndian) {
					slices.Reverse(number)
				}
				planes = append(planes, number[k])
			}
		}
		for i := len(planes) - 1; i >= samples; i-- {
			planes[i] -= planes[i-samples]
		}
		return planes
	}
	return line
}

func (m made) whole(b []byte) uint64 {
	switch len(b) {
	case 1:
		return uint64(b[0])
	case 2:
		return uint64(m.order.Uint16(b))
	case 4:
		return uint64(m.order.Uint32(b))
	}
	return m.order.Uint64(b)
}

func (m made) bytesOf(v uint64, n int) []byte {
	switch n {
	case 1:
		return []byte{byte(v)}
	case 2:
		return m.order.AppendUint16(nil, uint16(v))
	case 4:
		return m.order.AppendUint32(nil, uint32(v))
	}
	return m.order.AppendUint64(nil, v)
}

// packLZW writes codes of 9 bits, cleared before they would grow.
func packLZW(data []byte) []byte {
	var out []byte
	var bits, have uint
	put := func(code uint) {
		bits, have = bits<<9|code, have+9
		for have >= 8 {
			out = append(out, byte(bits>>(have-8)))
			have -= 8
		}
		bits &= 1<<have - 1
	}
	for i, b := range data {
		if i%200 == 0 {
			put(256)
		}
		put(uint(b))
	}
	put(257)
	return append(out, byte(bits<<(8-have)))
}

// packBits writes runs of three and more as runs.
func packBits(data []byte) []byte {
	var out []byte
	for len(data) > 0 {
		run := 1
		for run < len(data) && run < 128 && data[run] == data[0] {
			run++
		}
		if run >= 3 {
			out, data = append(out, byte(1-run), data[0]), data[run:]
			continue
		}
		n := min(len(data), 7)
		out = append(out, 0x80) // says nothing
		out, data = append(append(out, byte(n-1)), data[:n]...), data[n:]
	}
	return out
}

// bytes lays the file out: head, blocks, directory, values of its tags.
func (m made) bytes(t tester) []byte {
	head := 8
	if m.big {
		head = 16
	}
	out := make([]byte, head)
	var offsets, counts []int
	put := func(b []byte) {
		if len(offsets)+1 == m.leaveOut {
			offsets, counts = append(offsets, 0), append(counts, 0)
			return
		}
		offsets, counts = append(offsets, len(out)), append(counts, len(b))
		out = append(out, b...)
	}
	cols, rows := m.cols, m.strip
	if m.tileCols > 0 {
		cols, rows = m.tileCols, m.tileRows
	}
	perPass, passes := m.bands, 1
	if m.separate {
		perPass, passes = 1, m.bands
	}
	for pass := range passes {
		for row := 0; row < m.rows; row += rows {
			for col := 0; col < m.cols; col += cols {
				high := rows
				if m.tileCols == 0 {
					high = min(rows, m.rows-row)
				}
				put(m.block(t, pass*perPass, perPass, col, row, cols, high))
			}
		}
	}
	entries := m.entries(offsets, counts)
	at := len(out)
	out = m.directory(out, entries)
	m.head(out, at)
	return out
}

func (m made) head(out []byte, at int) {
	copy(out, "II")
	if m.order == byteOrder(binary.BigEndian) {
		copy(out, "MM")
	}
	if m.big {
		m.order.PutUint16(out[2:], 43)
		m.order.PutUint16(out[4:], 8)
		m.order.PutUint64(out[8:], uint64(at))
		return
	}
	m.order.PutUint16(out[2:], 42)
	m.order.PutUint32(out[4:], uint32(at))
}

func (m made) entries(offsets, counts []int) []entry {
	planar := 1
	if m.separate {
		planar = 2
	}
	perBand := func(v int) []int { return slices.Repeat([]int{v}, m.bands) }
	list := []entry{
		m.longs(tagCols, m.cols), m.longs(tagRows, m.rows), m.shorts(tagBits, perBand(8*m.kind.bytes)...),
		m.shorts(tagCompression, int(m.compression)), m.shorts(tagPhotometric, 1), m.shorts(tagSamples, m.bands),
		m.shorts(tagPlanar, planar), m.shorts(tagPredictor, int(m.predictor)), m.shorts(tagSampleFormat, perBand(int(m.kind.format))...),
	}
	if m.tileCols > 0 {
		list = append(list, m.shorts(tagTileCols, m.tileCols), m.shorts(tagTileRows, m.tileRows), m.longs(tagTileOffsets, offsets...), m.longs(tagTileCounts, counts...))
	} else {
		list = append(list, m.longs(tagStripOffsets, offsets...), m.shorts(tagRowsPerStrip, m.strip), m.longs(tagStripCounts, counts...))
	}
	if m.bands > 1 {
		list = append(list, m.shorts(tagExtra, slices.Repeat([]int{0}, m.bands-1)...))
	}
	tie := m.origin
	if m.isPoint {
		tie = [2]float64{m.origin[0] + m.step[0]/2, m.origin[1] - m.step[1]/2}
	}
	list = append(list, m.reals(tagPixelScale, m.step[0], m.step[1], 0), m.reals(tagTiepoint, 0, 0, 0, tie[0], tie[1], 0))
	if m.model > 0 {
		raster, key := pixelIsArea, keyProjected
		if m.isPoint {
			raster = pixelIsPoint
		}
		if m.model == modelGeographic {
			key = keyGeodetic
		}
		list = append(list, m.shorts(tagGeoKeys, 1, 1, 0, 3, keyModel, 0, 1, m.model, keyRasterType, 0, 1, raster, key, 0, 1, m.projected))
	}
	if m.noData != "" {
		list = append(list, words(tagNoData, m.noData))
	}
	list = slices.DeleteFunc(list, func(e entry) bool {
		return slices.Contains(m.drop, e.tag) || slices.ContainsFunc(m.more, func(o entry) bool { return o.tag == e.tag })
	})
	list = append(list, m.more...)
	slices.SortStableFunc(list, func(a, b entry) int { return int(a.tag) - int(b.tag) })
	return list
}

// directory appends the entries and what does not fit into them.
func (m made) directory(out []byte, entries []entry) []byte {
	inline, size := 4, 12
	if m.big {
		inline, size = 8, 20
	}
	word := func(b []byte, v int) []byte {
		if m.big {
			return m.order.AppendUint64(b, uint64(v))
		}
		return m.order.AppendUint32(b, uint32(v))
	}
	count := 2
	if m.big {
		count = 8
	}
	end := len(out) + count + len(entries)*size + inline
	var values []byte
	if m.big {
		out = m.order.AppendUint64(out, uint64(len(entries)))
	} else {
		out = m.order.AppendUint16(out, uint16(len(entries)))
	}
	for _, e := range entries {
		out = m.order.AppendUint16(m.order.AppendUint16(out, e.tag), e.kind)
		out = word(out, e.count)
		if len(e.data) <= inline {
			out = append(out, append(slices.Clone(e.data), make([]byte, inline-len(e.data))...)...)
			continue
		}
		out = word(out, end+len(values))
		values = append(values, e.data...)
	}
	out = word(out, int(m.next))
	return append(out, values...)
}

// open reads the image back.
func (m made) open(t tester, o Options) *Raster {
	t.Helper()
	data := m.bytes(t)
	r, err := Decode(bytes.NewReader(data), int64(len(data)), "made.tif", o)
	require.NoError(t, err)
	return r
}

func (m made) String() string {
	return fmt.Sprintf("%v big %v %v bands %d separate %v tiles %d compression %d predictor %d", m.order, m.big, m.kind, m.bands, m.separate, m.tileCols, m.compression, m.predictor)
}
