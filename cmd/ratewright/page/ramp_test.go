package page

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
)

// rgb is a colour in linear light, 0 to 1.
type rgb [3]float64

func linear(hex string) (c rgb) {
	p := parseHex(hex)
	for i, v := range []uint8{p.R, p.G, p.B} {
		x := float64(v) / 255
		if x <= 0.04045 {
			c[i] = x / 12.92
		} else {
			c[i] = math.Pow((x+0.055)/1.055, 2.4)
		}
	}
	return c
}

// luminance after WCAG 2 (and IEC 61966-2-1).
func (c rgb) luminance() float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

func contrast(a, b string) float64 {
	x, y := linear(a).luminance(), linear(b).luminance()
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// lab after CIE 1976, white D65.
func (c rgb) lab() (l, a, b float64) {
	x := (0.4124*c[0] + 0.3576*c[1] + 0.1805*c[2]) / 0.9505
	y := c.luminance()
	z := (0.0193*c[0] + 0.1192*c[1] + 0.9505*c[2]) / 1.089
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	return 116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))
}

// apart is the CIE 1976 distance of two colours.
func apart(p, q rgb) float64 {
	l, a, b := p.lab()
	m, c, d := q.lab()
	return math.Sqrt((l-m)*(l-m) + (a-c)*(a-c) + (b-d)*(b-d))
}

// eyes are ways of seeing, as matrices on linear light. The deficiencies are those
// of G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based
// model for simulation of color vision deficiency", IEEE TVCG 15 (2009), severity
// 1.0: from memory, and the same in several public programs that name that paper;
// the paper itself was not at hand. TestEyesKeepWhite checks their rows, and
// TestEyesLoseWhatTheyShould what each cannot see.
var eyes = map[string][3]rgb{
	"usual": {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia": {
		{0.152286, 1.052583, -0.204868},
		{0.114503, 0.786281, 0.099216},
		{-0.003882, -0.048116, 1.051998},
	},
	"deuteranopia": {
		{0.367322, 0.860646, -0.227968},
		{0.280085, 0.672501, 0.047413},
		{-0.011820, 0.042940, 0.968881},
	},
	"tritanopia": {
		{1.255528, -0.076749, -0.178779},
		{-0.078411, 0.930809, 0.147602},
		{0.004733, 0.691367, 0.303900},
	},
	"grey": {{0.2126, 0.7152, 0.0722}, {0.2126, 0.7152, 0.0722}, {0.2126, 0.7152, 0.0722}},
}

func seen(eye, hex string) (out rgb) {
	c := linear(hex)
	for i, row := range eyes[eye] {
		out[i] = max(0, min(1, row[0]*c[0]+row[1]*c[1]+row[2]*c[2]))
	}
	return out
}

func TestEyesKeepWhite(t *testing.T) {
	for eye, m := range eyes {
		for _, row := range m {
			assert.InDelta(t, 1, row[0]+row[1]+row[2], 2e-6, eye)
		}
	}
	assert.InDelta(t, 21, contrast("#ffffff", "#000000"), 1e-9)
	l, a, b := linear("#ffffff").lab()
	assert.InDelta(t, 100, l, 1e-9)
	assert.InDelta(t, 0, math.Hypot(a, b), 0.1)
}

// TestEyesLoseWhatTheyShould: red and green come together for two of the eyes, blue
// and green for the third, and the other pair stays apart.
func TestEyesLoseWhatTheyShould(t *testing.T) {
	hue := func(eye, p, q string) float64 {
		_, a, b := seen(eye, p).lab()
		_, c, d := seen(eye, q).lab()
		return math.Hypot(a-c, b-d)
	}
	const red, green, blue = "#b05050", "#508050", "#5070b0"
	for _, eye := range []string{"protanopia", "deuteranopia"} {
		assert.Less(t, hue(eye, red, green), hue("usual", red, green)/2, eye)
		assert.Greater(t, hue(eye, red, blue), 30.0, eye)
	}
	assert.Less(t, hue("tritanopia", blue, "#4a8570"), hue("usual", blue, "#4a8570")/2)
	assert.Greater(t, hue("tritanopia", red, green), 30.0)
}

const (
	leastStepL = 6.0 // in CIE L*, between neighbours of the ramp, to every eye
	leastApart = 6.5 // in CIE 1976 Lab
	leastText  = 4.5 // contrast of text, WCAG 2, level AA
	leastLine  = 3.0 // contrast of lines and marks, WCAG 2.1, 1.4.11
)

