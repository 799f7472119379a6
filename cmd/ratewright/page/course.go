package page

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// Course is nitrogen by day: what is still there with its bands, and what is lost by
// which way or held, one upon the other. All are in one unit.
type Course struct {
	Title string
	X, Y  string // names of the axes; Y with the unit
	Still string // what the line is, with its last figure, for people who do not see it
	Whole float64
	Days  []CourseDay
	// OffPaper keeps it on the page alone.
	OffPaper bool
	Ways     []Way
	// BandWords and DrawWords name the two bands, WorstWords the line of the worst
	// years; "" where there is none.
	BandWords, DrawWords, WorstWords string
}

// CourseDay is a point of a course.
type CourseDay struct {
	Day             float64
	Still           float64
	Low, High       float64
	DrawLow, DrawUp float64
	Worst           float64
	Parts           []float64 // by way
}

// Way is where nitrogen goes.
type Way struct {
	Ink  string // of the inks below: air, injection, denitrified, leached, held
	Name string // with its last figure
}

// courseKey is an entry below a course.
type courseKey struct{ Ink, Words string }

// Key lists what is drawn.
func (c *Course) Key() []courseKey {
	list := []courseKey{{"still", c.Still}}
	for _, k := range []courseKey{{"band", c.BandWords}, {"draws", c.DrawWords}, {"worst", c.WorstWords}} {
		if k.Words != "" {
			list = append(list, k)
		}
	}
	for i := len(c.Ways) - 1; i >= 0; i-- { // the topmost first
		list = append(list, courseKey{c.Ways[i].Ink, c.Ways[i].Name})
	}
	return list
}

const (
	courseWidth   = 480.0
	courseLeft    = 42.0
	courseRight   = 14.0
	courseTop     = 26.0
	courseUpper   = 170.0 // height of the panel of what is still there
	courseBetween = 34.0
	courseLower   = 90.0 // and of that of what is not
	courseBottom  = 44.0
)

// panel is a plot of a course.
type panel struct {
	c                 *Course
	top, height, most float64
}

func (p panel) x(day float64) string {
	first, last := p.c.Days[0].Day, p.c.Days[len(p.c.Days)-1].Day
	return number(courseLeft + (day-first)/(last-first)*(courseWidth-courseLeft-courseRight))
}

func (p panel) y(v float64) string { return number(p.top + p.height*(1-v/p.most)) }

func number(v float64) string { return strconv.FormatFloat(tenth(v), 'f', -1, 64) }

// line is a path through a figure of each day.
func (p panel) line(value func(*CourseDay) float64) string {
	var b strings.Builder
	for i := range p.c.Days {
		d := &p.c.Days[i]
		b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + p.x(d.Day) + " " + p.y(value(d)))
	}
	return b.String()
}

// between is the ground between two figures of each day.
func (p panel) between(low, high func(*CourseDay) float64) string {
	var b strings.Builder
	b.WriteString(p.line(high))
	for i := len(p.c.Days) - 1; i >= 0; i-- {
		d := &p.c.Days[i]
		b.WriteString("L" + p.x(d.Day) + " " + p.y(low(d)))
	}
	return b.String() + "z"
}

// SVG draws the course in two panels over one axis of days; "" where there are fewer
// than two days, or a figure is no number.
func (c *Course) SVG() template.HTML {
	lost, ok := c.most()
	if !ok {
		return ""
	}
	var b strings.Builder
	text := func(x, y, anchor, s string) {
		fmt.Fprintf(&b, `<text x="%s" y="%s" text-anchor="%s">%s</text>`, x, y, anchor, template.HTMLEscapeString(short(s)))
	}
	const lowerTop = courseTop + courseUpper + courseBetween
	height := lowerTop + courseLower + courseBottom
	var words []string
	for _, k := range c.Key() {
		words = append(words, k.Words)
	}
	fmt.Fprintf(&b, `<svg class="course-plot" viewBox="0 0 %g %g" role="img"><title>%s</title><desc>%s</desc>`,
		courseWidth, height, template.HTMLEscapeString(short(c.Title)), template.HTMLEscapeString(long(strings.Join(words, "; "))))
	upper := panel{c, courseTop, courseUpper, ceiling(c.Whole)}
	lower := panel{c, lowerTop, courseLower, ceiling(lost)}
	for _, p := range []panel{upper, lower} {
		for _, t := range ticks(0, p.most, max(2, int(p.height/45))) {
			fmt.Fprintf(&b, `<path class="c-grid" d="M%s %sH%s"/>`, number(courseLeft), p.y(t), number(courseWidth-courseRight))
			text(number(courseLeft-7), number(p.top+p.height*(1-t/p.most)+4), "end", label(t))
		}
	}
	text("0", "15", "start", c.Y+" remaining")
	text("0", number(lowerTop-12), "start", "lost or immobilized, one upon the other")
	first, last := c.Days[0].Day, c.Days[len(c.Days)-1].Day
	for _, t := range ticks(first, last, 6) {
		text(upper.x(t), number(height-courseBottom+19), "middle", label(t))
	}
	text(number(courseWidth-courseRight), number(height-5), "end", c.X)
	path := func(ink, d string) { fmt.Fprintf(&b, `<path class="c-%s" d="%s"/>`, ink, d) }
	if c.DrawWords != "" {
		path("draws", upper.between(func(d *CourseDay) float64 { return d.DrawLow }, func(d *CourseDay) float64 { return d.DrawUp }))
	}
	if c.BandWords != "" {
		path("band", upper.between(func(d *CourseDay) float64 { return d.Low }, func(d *CourseDay) float64 { return d.High }))
	}
	if c.WorstWords != "" {
		path("worst", upper.line(func(d *CourseDay) float64 { return d.Worst }))
	}
	path("still", upper.line(func(d *CourseDay) float64 { return d.Still }))
	for k, w := range c.Ways {
		path(w.Ink, lower.between(
			func(d *CourseDay) float64 { return sum(d.Parts[:k]) },
			func(d *CourseDay) float64 { return sum(d.Parts[:k+1]) },
		))
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) //nolint:gosec // every text is escaped
}

