package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// Chart is a curve of one thing over another, with its best point and, as a bracket
// below the axis, the stretch that comes near it.
type Chart struct {
	Title        string
	X, Y         string // units of the axes
	Above        string // what the curve is counted from, beside zero
	Points       [][2]float64
	Best         [2]float64
	BestWords    string
	Low, High    float64 // of the stretch on the x axis; none where they are equal
	Bracket      string  // said below the stretch
	StretchWords string  // the same in full
}

const (
	chartWidth  = 640.0
	chartHeight = 300.0
	chartLeft   = 64.0
	chartRight  = 16.0
	chartTop    = 48.0
	chartBottom = 88.0
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
	number := func(v float64) string { return strconv.FormatFloat(tenth(v), 'f', -1, 64) }
	base := chartHeight - chartBottom
	line := func(d string, width float64, more string) {
		fmt.Fprintf(&b, `<path fill="none" stroke="currentColor" stroke-width="%g"%s d="%s"/>`, width, more, d)
	}
	for _, t := range ticks(y0, y1, 4) {
		line("M"+px(x0)+" "+py(t)+"h-5", 1, "")
		text(number(chartLeft-9), py(t), "end", label(t))
	}
	if y0 <= 0 && y1 >= 0 {
		line("M"+px(x0)+" "+py(0)+"H"+px(x1), 1, ` stroke-dasharray="2 4"`)
		text(px(x1), number(math.Max(chartTop, baseOf(py(0))-6)), "end", c.Above)
	}
	line("M"+px(x0)+" "+number(base)+"H"+px(x1), 1, "")
	for _, t := range ticks(x0, x1, 6) {
		line("M"+px(t)+" "+number(base)+"v5", 1, "")
		text(px(t), number(base+18), "middle", label(t))
	}
	text(px(x1), number(chartHeight-6), "end", c.X)
	text("0", "14", "start", c.Y)
	var curve strings.Builder
	for i, p := range c.Points {
		curve.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + px(p[0]) + " " + py(p[1]))
	}
	line(curve.String(), 2.5, ` stroke-linejoin="round"`)
	line("M"+px(c.Best[0])+" "+py(c.Best[1])+"V"+number(base), 1, ` stroke-dasharray="1 3"`)
	fmt.Fprintf(&b, `<path d="M%s %sl6 -9h-12z" fill="currentColor"/>`, px(c.Best[0]), number(baseOf(py(c.Best[1]))-3))
	text(px(c.Best[0]), number(baseOf(py(c.Best[1]))-18), "middle", c.BestWords)
	if c.High > c.Low {
		lo, hi := max(c.Low, x0), min(c.High, x1)
		line("M"+px(lo)+" "+number(base+26)+"v8H"+px(hi)+"v-8", 2, "")
		middle := min(max((baseOf(px(lo))+baseOf(px(hi)))/2, 0.24*chartWidth), 0.76*chartWidth)
		text(number(middle), number(base+50), "middle", c.Bracket)
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// baseOf is a length that was written.
func baseOf(text string) float64 {
	v, _ := strconv.ParseFloat(text, 64) // which px and py wrote
	return v
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
