package page

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

const (
	maxLetters = 24
	maxTries   = 60 // patches looked at for a letter, as a place in each takes a search
	maxOfAKind = 6
	maxRates   = 250
	letterSize = 19
	// A rate is to stand where there is most room; for a letter a good place will do.
	rateSquares, letterSquares = 400, 40
	badgeRadius                = 12
	// lettersFrom is the area in the picture from which a patch has its letter.
	lettersFrom = 40
	thinLaps    = 2 // half of the width of a lap, in units
)

// besides is how far a letter may stand beside its place.
var besides = []float64{0, 2*badgeRadius + 3, -2*badgeRadius - 3}

// letters puts the letter of its kind on each of the larger patches.
func (sc *scene) letters(m Map, patches []drawn, d *drawing) {
	n, tries, ofKind := 0, 0, map[string]int{}
	for _, p := range patches {
		if n == maxLetters || tries == maxTries || p.area < lettersFrom {
			break
		}
		kind := m.Patches[p.of].Kind
		if ofKind[kind] == maxOfAKind {
			continue
		}
		tries++
		at, depth := geo.Roomiest(p.rings, 1, letterSquares)
		if depth < thinLaps && kind == "lapped" {
			continue // there is one along every pass; the legend will do
		}
		if hidden(m, at, kind, patches) {
			continue // what is seen there is of another kind
		}
		// Ground of two kinds has two letters side by side.
		move := slices.IndexFunc(besides, func(dx float64) bool {
			box := rect{at[0] + dx, at[1], at[0] + dx, at[1]}.grown(badgeRadius + 1)
			free := box.x0 >= sc.view.x0 && box.x1 <= sc.view.x1 && box.y0 >= sc.view.y0 && box.y1 <= sc.view.y1 && !d.hits(box)
			if free {
				d.taken = append(d.taken, box)
			}
			return free
		})
		if move < 0 {
			continue
		}
		sc.badge(kind, orb.Point{at[0] + besides[move], at[1]})
		ofKind[kind]++
		n++
	}
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

// badge draws the letter of a kind in a circle.
func (sc *scene) badge(kind string, at orb.Point) {
	f, _ := findingOf(kind)
	sc.steps = append(
		sc.steps,
		step{rings: []line{circle(at[0], at[1], badgeRadius)}, fill: "patch", stroke: "k-" + f.Kind, width: 1.4, region: "letter"},
		step{
			text: f.Letter, at: orb.Point{tenth(at[0]), tenth(at[1] + 0.36*letterSize)}, size: letterSize, bold: true,
			align: middle, fill: "k-" + f.Kind, region: "letter",
		},
	)
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
