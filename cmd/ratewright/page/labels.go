package page

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

const (
	maxLetters = 28
	maxTries   = 60 // patches looked at for a mark, as a place in each takes a search
	maxOfAKind = 6
	maxOfOne   = 3 // parts of a patch that have its mark
	maxRates   = 250
	letterSize = 17
	// A rate is to stand where there is most room; for a mark a good place will do.
	rateSquares, letterSquares = 400, 40
	badgeRadius                = 12
	// lettersFrom is the area in the picture from which a patch has its mark.
	lettersFrom = 40
	thinLaps    = 2 // half of the width of a lap, in units
	// leader is how far a mark stands from its patch where there is no room on it.
	leader = 34
)

// letters puts the mark of a patch on each of its larger parts.
func (sc *scene) letters(m Map, patches []drawn, d *drawing) {
	n, tries, ofKind, ofOne := 0, 0, map[string]int{}, map[int]int{}
	marks, first := marksOf(m), len(sc.steps)
	defer func() { leadersFirst(sc.steps[first:]) }()
	for _, p := range patches {
		if n == maxLetters || tries == maxTries || p.area < lettersFrom {
			break
		}
		kind := m.Patches[p.of].Kind
		if ofKind[kind] == maxOfAKind || ofOne[p.of] == maxOfOne {
			continue
		}
		tries++
		at, depth := geo.Roomiest(p.rings, 1, letterSquares)
		if depth < thinLaps && kind == "lapped" {
			continue // there is one along every pass; the legend will do
		}
		places := append([]orb.Point{at}, alongPatch(p.rings)...)
		// Where another kind is seen, a mark stands beside it only.
		open := slices.DeleteFunc(slices.Clone(places), func(at orb.Point) bool { return hidden(m, at, kind, patches) })
		if sc.mark(marks[p.of], kind, open, places, d) {
			ofKind[kind]++
			ofOne[p.of]++
			n++
		}
	}
}

// mark puts a mark on the first of the open places of a patch that is free or, where
// none is, beside one of its places with a line to it; false if there is no room for it.
func (sc *scene) mark(text, kind string, open, places []orb.Point, d *drawing) bool {
	half := markWidth(text) / 2
	free := func(at orb.Point) bool {
		box := rect{at[0] - half, at[1] - badgeRadius, at[0] + half, at[1] + badgeRadius}.grown(1)
		if box.x0 < sc.view.x0 || box.x1 > sc.view.x1 || box.y0 < sc.view.y0 || box.y1 > sc.view.y1 || d.hits(box) {
			return false
		}
		d.taken = append(d.taken, box)
		return true
	}
	for _, at := range open {
		if free(at) {
			sc.badge(text, kind, at)
			return true
		}
	}
	if len(open) > 0 {
		places = open
	}
	for _, from := range places {
		for k := range 8 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 4)
			at := orb.Point{from[0] + leader*cos, from[1] + leader*sin}
			if free(at) {
				sc.steps = append(sc.steps, step{lines: []line{{from, at}}, stroke: "k-" + kindOf(kind), width: 1.6, region: "leader"})
				sc.badge(text, kind, at)
				return true
			}
		}
	}
	return false
}

// leadersFirst puts lines below marks.
func leadersFirst(steps []step) {
	slices.SortStableFunc(steps, func(a, b step) int {
		switch leads := a.region == "leader"; {
		case leads == (b.region == "leader"):
			return 0
		case leads:
			return -1
		}
		return 1
	})
}

func kindOf(kind string) string {
	f, _ := findingOf(kind)
	return f.Kind
}

// alongPatch are points on a part of a patch, from its middle to its ends: each in the
// middle of the widest stretch of a line across it.
func alongPatch(rings []line) []orb.Point {
	b, ok := around(rings[:1])
	if !ok {
		return nil
	}
	across := 1 // the axis of the lines
	lo, size := b.x0, b.w()
	if b.h() > b.w() {
		across, lo, size = 0, b.y0, b.h()
	}
	var list []orb.Point
	for _, share := range []float64{0.5, 0.3, 0.7, 0.15, 0.85} {
		at := lo + share*size
		var cuts []float64
		for _, ring := range rings {
			for i, p := range ring {
				q := ring[(i+1)%len(ring)]
				if p[1-across] > at != (q[1-across] > at) {
					cuts = append(cuts, p[across]+(at-p[1-across])/(q[1-across]-p[1-across])*(q[across]-p[across]))
				}
			}
		}
		slices.Sort(cuts)
		best, middle := -1.0, 0.0
		for i := 0; i+1 < len(cuts); i += 2 {
			if w := cuts[i+1] - cuts[i]; w > best {
				best, middle = w, (cuts[i]+cuts[i+1])/2
			}
		}
		if best >= 0 {
			var p orb.Point
			p[across], p[1-across] = tenth(middle), tenth(at)
			list = append(list, p)
		}
	}
	return list
}

