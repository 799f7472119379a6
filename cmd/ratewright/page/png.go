package page

import (
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/vector"
)

// pngWidth is the width of the picture in pixels.
const pngWidth = 1600

const pngScale = pngWidth / sceneWidth

// PNG writes the first picture of the page, with field, subject and lead figures
// above it, 1600 pixels wide and as high as the field asks for, in the light theme.
// It needs no browser and no fonts of the system. Characters that the font inside
// lacks (it has Latin, Greek and Cyrillic ones) show as boxes. The same sheet gives
// the same bytes.
func (s Sheet) PNG(w io.Writer) error {
	sc := poster(s.lean())
	c := newCanvas(&sc)
	for i := range sc.steps {
		c.draw(&sc.steps[i])
	}
	enc := png.Encoder{CompressionLevel: png.DefaultCompression}
	return enc.Encode(w, c.img)
}

// canvas draws steps of a scene into pixels.
type canvas struct {
	img   *image.RGBA
	view  image.Rectangle
	mask  []uint8
	tiles map[string]*image.Alpha
	faces [2]*face
	// raster covers box, the part of the picture that a step touches.
	raster vector.Rasterizer
	box    image.Rectangle
}

func newCanvas(sc *scene) *canvas {
	c := &canvas{tiles: map[string]*image.Alpha{}, faces: [2]*face{newFace(false), newFace(true)}}
	c.img = image.NewRGBA(image.Rect(0, 0, pngWidth, int(math.Ceil(sc.height*pngScale))))
	c.view = pixels(sc.view).Intersect(c.img.Rect)
	paper := rgba("paper")
	for i := 0; i < len(c.img.Pix); i += 4 {
		c.img.Pix[i], c.img.Pix[i+1], c.img.Pix[i+2], c.img.Pix[i+3] = paper.R, paper.G, paper.B, 255
	}
	return c
}

func pixels(r rect) image.Rectangle {
	px := func(v float64, round func(float64) float64) int {
		return int(max(-1e6, min(1e6, round(v*pngScale))))
	}
	return image.Rect(px(r.x0, math.Floor), px(r.y0, math.Floor), px(r.x1, math.Ceil), px(r.y1, math.Ceil))
}

func (c *canvas) draw(s *step) {
	if s.text != "" {
		f := c.faces[0]
		if s.bold {
			f = c.faces[1]
		}
		at := s.at
		if s.align != start {
			w := f.each(s.text, nil) * s.size
			at[0] -= w * float64(s.align) / 2
		}
		glyphs := f.outlines(s.text, at, s.size)
		if s.halo != "" {
			c.stroke(glyphs, true, s.width, s.halo, false)
		}
		c.fill(glyphs, 0, s.fill, "", s.clip)
		return
	}
	if s.fill != "" || s.pattern != "" {
		c.fill(s.rings, 0, s.fill, s.pattern, s.clip)
	}
	if s.stroke != "" {
		c.stroke(s.rings, true, s.width, s.stroke, s.clip)
		c.stroke(s.lines, false, s.width, s.stroke, s.clip)
	}
}

// begin readies the raster for lines that are drawn with some width beyond them.
func (c *canvas) begin(lines []line, beyond float64, clip bool) bool {
	r, ok := around(lines)
	if !ok {
		return false
	}
	c.box = pixels(r.grown(beyond)).Intersect(c.img.Rect)
	if clip {
		c.box = c.box.Intersect(c.view)
	}
	if c.box.Empty() {
		return false
	}
	c.raster.Reset(c.box.Dx(), c.box.Dy())
	return true
}

func (c *canvas) at(x, y float64) (float32, float32) {
	return float32(x*pngScale) - float32(c.box.Min.X), float32(y*pngScale) - float32(c.box.Min.Y)
}

func (c *canvas) ring(l line) {
	for i, p := range l {
		x, y := c.at(p[0], p[1])
		if i == 0 {
			c.raster.MoveTo(x, y)
		} else {
			c.raster.LineTo(x, y)
		}
	}
	c.raster.ClosePath()
}

func (c *canvas) fill(rings []line, beyond float64, ink, pattern string, clip bool) {
	if !c.begin(rings, beyond, clip) {
		return
	}
	for _, l := range rings {
		if len(l) > 2 {
			c.ring(l)
		}
	}
	if pattern == "" {
		c.paint(ink, nil)
		return
	}
	t, ink, ground := patternParts(pattern)
	if t.covered {
		c.paint(ink, nil)
		return
	}
	c.paint(ground, nil)
	c.paint(ink, c.tile(pattern, t))
}

