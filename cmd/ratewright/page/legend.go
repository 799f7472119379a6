package page

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"
)

const (
	legendSize   = 22 // of letters: legible where 800 units are 360 px wide
	legendHeight = 34 // of a line
	swatchW      = 40
	swatchH      = 22
)

// legend draws, below the map: scale bar and north arrow, the ramp, and what is
// drawn on the map and nothing else.
func (sc *scene) legend(s Sheet, f frame) {
	y := sc.view.y1 + 18
	sc.scaleBar(f, y)
	sc.northArrow(y)
	y += 70
	if sc.has("zones") && len(s.Map.Choices) == 0 {
		y = sc.rampBar(s.Map, y)
	}
	x := float64(sceneMargin)
	entry := func(text string, swatch func(x, y float64) float64) {
		text = fitted(text, legendSize, false, sceneWidth-2*sceneMargin-swatchW-44)
		w := swatchW + 44 + textWidth(text, legendSize, false)
		if x > sceneMargin && x+w > sceneWidth-sceneMargin {
			x, y = sceneMargin, y+legendHeight
		}
		to := swatch(x, y)
		sc.write(text, to+8, y+17, legendSize, false, start, "text")
		x += w + 18
	}
	for i := len(findings); i >= 0; i-- { // the most important first
		kind := other
		if i > 0 {
			kind = findings[i-1]
		}
		if !sc.has("found " + kind.Kind) {
			continue
		}
		entry(titleOf(s.Map, kind), func(x, y float64) float64 {
			sc.steps = append(sc.steps, step{
				rings: []line{swatchBox(x, y)}, pattern: kind.Kind,
				stroke: "k-" + kind.Kind, width: 1.2, region: "legend",
			})
			sc.badge(kind.Letter, kind.Kind, orb.Point{x + swatchW + 17, y + swatchH/2})
			return x + swatchW + 30
		})
	}
	for i, c := range s.Map.Choices {
		if slices.ContainsFunc(s.Map.Zones, func(z Zone) bool { return s.Map.choiceOf(z) == i }) {
			entry(shown(c.Letter, 4)+"  "+shown(c.Name, 90), func(x, y float64) float64 {
				sc.steps = append(sc.steps, step{
					rings: []line{swatchBox(x, y)}, pattern: choicePattern(i),
					stroke: choicePattern(i), width: 1.2, region: "legend",
				})
				return x + swatchW
			})
		}
	}
	if len(s.Map.Choices) > 0 && sc.writes("rate") {
		if x > sceneMargin {
			x, y = sceneMargin, y+legendHeight
		}
		sc.write(fitted("Number on a zone: planned rate, "+shown(s.Map.RateUnit, 24), legendSize, false, sceneWidth-2*sceneMargin), x, y+17, legendSize, false, start, "text")
		y += legendHeight
	}
	if sc.has("off-limits") {
		entry("Off limits", func(x, y float64) float64 {
			sc.steps = append(sc.steps, step{
				rings: []line{swatchBox(x, y)}, pattern: "limits",
				stroke: "limits", width: 1, region: "legend",
			})
			return x + swatchW
		})
	}
	if sc.has("boundary") {
		entry("Boundary", func(x, y float64) float64 {
			sc.steps = append(sc.steps, step{
				lines:  []line{{{x, y + swatchH/2}, {x + swatchW, y + swatchH/2}}},
				stroke: "line", width: 2.4, region: "legend",
			})
			return x + swatchW
		})
	}
	if x > sceneMargin {
		y += legendHeight
	}
	for _, note := range sc.leftOut() {
		sc.write(note, sceneMargin, y+16, 19, false, start, "quiet")
		y += 26
	}
	sc.height = math.Ceil(y + 8)
}

// leftOut says what the picture leaves out.
func (sc *scene) leftOut() (notes []string) {
	if n := sc.patchesLeftOut; n > 0 {
		notes = append(notes, fmt.Sprintf("Not drawn here: the smallest outlines of findings (%d). Every figure counts them.", n))
	}
	if sc.cellM > 0 {
		notes = append(notes, fmt.Sprintf("Zones are drawn here as cells of %.0f m. Every figure is from the zones.", max(1, sc.cellM)))
	}
	return notes
}

func swatchBox(x, y float64) line { return rect{x, y, x + swatchW, y + swatchH}.corners() }

// has tells whether the scene holds a region with anything in it.
func (sc *scene) has(region string) bool {
	for i := range sc.steps {
		if s := &sc.steps[i]; s.region == region && len(s.rings) > 0 {
			return true
		}
	}
	return false
}

// writes tells whether the scene has words of a region.
func (sc *scene) writes(region string) bool {
	return slices.ContainsFunc(sc.steps, func(s step) bool { return s.region == region && s.text != "" })
}

// titleOf returns what the sheet calls a kind.
func titleOf(m Map, f finding) string {
	for _, p := range m.Patches {
		if g, _ := findingOf(p.Kind); g.Kind == f.Kind && p.Title != "" && f.Kind != other.Kind {
			return shown(p.Title, 60)
		}
	}
	return f.Title
}

