package page

import (
	"math"

	"github.com/paulmach/orb"
)

// scene is a picture as steps of drawing, one over another. svg.go and png.go draw
// the same scene, so that the two cannot differ. Lengths are in units of a picture
// that is sceneWidth wide, x right and y down, on a grid of tenths.
type scene struct {
	height float64
	view   rect // of the map; steps with clip are drawn within it only
	steps  []step
	// patchesLeftOut is how many outlines are left out for the sake of size, the
	// smallest first.
	patchesLeftOut int
	cellM          float64 // side of the cells that stand for zones, or 0
	tooDetailed    bool    // outlines have too many vertices
}

const sceneWidth = 800

// step draws one thing: shapes in one ink or pattern, lines, or a text.
type step struct {
	clip    bool
	rings   []line // closed without repeating the first point; holes turn the other way
	lines   []line // open
	fill    string // an ink, or "" for none
	pattern string // a finding's kind or "limits": fills instead of an ink
	stroke  string // an ink, or "" for none
	width   float64

	text   string
	at     orb.Point // of its base line
	size   float64
	bold   bool
	align  align
	halo   string // an ink around the letters, or ""
	region string // names a part of the picture for styles and tests, or ""
}

type align int

const (
	start align = iota
	middle
	end
)

type line = orb.Ring

type rect struct{ x0, y0, x1, y1 float64 }

func (r rect) w() float64 { return r.x1 - r.x0 }
func (r rect) h() float64 { return r.y1 - r.y0 }

func (r rect) overlaps(o rect) bool { return r.x0 < o.x1 && o.x0 < r.x1 && r.y0 < o.y1 && o.y0 < r.y1 }

func (r rect) corners() line {
	return line{{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}}
}

func (r rect) grown(d float64) rect { return rect{r.x0 - d, r.y0 - d, r.x1 + d, r.y1 + d} }

// around returns the bounds of lines; ok is false where there is none.
func around(lines []line) (r rect, ok bool) {
	r = rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, l := range lines {
		for _, p := range l {
			r = rect{min(r.x0, p[0]), min(r.y0, p[1]), max(r.x1, p[0]), max(r.y1, p[1])}
		}
	}
	return r, r.x0 <= r.x1 && r.y0 <= r.y1
}

// circle returns a circle as a ring.
func circle(x, y, radius float64) line {
	const n = 24
	l := make(line, n)
	for i := range l {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		l[i] = orb.Point{tenth(x + radius*cos), tenth(y + radius*sin)}
	}
	return l
}

// size of a scene: primitives are rings, lines and texts; bytes are about what they
// take as SVG.
func (sc *scene) size() (primitives, bytes int) {
	for i := range sc.steps {
		p, b := sc.steps[i].sizes()
		primitives += p
		bytes += b
	}
	return primitives, bytes
}

const perStep = 120 // bytes, about

func (s *step) sizes() (primitives, bytes int) {
	const perPoint = 9
	bytes = perStep + len(s.text)
	if s.text != "" {
		primitives++
	}
	for _, ls := range [][]line{s.rings, s.lines} {
		for _, l := range ls {
			primitives++
			bytes += 8 + perPoint*len(l)
		}
	}
	return primitives, bytes
}

// moved shifts the whole scene down. Steps may share lines, so each gets its own.
func (sc *scene) moved(dy float64) {
	for i := range sc.steps {
		s := &sc.steps[i]
		s.at[1] += dy
		s.rings, s.lines = movedLines(s.rings, dy), movedLines(s.lines, dy)
	}
	sc.view.y0 += dy
	sc.view.y1 += dy
	sc.height += dy
}

func movedLines(ls []line, dy float64) []line {
	out := make([]line, len(ls))
	for i, l := range ls {
		out[i] = make(line, len(l))
		for j, p := range l {
			out[i][j] = orb.Point{p[0], tenth(p[1] + dy)}
		}
	}
	return out
}

func tenth(v float64) float64 { return math.Round(v*10) / 10 }
