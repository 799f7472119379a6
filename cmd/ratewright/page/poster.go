package page

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// poster is the picture with its heading, for where it stands by itself.
func poster(s Sheet) scene {
	const width = sceneWidth - 2*sceneMargin
	var head scene
	y := 56.0
	head.write(fitted(short(s.Field), 40, true, width), sceneMargin, y, 40, true, start, "text")
	y += 12
	for _, text := range []string{short(s.Subject), strings.Join(slices.DeleteFunc([]string{short(s.Date), short(s.Ground)}, func(t string) bool { return t == "" }), "   ")} {
		if text != "" {
			y += 26
			head.write(fitted(text, 22, false, width), sceneMargin, y, 22, false, start, "quiet")
		}
	}
	y = head.lead(s.Lead, y+22)
	sc := picture(s)
	sc.moved(y)
	sc.steps = append(head.steps, sc.steps...)
	sc.cautions(s.Cautions)
	return sc
}

const (
	cautionSize   = 15
	cautionHeight = 20
)

// cautions writes below the picture what goes with it wherever it goes.
func (sc *scene) cautions(texts []string) {
	y := sc.height + 4
	for _, text := range texts {
		for _, l := range wrapped(long(text), cautionSize, sceneWidth-2*sceneMargin) {
			sc.write(l, sceneMargin, y+cautionSize, cautionSize, false, start, "quiet")
			y += cautionHeight
		}
		y += 6
	}
	sc.height = math.Ceil(y + 6)
}

// wrapped breaks text into lines of at most a width, in the font of the PNG; a word
// that is wider is cut.
func wrapped(text string, size, width float64) (lines []string) {
	var l string
	for _, word := range strings.Fields(text) {
		word = fitted(word, size, false, width)
		if l != "" && textWidth(l+" "+word, size, false)/roomFor > width {
			lines, l = append(lines, l), ""
		}
		l = strings.TrimSpace(l + " " + word)
	}
	return append(lines, l)
}

const (
	leadMost   = 6
	leadSize   = 42
	leadHeight = 84
	moreSize   = 18
	moreHeight = 22
	moreWidth  = 270
)

// lead writes the lead figures as large numbers with their names below and what
// is to be said beside them, side by side as far as they fit.
func (sc *scene) lead(figures []Figure, y float64) float64 {
	x, lines := float64(sceneMargin), 0
	for i, f := range figures[:min(len(figures), leadMost)] {
		ink := "text"
		if f.Alarm {
			ink = "alarm"
		}
		value := fitted(short(f.Value), leadSize, true, 420)
		unit := fitted(short(f.Unit), 22, false, 200)
		name := fitted(short(f.Name), 20, false, 460)
		valueW := textWidth(value, leadSize, true)/roomFor + 9 // only the PNG has it, in the font inside
		w := max(valueW+textWidth(unit, 22, false)/roomFor, textWidth(name, 20, false)/roomFor)
		var more []string
		if f.More != "" {
			more = wrapped(short(f.More), moreSize, max(w, moreWidth))
		}
		for _, l := range more {
			w = max(w, textWidth(l, moreSize, false)/roomFor)
		}
		if i > 0 && x+w > sceneWidth-sceneMargin {
			x, y, lines = sceneMargin, y+leadHeight+float64(lines)*moreHeight, 0
		}
		sc.write(value, x, y+40, leadSize, true, start, ink)
		sc.write(unit, x+valueW, y+40, 22, false, start, "quiet")
		sc.write(name, x, y+66, 20, false, start, "quiet")
		for k, l := range more {
			sc.write(l, x, y+66+float64(k+1)*moreHeight, moreSize, false, start, "quiet")
		}
		lines = max(lines, len(more))
		x += w + 34
	}
	if len(figures) > 0 {
		y += leadHeight + float64(lines)*moreHeight
	}
	l := orb.Point{sceneMargin, tenth(y + 2)}
	sc.steps = append(sc.steps, step{lines: []line{{l, {sceneWidth - sceneMargin, l[1]}}}, stroke: "hair", width: 1, region: "words"})
	return tenth(y + 4)
}
