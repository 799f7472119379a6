package page

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo"
)

// crowd is a field with more patches than a picture can hold.
func crowd() Sheet {
	s := sample(0)
	for i := range 9000 {
		x, y := -390+8*float64(i%97), -385+8*float64(i/97)
		p := blob(x, y, 0.5+float64(i%50)/20, uint64(i))
		s.Map.Patches = append(s.Map.Patches, Patch{
			Kind: findings[i%len(findings)].Kind, Polygons: orb.MultiPolygon{p}, AreaM2: math.Abs(signedArea(line(p[0]))),
		})
	}
	return s
}

// gridded is a prescription with a zone for each cell of a grid.
func gridded() Sheet {
	s := sample(0)
	s.Map.Zones, s.Map.Patches = nil, nil
	for i := range 5000 {
		x, y := -400+11*float64(i%71), -390+11*float64(i/71)
		rate := 140 + 45*math.Sin(x/150)*math.Cos(y/110)
		s.Map.Zones = append(s.Map.Zones, Zone{Polygons: orb.MultiPolygon{box(x, y, x+11, y+11)}, Rate: rate, Label: "120"})
	}
	return s
}

func TestThePictureIsNeverTooLarge(t *testing.T) {
	grid := gridded()
	both := crowd()
	both.Map.Zones = grid.Map.Zones
	shore := sample(0) // a boundary of a vertex every few centimetres
	shore.Map.Boundary[0][0] = nil
	for i := range 200_000 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 200_000)
		r := 380 + 3*math.Sin(float64(i))
		shore.Map.Boundary[0][0] = append(shore.Map.Boundary[0][0], orb.Point{r * cos, r * sin})
	}
	for name, s := range map[string]Sheet{"sample": sample(0), "patches": crowd(), "zones": grid, "both": both, "shore": shore, "empty": {}} {
		sc := picture(s)
		n, _ := sc.size()
		svg := sc.svg("x")
		t.Logf("%s: %d primitives, %d kB; left out %d patches; cells of %.1f m", name, n, len(svg)/1000, sc.patchesLeftOut, sc.cellM)
		assert.LessOrEqual(t, n, maxPrimitives, name)
		assert.LessOrEqual(t, len(svg), 300_000, name)
		assert.False(t, bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")), name)
		assert.Equal(t, sc.patchesLeftOut > 0, strings.Contains(string(svg), "Not drawn here"), name)
		assert.Equal(t, sc.cellM > 0, strings.Contains(string(svg), "drawn here as cells"), name)
		assert.Equal(t, name == "zones" || name == "both", sc.cellM > 0, name)
	}
}

// TestCellsShowTheRateAtTheirMiddle compares cells with the zones they stand for, one
// of them with a hole and another within it.
func TestCellsShowTheRateAtTheirMiddle(t *testing.T) {
	s := sample(0)
	var sc scene
	f := sc.frame(s.Map)
	var zones []drawn
	for i, z := range s.Map.Zones {
		for _, rings := range f.polygons(z.Polygons) {
			zones = append(zones, drawn{i, rings, 0})
		}
	}
	runs, n := joinedCells(sc.view, 7, zones, []int{4, 6, 0}, rampSteps)
	require.Positive(t, n)
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.IntRange(0, int(sc.view.w()/7)-1).Draw(t, "column")
		r := rapid.IntRange(0, int(sc.view.h()/7)-1).Draw(t, "row")
		p := orb.Point{sc.view.x0 + 7*float64(c) + 3.5, sc.view.y0 + 7*float64(r) + 3.5}
		want, got := noZone, noZone
		for _, z := range zones {
			if geo.Inside(p, z.rings) > 0 {
				want = []int{4, 6, 0}[z.of]
			}
		}
		for i, rings := range runs {
			for _, l := range rings {
				if geo.Inside(p, []line{l}) > 0 {
					require.Equal(t, noZone, got, "cells lie over one another")
					got = i - 1
				}
			}
		}
		require.Equal(t, want, got)
	})
}