// hidden tells whether a patch that is drawn over those of a kind covers a point.
func hidden(m Map, at orb.Point, kind string, patches []drawn) bool {
	_, rank := findingOf(kind)
	for _, p := range patches {
		if _, r := findingOf(m.Patches[p.of].Kind); r > rank {
			if b, _ := around(p.rings[:1]); b.x0 <= at[0] && at[0] <= b.x1 && b.y0 <= at[1] && at[1] <= b.y1 && geo.Inside(at, p.rings) > 0 {
				return true
			}
		}
	}
	return false
}

// markWidth is how wide the ground of a mark is.
func markWidth(text string) float64 {
	return tenth(max(2*badgeRadius, textWidth(text, letterSize, true)+10))
}

// badge draws a mark in the colour of its kind on a ground with round ends.
func (sc *scene) badge(text, kind string, at orb.Point) {
	ink := "k-" + kindOf(kind)
	sc.steps = append(
		sc.steps,
		step{rings: []line{pill(at, markWidth(text)/2)}, fill: "patch", stroke: ink, width: 1.4, region: "letter"},
		step{
			text: text, at: orb.Point{tenth(at[0]), tenth(at[1] + 0.36*letterSize)}, size: letterSize, bold: true,
			align: middle, fill: ink, region: "letter",
		},
	)
}

// pill is a circle drawn out to a width.
func pill(at orb.Point, half float64) line {
	l := circle(at[0], at[1], badgeRadius)
	for i := range l {
		if d := half - badgeRadius; l[i][0] > at[0] {
			l[i][0] = tenth(l[i][0] + d)
		} else {
			l[i][0] = tenth(l[i][0] - d)
		}
	}
	return l
}

func (d *drawing) hits(box rect) bool {
	for _, t := range d.taken {
		if t.overlaps(box) {
			return true
		}
	}
	return false
}

// rates prints the rate into each zone that has room for it.
func (sc *scene) rates(m Map, zones []drawn, d *drawing) {
	n := 0
	for _, z := range zones { // the largest first
		zone := m.Zones[z.of]
		label := m.zoneLabel(zone)
		if n == maxRates || z.area < 150 {
			break
		}
		if label == "" {
			continue
		}
		on, halo := "text", "ground"
		if len(m.Choices) > 0 {
			halo = "patch"
		} else if i := rampStep(zone.Rate, m.LowRate, m.HighRate); i >= 0 {
			on, halo = "t"+digit(i), "r"+digit(i)
		}
		at, _ := geo.Roomiest(z.rings, 1, rateSquares)
		if size, at, ok := d.fit(label, at, z.rings); ok {
			n++
			sc.steps = append(sc.steps, step{
				text: label, at: at, size: size, bold: true, align: middle,
				fill: on, halo: halo, width: size / 5, region: "rate",
			})
			// Findings have letters, too, so that a zone's name says that it is one.
			if zone.ID != "" && len(m.Zones) > 1 {
				sc.zoneName("zone "+shown(zone.ID, 16), at, z.rings, on, halo, d)
			}
		}
	}
}

// zoneName writes the name of a zone below its rate, where there is room.
func (sc *scene) zoneName(name string, base orb.Point, rings []line, on, halo string, d *drawing) {
	const size = 17
	w := textWidth(name, size, false)
	box := rect{base[0] - w/2, base[1] + 6, base[0] + w/2, base[1] + 6 + size}
	if d.hits(box.grown(1)) || !holds(rings, box.grown(1)) {
		return
	}
	d.taken = append(d.taken, box)
	sc.steps = append(sc.steps, step{
		text: name, at: orb.Point{base[0], tenth(box.y1 - 3)}, size: size, align: middle,
		fill: on, halo: halo, width: size / 5, region: "zone name",
	})
}

// fit finds a size and a place near a point for a label within rings and clear of
// other labels.
func (d *drawing) fit(label string, near orb.Point, rings []line) (size float64, base orb.Point, ok bool) {
	unit := textWidth(label, 1, true)
	for _, size := range []float64{34, 28, 23, 19} {
		w, h := unit*size, 0.72*size
		for _, move := range [][2]float64{{0, 0}, {0, -1.6}, {0, 1.6}, {-0.8, 0}, {0.8, 0}, {0, -3.2}, {0, 3.2}} {
			c := orb.Point{near[0] + move[0]*w, near[1] + move[1]*h}
			box := rect{c[0] - w/2, c[1] - h/2, c[0] + w/2, c[1] + h/2}
			if d.hits(box.grown(2)) || !holds(rings, box.grown(1)) {
				continue
			}
			d.taken = append(d.taken, box)
			return size, orb.Point{tenth(c[0]), tenth(math.Round((c[1]+h/2)*10) / 10)}, true
		}
	}
	return 0, orb.Point{}, false
}
