package page

import (
	"strings"
	"sync"

	"github.com/paulmach/orb"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// face is a font of the PNG. The page has the fonts of the system.
type face struct {
	font *opentype.Font
	buf  sfnt.Buffer
}

var parsed = sync.OnceValue(func() [2]*opentype.Font {
	var fonts [2]*opentype.Font
	for i, ttf := range [][]byte{goregular.TTF, gobold.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			panic("page: a built-in font is broken: " + err.Error())
		}
		fonts[i] = f
	}
	return fonts
})

func newFace(bold bool) *face {
	if bold {
		return &face{font: parsed()[1]}
	}
	return &face{font: parsed()[0]}
}

// glyphSize is the size at which glyphs are read; outlines scale from there.
const glyphSize = 256

// each calls draw with every glyph of a text and its place on the base line, in
// units of the size of the letters, and returns the width in the same. A character
// that the font lacks comes as its empty box.
func (f *face) each(text string, draw func(sfnt.GlyphIndex, float64)) float64 {
	x := 0.0
	for _, r := range text {
		if r == ' ' || r == '\u00a0' || r == '\u202f' || r == '\u2009' {
			x += 0.28
			continue
		}
		g, err := f.font.GlyphIndex(&f.buf, r)
		if err != nil {
			continue
		}
		if draw != nil {
			draw(g, x)
		}
		if a, err := f.font.GlyphAdvance(&f.buf, g, fixed.I(glyphSize), font.HintingNone); err == nil {
			x += float64(a) / 64 / glyphSize
		}
	}
	return x
}

// outlines returns a text as closed lines with its base line's start at a point.
func (f *face) outlines(text string, at orb.Point, size float64) []line {
	var ls []line
	f.each(text, func(g sfnt.GlyphIndex, x float64) {
		segments, err := f.font.LoadGlyph(&f.buf, g, fixed.I(glyphSize), nil)
		if err != nil {
			return
		}
		k := size / glyphSize / 64
		point := func(p fixed.Point26_6) orb.Point {
			return orb.Point{at[0] + x*size + float64(p.X)*k, at[1] + float64(p.Y)*k}
		}
		var l line
		for _, s := range segments {
			a := point(s.Args[0])
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				if len(l) > 2 {
					ls = append(ls, l)
				}
				l = line{a}
			case sfnt.SegmentOpLineTo:
				l = append(l, a)
			case sfnt.SegmentOpQuadTo:
				l = curve(l, a, a, point(s.Args[1]))
			case sfnt.SegmentOpCubeTo:
				l = curve(l, a, point(s.Args[1]), point(s.Args[2]))
			}
		}
		if len(l) > 2 {
			ls = append(ls, l)
		}
	})
	return ls
}

// curve appends a Bézier curve as a few straight pieces; a quadratic one has the
// same control point twice.
func curve(l line, b, c, d orb.Point) line {
	const n = 6
	a := l[len(l)-1]
	quadratic := b == c
	for i := 1; i <= n; i++ {
		t := float64(i) / n
		u := 1 - t
		var p orb.Point
		for k := range p {
			if quadratic {
				p[k] = u*u*a[k] + 2*u*t*b[k] + t*t*d[k]
			} else {
				p[k] = u*u*u*a[k] + 3*u*u*t*b[k] + 3*u*t*t*c[k] + t*t*t*d[k]
			}
		}
		l = append(l, p)
	}
	return l
}

// roomFor is how much wider than in the font inside a text may be in the widest of
// the usual system fonts.
const roomFor = 1.15

// textWidth returns the room that a text needs.
func textWidth(text string, size float64, bold bool) float64 {
	return newFace(bold).each(text, nil) * size * roomFor
}

// fitted cuts a text to a width, with an ellipsis.
func fitted(text string, size float64, bold bool, width float64) string {
	if textWidth(text, size, bold) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 1 {
		runes = runes[:len(runes)-max(1, len(runes)/20)]
		cut := strings.TrimRight(string(runes), " ") + "…"
		if textWidth(cut, size, bold) <= width {
			return cut
		}
	}
	return "…"
}