// TestTheSmallestPatchesAreLeftOutFirst: what is drawn is larger than what is not.
func TestTheSmallestPatchesAreLeftOutFirst(t *testing.T) {
	s := crowd()
	var least float64
	var sc scene
	f := sc.frame(s.Map)
	f.thin = 0.2
	d := drawing{primitives: 1000, bytes: maxSceneBytes}
	kept := sc.patches(s.Map, f.outlined(s.Map).patches, f.thin, &d)
	least = kept[len(kept)-1].area
	isKept := map[int]bool{}
	for _, k := range kept {
		isKept[k.of] = true
	}
	for i, p := range s.Map.Patches {
		if rings := f.polygons(p.Polygons); !isKept[i] && len(rings) > 0 {
			require.LessOrEqual(t, math.Abs(signedArea(rings[0][0])), least)
		}
	}
	assert.Equal(t, len(s.Map.Patches)-len(kept), sc.patchesLeftOut)
}

func decoded(t *testing.T, s Sheet) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.PNG(&b))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	return img
}

// TestPNGShowsTheZonesWhereTheyAre looks at pixels: ground of each zone, of a missed
// strip, outside, and the paper.
func TestPNGShowsTheZonesWhereTheyAre(t *testing.T) {
	s := sample(0)
	img := decoded(t, s)
	require.Equal(t, 1600, img.Bounds().Dx())
	above := poster(s).view.y0 - picture(s).view.y0
	var sc scene
	f := sc.frame(s.Map)
	at := func(x, y float64) string {
		p := f.point(orb.Point{x, y})
		r, g, b, _ := img.At(int(p[0]*pngScale), int((p[1]+above)*pngScale)).RGBA()
		const hex = "0123456789abcdef"
		out := []byte{'#'}
		for _, v := range []uint32{r, g, b} {
			out = append(out, hex[v>>12], hex[v>>8&15])
		}
		return string(out)
	}
	assert.Equal(t, ramp[light][4], at(-387, 320), "150 of 95 to 185")
	assert.Equal(t, ramp[light][6], at(-180, 200), "185")
	assert.Equal(t, ramp[light][0], at(210, -186), "95")
	assert.Equal(t, findings[len(findings)-1].Light, at(-290, -296), "a missed strip")
	assert.Equal(t, inks["paper"][light], at(390, 380), "outside of the corner that is cut")
}

func TestAnEmptySheetIsDrawn(t *testing.T) {
	img := decoded(t, Sheet{})
	assert.Equal(t, pngWidth, img.Bounds().Dx())
	assert.Less(t, img.Bounds().Dy(), 4000)
}

// TestThinnedStaysNear: no vertex is farther from the thinned ring than the tolerance.
func TestThinnedStaysNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 200).Draw(t, "vertices")
		tolerance := rapid.Float64Range(0.1, 3).Draw(t, "tolerance")
		l := make(line, n)
		for i := range l {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			d := 100 + rapid.Float64Range(0, 5).Draw(t, "bump")
			l[i] = orb.Point{d * cos, d * sin}
		}
		thin := rank(l, tolerance/rapid.SampledFrom([]float64{1, 2, 8}).Draw(t, "finer")).thinned(tolerance)
		require.GreaterOrEqual(t, len(thin), 3)
		for _, p := range l {
			d := math.Inf(1)
			for i, a := range thin {
				side := awayFrom(a, thin[(i+1)%len(thin)])
				d = min(d, side.distance2(p))
			}
			require.LessOrEqual(t, math.Sqrt(d), tolerance+1e-9)
		}
	})
}

// TestACombIsPartedNearItsMiddle: its teeth are all as long, and to part it at the
// first of them, and then again, would take time with their square.
func TestACombIsPartedNearItsMiddle(t *testing.T) {
	for _, angle := range []float64{0, 0.7} {
		sin, cos := math.Sincos(angle)
		var l line
		for i := range 4000 {
			x, y := float64(i)/10, float64(i%2)*100
			l = append(l, orb.Point{cos*x - sin*y, sin*x + cos*y})
		}
		parts, deepest := 0, 0
		var part func(a, b, depth int)
		part = func(a, b, depth int) {
			deepest = max(deepest, depth)
			if at, _ := farthest(l[a:b+1], 0.01, evenly(b-a, depth)); at > 0 {
				parts++
				part(a, a+at, depth+1)
				part(a+at, b, depth+1)
			}
		}
		part(0, len(l)-1, 0)
		require.Greater(t, parts, 3900, "every tooth stays")
		require.Less(t, deepest, evenBelow+20, "of 4,000")
	}
}