// stroke draws along lines with round ends and corners.
func (c *canvas) stroke(lines []line, closed bool, width float64, ink string, clip bool) {
	if !c.begin(lines, width, clip) {
		return
	}
	for _, l := range lines {
		c.along(l, closed, width/2)
	}
	c.paint(ink, nil)
}

// along covers a line: a quad for each piece, a disc for each corner. All turn the
// same way, for the raster adds up windings.
func (c *canvas) along(l line, closed bool, half float64) {
	for i, p := range l {
		c.disc(p[0], p[1], half)
		q := l[(i+1)%len(l)]
		if i+1 == len(l) && !closed {
			break
		}
		dx, dy := q[0]-p[0], q[1]-p[1]
		length := math.Hypot(dx, dy)
		if length == 0 {
			continue
		}
		nx, ny := -dy/length*half, dx/length*half
		c.ring(line{{p[0] + nx, p[1] + ny}, {p[0] - nx, p[1] - ny}, {q[0] - nx, q[1] - ny}, {q[0] + nx, q[1] + ny}})
	}
}

// unit is a circle of few corners, enough for a line's width.
var unit = func() (l [10][2]float64) {
	for i := range l {
		l[i][1], l[i][0] = math.Sincos(2 * math.Pi * float64(i) / float64(len(l)))
	}
	return l
}()

func (c *canvas) disc(x, y, radius float64) {
	for i, u := range unit {
		px, py := c.at(x+radius*u[0], y+radius*u[1])
		if i == 0 {
			c.raster.MoveTo(px, py)
		} else {
			c.raster.LineTo(px, py)
		}
	}
	c.raster.ClosePath()
}

// tile draws a pattern's square once, in pixels.
func (c *canvas) tile(name string, t tile) *image.Alpha {
	if a := c.tiles[name]; a != nil {
		return a
	}
	n := int(t.side * pngScale)
	box := c.box
	c.box = image.Rect(0, 0, n, n)
	var r vector.Rasterizer
	r, c.raster = c.raster, r
	c.raster.Reset(n, n)
	for _, l := range t.lines {
		c.along(l, false, t.width/2)
	}
	for _, d := range t.dots {
		if t.hollow {
			c.along(circle(d[0], d[1], t.radius), true, t.width/2)
		} else {
			c.disc(d[0], d[1], t.radius)
		}
	}
	a := image.NewAlpha(c.box)
	c.raster.Draw(a, a.Rect, image.Opaque, image.Point{})
	c.raster, c.box = r, box
	c.tiles[name] = a
	return a
}

// paint puts an ink where the raster is covered and, with a pattern, the pattern's
// tile is, too.
func (c *canvas) paint(ink string, pattern *image.Alpha) {
	n := c.box.Dx() * c.box.Dy()
	if cap(c.mask) < n {
		c.mask = make([]uint8, n)
	}
	m := &image.Alpha{Pix: c.mask[:n], Stride: c.box.Dx(), Rect: image.Rect(0, 0, c.box.Dx(), c.box.Dy())}
	clear(m.Pix)
	c.raster.Draw(m, m.Rect, image.Opaque, image.Point{})
	col := rgba(ink)
	for y := range c.box.Dy() {
		row := m.Pix[y*m.Stride:][:m.Stride]
		o := c.img.PixOffset(c.box.Min.X, c.box.Min.Y+y)
		for x, cover := range row {
			if cover == 0 {
				continue
			}
			a := uint32(cover)
			if pattern != nil {
				side := pattern.Rect.Dx()
				a = a * uint32(pattern.Pix[(c.box.Min.Y+y)%side*pattern.Stride+(c.box.Min.X+x)%side]) / 255
			}
			p := c.img.Pix[o+4*x:][:3:3]
			p[0] = over(p[0], col.R, a)
			p[1] = over(p[1], col.G, a)
			p[2] = over(p[2], col.B, a)
		}
	}
}

func over(below, above uint8, a uint32) uint8 {
	return uint8((uint32(below)*(255-a) + uint32(above)*a + 127) / 255)
}

// rgba returns an ink of the light theme.
func rgba(ink string) color.RGBA { return parseHex(colour(ink, light)) }

// parseHex reads a colour written as #rrggbb.
func parseHex(s string) color.RGBA {
	var v [3]uint8
	for i := range v {
		for _, d := range []byte(s[1+2*i : 3+2*i]) {
			if d >= 'a' {
				d -= 'a' - 10
			} else {
				d -= '0'
			}
			v[i] = v[i]<<4 | d
		}
	}
	return color.RGBA{v[0], v[1], v[2], 255}
}
