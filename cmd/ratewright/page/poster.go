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
	const width = sceneWidth - 2*sceneMargin
	y := sc.height + 4
	for _, text := range texts {
		var l string
		for _, word := range strings.Fields(long(text)) {
			if l != "" && textWidth(l+" "+word, cautionSize, false)/roomFor > width {
				sc.write(l, sceneMargin, y+cautionSize, cautionSize, false, start, "quiet")
				y, l = y+cautionHeight, ""
			}
			l = strings.TrimSpace(l + " " + word)
		}
		sc.write(fitted(l, cautionSize, false, width), sceneMargin, y+cautionSize, cautionSize, false, start, "quiet")
		y += cautionHeight + 6
	}
	sc.height = math.Ceil(y + 6)
}

const (
	leadMost   = 6
	leadSize   = 42
	leadHeight = 84
)

// lead writes the lead figures as large numbers with their names below, side by
// side as far as they fit.
func (sc *scene) lead(figures []Figure, y float64) float64 {
	x := float64(sceneMargin)
	for i, f := range figures[:min(len(figures), leadMost)] {
		ink := "text"
		if f.Alarm {
			ink = "alarm"
		}
		value := fitted(short(f.Value), leadSize, true, 420)
		unit := fitted(short(f.Unit), 22, false, 200)
		name := short(f.Name)
		if f.More != "" {
			name += ": " + short(f.More)
		}
		name = fitted(name, 20, false, 460)
		valueW := textWidth(value, leadSize, true)/roomFor + 9 // only the PNG has it, in the font inside
		w := max(valueW+textWidth(unit, 22, false)/roomFor, textWidth(name, 20, false)/roomFor)
		if i > 0 && x+w > sceneWidth-sceneMargin {
			x, y = sceneMargin, y+leadHeight
		}
		sc.write(value, x, y+40, leadSize, true, start, ink)
		sc.write(unit, x+valueW, y+40, 22, false, start, "quiet")
		sc.write(name, x, y+66, 20, false, start, "quiet")
		x += w + 34
	}
	if len(figures) > 0 {
		y += leadHeight
	}
	l := orb.Point{sceneMargin, tenth(y + 2)}
	sc.steps = append(sc.steps, step{lines: []line{{l, {sceneWidth - sceneMargin, l[1]}}}, stroke: "hair", width: 1, region: "words"})
	return tenth(y + 4)
}