func TestRampIsEvenToEveryEye(t *testing.T) {
	for th, steps := range ramp {
		for eye := range eyes {
			least, leastD := math.Inf(1), math.Inf(1)
			for i := 1; i < rampSteps; i++ {
				p, q := seen(eye, steps[i-1]), seen(eye, steps[i])
				l, _, _ := p.lab()
				m, _, _ := q.lab()
				step := l - m
				if theme(th) == dark {
					step = m - l
				}
				least, leastD = min(least, step), min(leastD, apart(p, q))
			}
			t.Logf("theme %d, %s: steps of L* from %.1f, neighbours %.1f apart", th, eye, least, leastD)
			assert.GreaterOrEqual(t, least, leastStepL, "theme %d, %s", th, eye)
			assert.GreaterOrEqual(t, leastD, leastApart, "theme %d, %s", th, eye)
		}
	}
}

func TestTextIsReadOnEveryGround(t *testing.T) {
	for _, th := range []theme{light, dark} {
		for i := range rampSteps {
			for eye := range eyes {
				on, text := seen(eye, ramp[th][i]).luminance(), seen(eye, onRamp[th][i]).luminance()
				c := (max(on, text) + 0.05) / (min(on, text) + 0.05)
				assert.GreaterOrEqual(t, c, leastText, "theme %d, step %d, %s", th, i, eye)
			}
		}
		for _, pair := range [][2]string{
			{"text", "paper"}, {"text", "ground"}, {"quiet", "paper"}, {"alarm", "paper"},
		} {
			assert.GreaterOrEqual(t, contrast(colour(pair[0], th), colour(pair[1], th)), leastText, "%v", pair)
		}
		assert.GreaterOrEqual(t, contrast(colour("limits", th), colour("limitsOn", th)), leastLine)
		for _, f := range append(findings, other) {
			// The letter stands on the ground of a patch, the legend's on the page.
			assert.GreaterOrEqual(t, contrast(colour("k-"+f.Kind, th), colour("patch", th)), leastText, f.Kind)
			assert.GreaterOrEqual(t, contrast(colour("k-"+f.Kind, th), colour("paper", th)), leastLine, f.Kind)
		}
	}
}

// TestFindingsAreToldApart without colour: by letter always; those of one pattern
// are of clearly different colours to every eye that sees some, besides.
func TestFindingsAreToldApart(t *testing.T) {
	all := append(append([]finding{}, findings...), other)
	for i, f := range all {
		require.Contains(t, tiles, f.Pattern)
		require.Len(t, []rune(f.Letter), 1)
		for _, g := range all[:i] {
			assert.NotEqual(t, f.Letter, g.Letter)
			if f.Pattern != g.Pattern {
				continue
			}
			for _, eye := range []string{"usual", "protanopia", "deuteranopia", "tritanopia"} {
				for th, pair := range [][2]string{{f.Light, g.Light}, {f.Dark, g.Dark}} {
					d := apart(seen(eye, pair[0]), seen(eye, pair[1]))
					assert.GreaterOrEqual(t, d, 12.0, "%s and %s, theme %d, %s", f.Kind, g.Kind, th, eye)
				}
			}
		}
	}
}

// TestEveryKindOfFindingIsDrawn: kinds are words here, for a page knows no engine.
func TestEveryKindOfFindingIsDrawn(t *testing.T) {
	var engine, drawn []string
	for _, k := range asapplied.Kinds() {
		engine = append(engine, k.String())
	}
	for _, f := range findings {
		drawn = append(drawn, f.Kind)
	}
	assert.ElementsMatch(t, engine, drawn)
}

func TestEveryInkIsAColour(t *testing.T) {
	seen := map[string]bool{}
	for _, ink := range inkNames() {
		for _, th := range []theme{light, dark} {
			assert.Regexp(t, `^#[0-9a-f]{6}$`, colour(ink, th), ink)
		}
		assert.False(t, seen[ink], ink)
		seen[ink] = true
	}
	for ink := range inks {
		assert.True(t, seen[ink], "%s has no dark style", ink)
	}
}

func TestRampStep(t *testing.T) {
	for _, c := range []struct {
		rate, low, high float64
		want            int
	}{
		{100, 100, 170, 0},
		{109.9, 100, 170, 0},
		{110.1, 100, 170, 1},
		{170, 100, 170, 6},
		{-5, 100, 170, 0},
		{999, 100, 170, 6},
		{100, 100, 100, 3},
		{math.NaN(), 100, 170, -1},
		{math.Inf(1), 1, 2, -1},
	} {
		assert.Equal(t, c.want, rampStep(c.rate, c.low, c.high), fmt.Sprint(c))
	}
}
