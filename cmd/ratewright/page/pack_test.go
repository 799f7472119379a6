package page

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// unpacked is a stride as the script sees it: whole units, -1<<60 for unknown.
type unpacked struct {
	quad              [8]int64 // in the order of Stride.Quad
	from, to          int64
	time, rate, depth int64
	joins             bool
}

const unknown = -1 << 60

// unpack reads packed strides as web/decode.ts does.
func unpack(t require.TestingT, packed []byte) (strides []unpacked, first []uint32) {
	raw, err := io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	require.NoError(t, err)
	u32 := func() uint32 {
		v := binary.LittleEndian.Uint32(raw)
		raw = raw[4:]
		return v
	}
	n, tracks := int(u32()), int(u32())
	for range tracks {
		first = append(first, u32())
	}
	var cols [14][]byte
	for i := range cols {
		size := u32()
		cols[i], raw = raw[:size], raw[size:]
	}
	require.Empty(t, raw)
	unsigned := func(c int) uint64 {
		v, size := binary.Uvarint(cols[c])
		require.Positive(t, size)
		cols[c] = cols[c][size:]
		return v
	}
	unzig := func(u uint64) int64 { return int64(u>>1) ^ -int64(u&1) }
	signed := func(c int) int64 { return unzig(unsigned(c)) }
	var last [14]int64
	known := func(c int) int64 {
		if len(cols[c]) == 0 && last[c] == 0 {
			return unknown
		}
		u := unsigned(c)
		if u == 0 {
			return unknown
		}
		last[c] += unzig(u - 1)
		return last[c]
	}
	var start, front [4]int64
	var was [2]int64
	end := int64(0)
	for range n {
		var s unpacked
		var back [4]int64
		s.joins = unsigned(0) == 1
		if s.joins {
			back = front
		} else {
			for i := range start {
				start[i] += signed(1 + i)
			}
			back = start
		}
		for i := range 2 {
			guess := back[i]
			if s.joins {
				guess += back[i] - was[i]
			}
			front[i] = guess + signed(5+i)
		}
		for i := range 2 {
			front[2+i] = front[i] + back[2+i] - back[i] + signed(7+i)
		}
		was = [2]int64{back[0], back[1]}
		s.quad = [8]int64{back[0], back[1], back[2], back[3], front[2], front[3], front[0], front[1]}
		s.from = end + signed(9)
		s.to = s.from + signed(10)
		end = s.to
		s.time, s.rate, s.depth = known(11), known(12), known(13)
		strides = append(strides, s)
	}
	return strides, first
}

// want rounds by the standard library, which packing does not use.
func want(v, parts float64) int64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return unknown
	}
	return int64(math.Round(v * parts))
}

func randomStride(before *Stride) *rapid.Generator[Stride] {
	return rapid.Custom(func(t *rapid.T) Stride {
		xy := rapid.Float32Range(-3000, 3000)
		var s Stride
		for i := range s.Quad {
			s.Quad[i] = [2]float32{xy.Draw(t, "x"), xy.Draw(t, "y")}
		}
		if before != nil && rapid.Bool().Draw(t, "joins") {
			s.Quad[0], s.Quad[1] = before.Quad[3], before.Quad[2]
		}
		s.From = rapid.Float64Range(-10, 60_000).Draw(t, "from")
		s.To = s.From + rapid.Float64Range(0, 9).Draw(t, "length")
		maybe := func(name string, g *rapid.Generator[float64]) float64 {
			if rapid.IntRange(0, 3).Draw(t, "knows "+name) == 0 {
				return math.NaN()
			}
			return g.Draw(t, name)
		}
		s.Time = maybe("time", rapid.Float64Range(-1e9, 4e9))
		s.Rate = float32(maybe("rate", rapid.Float64Range(-5, 900)))
		s.Depth = float32(maybe("depth", rapid.Float64Range(-1, 40)))
		return s
	})
}

func TestPackedStridesComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tracks := &Tracks{}
		var all [][]Stride
		for range rapid.IntRange(0, 4).Draw(t, "tracks") {
			var strides []Stride
			var before *Stride
			for range rapid.IntRange(0, 12).Draw(t, "strides") {
				strides = append(strides, randomStride(before).Draw(t, "stride"))
				before = &strides[len(strides)-1]
			}
			if len(strides) == 0 {
				continue
			}
			all = append(all, strides)
			for _, s := range strides {
				tracks.Add(fmt.Sprint("machine ", len(all)), s)
			}
		}
		packed, err := packTracks(tracks)
		require.NoError(t, err)
		got, first := unpack(t, packed)
		require.Len(t, first, len(all))
		i := 0
		for k := range all {
			require.EqualValues(t, i, first[k])
			for j, s := range all[k] {
				g := got[i]
				for c, corner := range s.Quad {
					require.Equal(t, want(float64(corner[0]), 100), g.quad[2*c])
					require.Equal(t, want(float64(corner[1]), 100), g.quad[2*c+1])
				}
				require.Equal(t, want(s.From, 1000), g.from)
				require.Equal(t, want(s.To, 1000), g.to)
				require.Equal(t, want(s.Time, 10), g.time)
				require.Equal(t, want(float64(s.Rate), 100), g.rate)
				require.Equal(t, want(float64(s.Depth), 100), g.depth)
				require.False(t, j == 0 && g.joins, "a track joins the one before")
				i++
			}
		}
		require.Len(t, got, i)
	})
}

// one is a single track of strides.
func one(strides ...Stride) *Tracks {
	var t Tracks
	for _, s := range strides {
		t.Add("Applicator 1", s)
	}
	return &t
}

func TestWhatNobodyKnowsTakesNoColumn(t *testing.T) {
	nan := math.NaN()
	packed, err := packTracks(one(Stride{Time: nan, Rate: float32(nan), Depth: float32(math.Inf(1))}))
	require.NoError(t, err)
	raw, err := io.ReadAll(flate.NewReader(bytes.NewReader(packed)))
	require.NoError(t, err)
	assert.Equal(t, make([]byte, 12), raw[len(raw)-12:], "three columns of no length at the end")
}

func TestStridesOutOfReach(t *testing.T) {
	_, err := packTracks(one(Stride{From: math.NaN()}))
	require.Error(t, err)
	_, err = packTracks(one(Stride{Quad: [4][2]float32{2: {float32(math.Inf(-1)), 0}}}))
	require.Error(t, err)
	far := Stride{Quad: [4][2]float32{{3e38, -3e38}}, From: -1e300, To: 1e300, Time: 1e300, Rate: 3e38, Depth: -3e38}
	packed, err := packTracks(one(far, Stride{}, far))
	require.NoError(t, err)
	got, _ := unpack(t, packed)
	for _, s := range got {
		assert.LessOrEqual(t, s.quad[0], int64(maxCM))
		assert.LessOrEqual(t, s.to-s.from, int64(1)<<31)
	}
}

// TestPackedSize holds the size of a large log: 287,000
// records, in one run of sections or in four runs that take turns, so that none
// joins the stride before it and every corner is told.
func TestPackedSize(t *testing.T) {
	plain := track(287_000, 4)
	var runs [4][]Stride
	for i := range runs {
		runs[i] = track(287_000/4, uint64(i))
	}
	var turns []Stride
	for i := range runs[0] {
		for k := range runs {
			s := runs[k][i]
			for c := range s.Quad {
				s.Quad[c][0] += float32(3 * k)
			}
			turns = append(turns, s)
		}
	}
	for name, tr := range map[string][]Stride{"one run": plain, "four by turns": turns} {
		packed, err := packTracks(one(tr...))
		require.NoError(t, err)
		size := base64.StdEncoding.EncodedLen(len(packed))
		t.Logf("%d strides, %s: %.2f MB as base64", len(tr), name, float64(size)/1e6)
		assert.Less(t, size, 4_500_000, name)
	}
}

func BenchmarkPack(b *testing.B) {
	tracks := one(track(300_000, 4)...)
	raw := tracks.columns()
	b.Run("columns", func(b *testing.B) {
		strides := track(300_000, 4)
		for b.Loop() {
			one(strides...).columns()
		}
		b.ReportMetric(float64(len(raw)), "raw-bytes")
	})
	for _, level := range []int{flate.HuffmanOnly, 1, 2, 3, 4, 6, 9} {
		b.Run("deflate"+string(rune('0'+level)), func(b *testing.B) {
			var out bytes.Buffer
			for b.Loop() {
				out.Reset()
				w, _ := flate.NewWriter(&out, level)
				_, _ = w.Write(raw)
				_ = w.Close()
			}
			b.ReportMetric(float64(base64.StdEncoding.EncodedLen(out.Len())), "base64-bytes")
		})
	}
}
