package page

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// What the first picture may hold, so that a phone shows it at once.
const (
	maxPrimitives = 3000
	maxSceneBytes = 280_000
	finest        = 0.2 // tolerances of outlines, units
	coarsest      = 1.6
	forLabels     = 400 // primitives: legend, letters and rates
)

const (
	sceneMargin  = 20
	mapMaxHeight = 900
	mapMinHeight = 160
)

// picture returns the map with scale bar, north arrow and legend. Where it would be
// too large, outlines are thinned more, then the smallest patches are left out, and
// cells stand for zones.
func picture(s Sheet) scene {
	sc := scene{}
	f := sc.frame(s.Map)
	f.thin = finest
	o := f.outlined(s.Map)
	for _, f.thin = range []float64{finest, 0.4, 0.8, coarsest} {
		sc.steps, sc.patchesLeftOut = nil, 0
		sc.drawMap(s, o, f)
		if !sc.tooDetailed {
			break
		}
	}
	sc.legend(s, f)
	return sc
}

// frame fits the field into the width, and what was put down outside of it as far
// as a seventh of its size around.
func (sc *scene) frame(m Map) frame {
	lo, hi := metres(m)
	w, h := max(hi[0]-lo[0], 20), max(hi[1]-lo[1], 20)
	pad := 0.015 * max(w, h)
	lo, w, h = orb.Point{lo[0] - pad, lo[1] - pad}, w+2*pad, h+2*pad
	box := rect{sceneMargin, 12, sceneWidth - sceneMargin, 12 + mapMaxHeight}
	f := frame{x0: lo[0], y1: lo[1] + h, top: box.y0, scale: min(box.w()/w, box.h()/h)}
	f.left = tenth(box.x0 + (box.w()-w*f.scale)/2)
	box.y1 = tenth(box.y0 + max(h*f.scale, mapMinHeight))
	f.top = tenth(box.y0 + (box.h()-h*f.scale)/2)
	sc.view = box
	return f
}

// metres returns the corners of what the map shows.
func metres(m Map) (lo, hi orb.Point) {
	b, found := bounds(m.Boundary)
	if !found {
		for _, z := range m.Zones {
			b, found = joined(b, found, z.Polygons)
		}
	}
	field, hadField := b, found
	for _, p := range m.Patches {
		b, found = joined(b, found, p.Polygons)
	}
	if hadField {
		d := max(field.w(), field.h()) / 7
		most := field.grown(d)
		b = rect{max(b.x0, most.x0), max(b.y0, most.y0), min(b.x1, most.x1), min(b.y1, most.y1)}
	}
	if !found {
		return orb.Point{-10, -10}, orb.Point{10, 10}
	}
	return orb.Point{b.x0, b.y0}, orb.Point{b.x1, b.y1}
}

func bounds(mp orb.MultiPolygon) (rect, bool) {
	var shells []line
	for _, polygon := range mp {
		if len(polygon) > 0 {
			shells = append(shells, line(polygon[0]))
		}
	}
	r, ok := around(shells)
	return r, ok && !math.IsInf(r.w()+r.h(), 0) && !math.IsNaN(r.w()+r.h())
}

func joined(a rect, found bool, mp orb.MultiPolygon) (rect, bool) {
	b, ok := bounds(mp)
	switch {
	case !ok:
		return a, found
	case !found:
		return b, true
	}
	return rect{min(a.x0, b.x0), min(a.y0, b.y0), max(a.x1, b.x1), max(a.y1, b.y1)}, true
}

// drawing collects what has to be drawn with what it may take.
type drawing struct {
	primitives, bytes int
	outOfBytes        bool
	taken             []rect // by labels
}

// room takes the size of rings out of what is left, if it is there. Labels take
// theirs from what is held back.
func (d *drawing) room(rings []line) bool {
	s := step{rings: rings}
	p, b := s.sizes()
	b -= perStep
	d.outOfBytes = d.outOfBytes || d.bytes < b
	if d.primitives < p || d.bytes < b {
		return false
	}
	d.primitives -= p
	d.bytes -= b
	return true
}

// drawn is a polygon in the picture with what it is part of.
type drawn struct {
	of    int // index of the zone or patch
	rings []line
	area  float64
}

// outlined is what the map has, as outlines in the picture.
type outlined struct {
	boundary               outline
	zones, limits, patches []outline
}