func (sc *scene) write(text string, x, y, size float64, bold bool, a align, ink string) {
	sc.steps = append(sc.steps, step{
		text: text, at: orb.Point{tenth(x), tenth(y)}, size: size, bold: bold,
		align: a, fill: ink, region: "words",
	})
}

func (sc *scene) area(l line, ink string) {
	sc.steps = append(sc.steps, step{rings: []line{l}, fill: ink, region: "legend"})
}

// rampBar draws the colours of rates with the rates at their ends.
func (sc *scene) rampBar(m Map, y float64) float64 {
	rated, unrated := false, false
	for _, z := range m.Zones {
		if rampStep(z.Rate, m.LowRate, m.HighRate) >= 0 {
			rated = true
		} else {
			unrated = true
		}
	}
	x := float64(sceneMargin)
	if rated {
		x, y = sc.ramp(m, x, y)
	}
	if unrated {
		if x+190 > sceneWidth-sceneMargin {
			x, y = sceneMargin, y+legendHeight
		}
		x = tenth(x)
		sc.steps = append(sc.steps, step{rings: []line{swatchBox(x, y)}, fill: "ground", stroke: "hair", width: 0.8, region: "legend"})
		sc.write("No rate", x+swatchW+8, y+17, legendSize, false, start, "text")
	}
	return y + legendHeight + 4
}

// ramp draws the title of the ramp, its colours and its ends, in a line of their own
// where there is no room, and returns where it is free behind them.
func (sc *scene) ramp(m Map, x, y float64) (float64, float64) {
	title := "Prescribed"
	if m.RateTitle != "" {
		title = shown(m.RateTitle, 24)
	}
	if m.RateUnit != "" {
		title += ", " + shown(m.RateUnit, 24)
	}
	sc.write(title, x, y+17, legendSize, false, start, "text")
	x += textWidth(title, legendSize, false) + 18
	low, high := rateText(m, m.LowRate), rateText(m, m.HighRate)
	bar := textWidth(low+high, legendSize, true) + 16 + rampSteps*swatchW
	if x+bar > sceneWidth-sceneMargin {
		x, y = sceneMargin, y+legendHeight
	}
	from, to := 0, rampSteps
	if !(m.LowRate < m.HighRate) {
		from, to = rampSteps/2, rampSteps/2+1
	} else {
		// From the bar leftward: a font wider than ours stays clear of it.
		x += textWidth(low, legendSize, true)
		sc.write(low, x, y+17, legendSize, true, end, "text")
		x += 8
	}
	x = tenth(x)
	for i := from; i < to; i++ {
		sc.area(swatchBox(x, y), "r"+digit(i))
		x += swatchW
	}
	edge := rect{x - float64(to-from)*swatchW, y, x, y + swatchH}
	sc.steps = append(sc.steps, step{rings: []line{edge.corners()}, stroke: "hair", width: 0.8, region: "legend"})
	sc.write(high, x+8, y+17, legendSize, true, start, "text")
	return x + 8 + textWidth(high, legendSize, true) + 24, y
}

// rateText prints an end of the ramp as the map prints it, if a zone has that rate.
func rateText(m Map, rate float64) string {
	for _, z := range m.Zones {
		if z.Rate == rate && z.Label != "" {
			return shown(z.Label, 12)
		}
	}
	if math.IsNaN(rate) || math.IsInf(rate, 0) {
		return "?" // HTML refuses such a sheet
	}
	return strconv.FormatFloat(math.Round(rate*10)/10, 'f', -1, 64)
}

const metresPerFoot = 0.3048

// scaleBar draws a round length in metres over a round one in feet.
func (sc *scene) scaleBar(f frame, y float64) {
	x := float64(sceneMargin)
	longest := 0.0
	for i, unit := range []float64{1, metresPerFoot} {
		n := roundLength(230 / f.scale / unit)
		l := tenth(n * unit * f.scale)
		longest = max(longest, l)
		at := y + 26
		tick := 9.0
		if i == 0 {
			tick = -9
		}
		sc.steps = append(sc.steps, step{
			lines: []line{{{x, at}, {tenth(x + l), at}}, {{tenth(x + l), at}, {tenth(x + l), at + tick}}, {{x, at}, {x, at + tick}}},
			width: 2, stroke: "line", region: "scale",
		})
		name := strconv.FormatFloat(n, 'f', -1, 64) + [2]string{" m", " ft"}[i]
		sc.write(name, x+l+10, at+[2]float64{-3, 19}[i], 20, false, start, "text")
	}
}

// roundLength returns the greatest of 1, 2 and 5 times a power of ten within n.
func roundLength(n float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(n)))
	for _, k := range []float64{5, 2} {
		if k*p <= n {
			return k * p
		}
	}
	return p
}

func (sc *scene) northArrow(y float64) {
	x := float64(sceneWidth - sceneMargin - 16)
	sc.area(line{{x, y}, {x + 11, y + 32}, {x, y + 25}, {x - 11, y + 32}}, "line")
	sc.write("N", x, y+54, 22, true, middle, "text")
}