func TestLabelsLieInTheirZonesAndApart(t *testing.T) {
	sc := picture(sample(0))
	var boxes []rect
	n := 0
	for i := range sc.steps {
		s := &sc.steps[i]
		if s.region == "rate" {
			n++
			w := textWidth(s.text, s.size, true)
			boxes = append(boxes, rect{s.at[0] - w/2, s.at[1] - 0.72*s.size, s.at[0] + w/2, s.at[1]})
		}
		if s.region == "letter" && len(s.rings) > 0 && s.at == (orb.Point{}) {
			if r, _ := around(s.rings); r.y1 < sc.view.y1 {
				boxes = append(boxes, r)
			}
		}
	}
	assert.Equal(t, 3, n, "each zone has its rate")
	for i, a := range boxes {
		for _, b := range boxes[:i] {
			assert.False(t, a.overlaps(b), "%v and %v", a, b)
		}
	}
}

// TestLettersNameWhatIsSeen: of two kinds of finding on one ground the one on top has its
// mark there, the other beside it with a line.
func TestLettersNameWhatIsSeen(t *testing.T) {
	s := sample(0)
	p := orb.MultiPolygon{box(-100, -100, 100, 100)}
	s.Map.Patches = []Patch{{Kind: "heavy", Polygons: p, AreaM2: 1}, {Kind: "doubled", Polygons: p, AreaM2: 1}}
	sc := picture(s)
	var letters []string
	leaders := 0
	for i := range sc.steps {
		if sc.steps[i].region == "leader" {
			leaders++
			require.Equal(t, "k-heavy", sc.steps[i].stroke)
			require.Empty(t, letters, "lines lie below marks")
		}
		if st := &sc.steps[i]; st.region == "letter" && st.text != "" && st.at[1] < sc.view.y1 {
			letters = append(letters, st.text)
		}
	}
	assert.ElementsMatch(t, []string{"D1", "H1"}, letters)
	assert.Equal(t, 1, leaders)
}

func TestRoundLength(t *testing.T) {
	for n, want := range map[float64]float64{1: 1, 1.99: 1, 2: 2, 4.9: 2, 5: 5, 9.9: 5, 230: 200, 0.07: 0.05, 999: 500} {
		assert.InDelta(t, want, roundLength(n), 1e-9*want, "%v", n)
	}
}

func BenchmarkPage(b *testing.B) {
	s := crowd()
	s.Map.Tracks = one(track(287_000, 4)...)
	b.Run("HTML", func(b *testing.B) {
		for b.Loop() {
			html, err := s.HTML()
			require.NoError(b, err)
			b.ReportMetric(float64(len(html)), "bytes")
		}
	})
	b.Run("PNG", func(b *testing.B) {
		for b.Loop() {
			var out bytes.Buffer
			require.NoError(b, s.PNG(&out))
			b.ReportMetric(float64(out.Len()), "bytes")
		}
	})
}

// TestTheLowEndOfTheRampGrowsAwayFromIt: the page is printed in whatever font there is, and
// the rate left of the bar is not to run into it.
func TestTheLowEndOfTheRampGrowsAwayFromIt(t *testing.T) {
	s := sample(0)
	low := rateText(s.Map, s.Map.LowRate)
	sc := picture(s)
	bar := math.Inf(1)
	for _, st := range sc.steps {
		if st.region == "legend" && st.fill == "r0" {
			bar = st.rings[0][0][0]
		}
	}
	require.False(t, math.IsInf(bar, 1))
	found := 0
	for _, st := range sc.steps {
		if st.region == "words" && st.text == low && st.size == legendSize && st.bold {
			require.Equal(t, end, st.align)
			require.InDelta(t, bar-8, st.at[0], 0.11)
			found++
		}
	}
	require.Equal(t, 1, found)
}