func (f frame) outlined(m Map) outlined {
	return outlined{
		boundary: f.outline(m.Boundary),
		zones:    f.outlines(len(m.Zones), func(i int) orb.MultiPolygon { return m.Zones[i].Polygons }),
		limits:   f.outlines(len(m.OffLimits), func(i int) orb.MultiPolygon { return m.OffLimits[i].Polygons }),
		patches:  f.outlines(len(m.Patches), func(i int) orb.MultiPolygon { return m.Patches[i].Polygons }),
	}
}

func (sc *scene) drawMap(s Sheet, o outlined, f frame) {
	m := s.Map
	d := drawing{primitives: maxPrimitives - forLabels, bytes: maxSceneBytes - forLabels*perStep}
	boundary := flat(o.boundary.thinned(f.thin))
	sc.steps = append(sc.steps, step{clip: true, rings: boundary, fill: "ground", region: "field"})
	_, b := (&step{rings: boundary}).sizes()
	d.bytes -= 2 * b

	zones := sc.zones(m, o.zones, f, &d)
	for _, limits := range o.limits {
		rings := flat(limits.thinned(f.thin))
		if d.room(rings) {
			sc.steps = append(sc.steps, step{clip: true, rings: rings, pattern: "limits", stroke: "limits", width: 1, region: "off-limits"})
		}
	}
	patches := sc.patches(m, o.patches, f.thin, &d)
	sc.tooDetailed = d.outOfBytes
	sc.steps = append(sc.steps, step{clip: true, rings: boundary, stroke: "line", width: 2.4, region: "boundary"})
	sc.letters(m, patches, &d)
	sc.rates(m, zones, &d)
}

// zones fills ground by its rate, or by what was chosen for it, those alike at a time.
func (sc *scene) zones(m Map, zones []outline, f frame, d *drawing) []drawn {
	var all []drawn
	for i, z := range zones {
		for _, rings := range z.thinned(f.thin) {
			all = append(all, drawn{i, rings, math.Abs(signedArea(rings[0]))})
		}
	}
	slices.SortStableFunc(all, largestFirst)
	if sc.cellM = 0; tooMuch(all, d, len(m.Patches) > 0) {
		if f.thin < coarsest && len(all) < maxPrimitives/2 {
			d.outOfBytes = true // thinner outlines may do
		}
		sc.cells(m, all, d, f.scale)
		return nil
	}
	ways := make([][]line, m.fills()+1)
	for _, z := range all {
		if d.room(z.rings) {
			i := m.fillOf(m.Zones[z.of]) + 1
			ways[i] = append(ways[i], z.rings...)
		}
	}
	for i, rings := range ways {
		if len(rings) > 0 {
			sc.steps = append(sc.steps, m.filled(rings, i-1))
		}
	}
	return all
}

// patches draws the findings a kind at a time, what matters most on top.
func (sc *scene) patches(m Map, patches []outline, thin float64, d *drawing) []drawn {
	var all []drawn
	for i, p := range patches {
		for _, rings := range p.thinned(thin) {
			if r, ok := around(rings); ok && r.overlaps(sc.view) {
				all = append(all, drawn{i, rings, math.Abs(signedArea(rings[0]))})
			}
		}
	}
	slices.SortStableFunc(all, largestFirst)
	byKind := make([][]line, len(findings)+1)
	kept := all[:0]
	for _, p := range all {
		if !d.room(p.rings) {
			sc.patchesLeftOut++
			continue
		}
		_, i := findingOf(m.Patches[p.of].Kind)
		byKind[i+1] = append(byKind[i+1], p.rings...)
		kept = append(kept, p)
	}
	for i, rings := range byKind {
		kind := other.Kind
		if i > 0 {
			kind = findings[i-1].Kind
		}
		width := 1.2
		if kind == "lapped" {
			width = 0.7 // there are laps everywhere, and few are of interest
		}
		if len(rings) > 0 {
			sc.steps = append(sc.steps, step{
				clip: true, rings: rings, pattern: kind,
				stroke: "k-" + kind, width: width, region: "found " + kind,
			})
		}
	}
	return kept
}

func largestFirst(a, b drawn) int {
	switch {
	case a.area > b.area:
		return -1
	case a.area < b.area:
		return 1
	}
	return a.of - b.of
}

func flat(polygons [][]line) []line {
	var all []line
	for _, rings := range polygons {
		all = append(all, rings...)
	}
	return all
}
