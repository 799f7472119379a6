package page

import (
	"bytes"
	"html"
	"strconv"
	"strings"
)

// svg writes a scene as an inline SVG element. It has presentation attributes in the
// colours of the light theme and classes f-INK and s-INK, by which inkStyles sets
// those of the dark one; no style attribute, for the page's policy forbids them.
func (sc *scene) svg(title string) []byte {
	var w svgWriter
	h := num(sc.height)
	w.s(`<svg id="still" class="still" viewBox="0 0 ` + num(sceneWidth) + ` ` + h +
		`" role="img" aria-labelledby="still-title" font-family="system-ui, sans-serif" stroke-linejoin="round" stroke-linecap="round">`)
	w.s(`<title id="still-title">` + html.EscapeString(title) + `</title><defs>`)
	w.patterns(sc)
	v := sc.view
	w.s(`<clipPath id="still-view"><path d="`)
	w.path([]line{v.corners()}, true)
	w.s(`"/></clipPath></defs>`)
	clip := false
	for i := range sc.steps {
		st := &sc.steps[i]
		if st.clip != clip {
			if clip {
				w.s(`</g>`)
			} else {
				w.s(`<g clip-path="url(#still-view)">`)
			}
			clip = st.clip
		}
		if st.text != "" {
			w.text(st)
		} else {
			w.shape(st)
		}
	}
	if clip {
		w.s(`</g>`)
	}
	w.s(`</svg>`)
	return w.b.Bytes()
}

type svgWriter struct{ b bytes.Buffer }

func (w *svgWriter) s(s string) { w.b.WriteString(s) }

// num writes a length in tenths.
func num(v float64) string {
	s := strconv.FormatFloat(tenth(v), 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// bare is num without the zero before a point.
func bare(v float64) string {
	s := num(v)
	switch {
	case strings.HasPrefix(s, "0."):
		return s[1:]
	case strings.HasPrefix(s, "-0."):
		return "-" + s[2:]
	}
	return s
}

// inks writes fill, stroke and class of a step.
func (w *svgWriter) inks(fill, stroke string, width float64) {
	var classes []string
	if fill != "" {
		classes = append(classes, "f-"+fill)
	}
	if stroke != "" {
		classes = append(classes, "s-"+stroke)
	}
	if len(classes) > 0 {
		w.s(` class="` + strings.Join(classes, " ") + `"`)
	}
	if fill != "" {
		w.s(` fill="` + colour(fill, light) + `"`)
	}
	if stroke != "" {
		w.s(` stroke="` + colour(stroke, light) + `" stroke-width="` + num(width) + `"`)
	}
}

func (w *svgWriter) shape(s *step) {
	lines, closed := s.rings, true
	if len(lines) == 0 {
		lines, closed = s.lines, false
	}
	if len(lines) == 0 {
		return
	}
	w.s(`<path`)
	if s.pattern != "" {
		w.s(` fill="url(#still-` + s.pattern + `)"`)
	} else if s.fill == "" {
		w.s(` fill="none"`)
	}
	w.inks(s.fill, s.stroke, s.width)
	w.s(` d="`)
	w.path(lines, closed)
	w.s("\"/>\n")
}

// path writes lines in steps of tenths.
func (w *svgWriter) path(lines []line, closed bool) {
	for _, l := range lines {
		var x, y float64
		for i, p := range l {
			switch i {
			case 0:
				w.s("M" + num(p[0]) + " " + num(p[1]))
			case 1:
				w.s("l")
				fallthrough
			default:
				dx, dy := bare(p[0]-x), bare(p[1]-y)
				if i > 1 && dx[0] != '-' {
					w.s(" ")
				}
				w.s(dx)
				if dy[0] != '-' {
					w.s(" ")
				}
				w.s(dy)
			}
			x, y = p[0], p[1]
		}
		if closed {
			w.s("z")
		}
	}
}

func (w *svgWriter) text(s *step) {
	w.s(`<text x="` + num(s.at[0]) + `" y="` + num(s.at[1]) + `" font-size="` + num(s.size) + `"`)
	if s.bold {
		w.s(` font-weight="700"`)
	}
	if s.align != start {
		w.s(` text-anchor="` + [...]string{"start", "middle", "end"}[s.align] + `"`)
	}
	if s.halo != "" {
		w.s(` paint-order="stroke"`)
	}
	w.inks(s.fill, s.halo, s.width)
	w.s(`>` + html.EscapeString(s.text) + "</text>\n")
}

// patterns writes the patterns that a scene uses.
func (w *svgWriter) patterns(sc *scene) {
	done := map[string]bool{}
	for i := range sc.steps {
		p := sc.steps[i].pattern
		if p == "" || done[p] {
			continue
		}
		done[p] = true
		t, ink, ground := patternParts(p)
		side := num(t.side)
		if t.covered {
			ground = ink
		}
		w.s(`<pattern id="still-` + p + `" patternUnits="userSpaceOnUse" width="` + side + `" height="` + side + `"><path`)
		w.inks(ground, "", 0)
		w.s(` d="M0 0h` + side + `v` + side + `H0z"/>`)
		for _, dot := range t.dots {
			w.s(`<circle cx="` + num(dot[0]) + `" cy="` + num(dot[1]) + `" r="` + num(t.radius) + `"`)
			if t.hollow {
				w.s(` fill="none"`)
				w.inks("", ink, t.width)
			} else {
				w.inks(ink, "", 0)
			}
			w.s(`/>`)
		}
		if len(t.lines) > 0 {
			w.s(`<path fill="none"`)
			w.inks("", ink, t.width)
			w.s(` d="`)
			w.path(t.lines, false)
			w.s(`"/>`)
		}
		w.s(`</pattern>`)
	}
}

// inkStyles returns the styles that draw the first picture in the dark theme. On
// paper it stays light.
func inkStyles() string {
	var b strings.Builder
	b.WriteString("@media screen and (prefers-color-scheme:dark){")
	for _, ink := range inkNames() {
		c := colour(ink, dark)
		b.WriteString("#still .f-" + ink + "{fill:" + c + "}#still .s-" + ink + "{stroke:" + c + "}")
	}
	b.WriteString("}")
	return b.String()
}