// most is the height of what is lost or held, and whether the course can be drawn.
func (c *Course) most() (float64, bool) {
	if c == nil || len(c.Days) < 2 || !(c.Whole > 0) || math.IsInf(c.Whole, 0) {
		return 0, false
	}
	lost := 0.0
	for i := range c.Days {
		d := &c.Days[i]
		all := d.Day + d.Still + d.Low + d.High + d.DrawLow + d.DrawUp + d.Worst + sum(d.Parts)
		if math.IsNaN(all) || math.IsInf(all, 0) || len(d.Parts) != len(c.Ways) || i > 0 && d.Day <= c.Days[i-1].Day {
			return 0, false
		}
		lost = max(lost, sum(d.Parts))
	}
	// A course without losses still has a lower panel, by a tenth of the whole.
	return max(lost, c.Whole/10), true
}

func sum(list []float64) (s float64) {
	for _, v := range list {
		s += v
	}
	return s
}

// ceiling is the next round number at or above v: 1, 1.5, 2, 3, 4, 5, 6 or 8 times a
// power of ten.
func ceiling(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, f := range []float64{1, 1.5, 2, 3, 4, 5, 6, 8} {
		if v <= f*power*(1+1e-12) {
			return f * power
		}
	}
	return 10 * power
}

// courseStyles colour the courses. The ways are told apart by lightness as well as by
// hue, and lie in the order of the key.
const courseStyles = `
.courses{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(26rem,100%),1fr));gap:0 2rem}
.course{break-inside:avoid;min-width:0}
#warnings{border-left:4px solid var(--alarm);padding-left:.9rem}
.course-plot{display:block;width:100%;max-width:44rem;height:auto;font-size:15px}
.course-plot text{fill:currentColor}
.c-grid{stroke:currentColor;stroke-opacity:.22;fill:none}
path.c-still{stroke:var(--ink);stroke-width:2.4;fill:none}
path.c-worst{stroke:var(--alarm);stroke-width:1.8;stroke-dasharray:6 4;fill:none}
path.c-draws{fill:#5b8fc7;fill-opacity:.28}
path.c-band{fill:none;stroke:#2f6db0;stroke-width:1.4;stroke-dasharray:2 3}
path.c-air{fill:#d97706}path.c-injection{fill:#7c1d6f}path.c-denitrified{fill:#4b5563}path.c-leached{fill:#38a3d1}path.c-held{fill:#c9b77a}
.course-plot path:not(.c-grid):not(.c-still):not(.c-worst):not(.c-draws):not(.c-band){stroke:var(--paper);stroke-width:1}
.course-key{display:flex;flex-wrap:wrap;gap:.2rem 1.25rem;margin:.4rem 0 0;padding:0;list-style:none;font-size:.92rem}
.course-key li{display:flex;align-items:baseline;gap:.45rem}
.course-key span{flex:none;display:inline-block;width:1.6rem;height:.8rem;border:1px solid transparent}
span.c-still{height:0;border:0;border-top:3px solid var(--ink);align-self:center}
span.c-worst{height:0;border:0;border-top:2px dashed var(--alarm);align-self:center}
span.c-band{height:0;border:0;border-top:2px dotted #2f6db0;align-self:center}
span.c-draws{background:rgba(91,143,199,.28)}
span.c-air{background:#d97706}span.c-injection{background:#7c1d6f}span.c-denitrified{background:#4b5563}span.c-leached{background:#38a3d1}span.c-held{background:#c9b77a}
@media screen and (prefers-color-scheme:dark){path.c-band{stroke:#8fc4ff}span.c-band{border-top-color:#8fc4ff}path.c-denitrified{fill:#9aa3af}span.c-denitrified{background:#9aa3af}path.c-injection{fill:#c26bb5}span.c-injection{background:#c26bb5}}
@media print{.courses{grid-template-columns:1fr 1fr}.course h2{font-size:.95rem}.course-plot{max-height:44mm}.course-key{font-size:.85rem;gap:.1rem 1rem}.course-key span{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
`
