package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// Chart is a curve of one thing over another, with its best point and the stretch that
// comes near it.
type Chart struct {
	Title        string
	X, Y         string // names of the axes with their units
	Points       [][2]float64
	Best         [2]float64
	Low, High    float64 // of the stretch on the x axis; none where they are equal
	StretchWords string
}

const (
	chartWidth  = 640.0
	chartHeight = 260.0
	chartLeft   = 64.0
	chartRight  = 16.0
	chartTop    = 18.0
	chartBottom = 44.0
)

// SVG draws the chart; "" where there are fewer than two points or one is no number.
func (c *Chart) SVG() template.HTML {
	if c == nil || len(c.Points) < 2 {
		return ""
	}
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, p := range append([][2]float64{c.Best}, c.Points...) {
		x0, x1, y0, y1 = min(x0, p[0]), max(x1, p[0]), min(y0, p[1]), max(y1, p[1])
	}
	if !(x1 > x0) || !(y1 > y0) || math.IsInf(x1-x0+y1-y0, 0) {
		return ""
	}
	px := func(x float64) string {
		return strconv.FormatFloat(tenth(chartLeft+(x-x0)/(x1-x0)*(chartWidth-chartLeft-chartRight)), 'f', -1, 64)
	}
	py := func(y float64) string {
		return strconv.FormatFloat(tenth(chartTop+(y1-y)/(y1-y0)*(chartHeight-chartTop-chartBottom)), 'f', -1, 64)
	}
	var b strings.Builder
	text := func(x, y, anchor, s string) {
		fmt.Fprintf(&b, `<text x="%s" y="%s" text-anchor="%s" font-size="13" fill="currentColor">%s</text>`, x, y, anchor, template.HTMLEscapeString(short(s)))
	}
	fmt.Fprintf(&b, `<svg class="chart" viewBox="0 0 %g %g" role="img" aria-label="%s">`, chartWidth, chartHeight, template.HTMLEscapeString(short(c.Title+", best at "+label(c.Best[0]))))
	if c.High > c.Low {
		lo, hi := max(c.Low, x0), min(c.High, x1)
		fmt.Fprintf(&b, `<path d="M%s %sH%sV%sH%sz" fill="currentColor" fill-opacity="0.12"/>`, px(lo), py(y1), px(hi), py(y0), px(lo))
	}
	for _, t := range ticks(y0, y1, 4) {
		fmt.Fprintf(&b, `<path d="M%s %sH%s" stroke="currentColor" stroke-opacity="0.25"/>`, px(x0), py(t), px(x1))
		text(strconv.FormatFloat(chartLeft-8, 'f', -1, 64), py(t), "end", label(t))
	}
	for _, t := range ticks(x0, x1, 6) {
		text(px(t), strconv.FormatFloat(chartHeight-chartBottom+18, 'f', -1, 64), "middle", label(t))
	}
	text(px(x1), strconv.FormatFloat(chartHeight-8, 'f', -1, 64), "end", c.X)
	text("0", "12", "start", c.Y)
	b.WriteString(`<path fill="none" stroke="currentColor" stroke-width="2" d="`)
	for i, p := range c.Points {
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + px(p[0]) + " " + py(p[1]))
	}
	b.WriteString(`"/>`)
	fmt.Fprintf(&b, `<circle cx="%s" cy="%s" r="4.5" fill="currentColor"/>`, px(c.Best[0]), py(c.Best[1]))
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

func label(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// ticks are about n round numbers between two.
func ticks(lo, hi float64, n int) []float64 {
	step := math.Pow(10, math.Floor(math.Log10((hi-lo)/float64(n))))
	for _, f := range []float64{1, 2, 5, 10} {
		if (hi-lo)/(step*f) <= float64(n) {
			step *= f
			break
		}
	}
	var list []float64
	for k := math.Ceil(lo / step); k*step <= hi; k++ {
		list = append(list, math.Round(k*step*1e6)/1e6)
	}
	return list
}
